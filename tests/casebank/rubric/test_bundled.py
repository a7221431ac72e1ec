"""The rubric that comes with the program: its worked examples, its weights, and its match with the code."""

import tomllib
from importlib import resources

import pytest

from casebank.rubric import KINDS, ChoiceRule, bundled, bundled_names, compare, disagreements, load
from casebank.rubric.chance import guess_rate
from casebank.rubric.entries import ENTRIES
from casebank.rubric.lint import flaws_of
from casebank.rubric.ordering import OrderRule, random_order_credit
from casebank.rubric.rules import MarkRule, MeasureRule

RUBRICS = [bundled(name) for name in bundled_names()]
CRITERIA = [
    pytest.param(criterion, id=f"{rubric.id}-{criterion.id}") for rubric in RUBRICS for criterion in rubric.criteria
]
EXAMPLES = [
    pytest.param(criterion, example, id=f"{rubric.id}-{criterion.id}-{number}")
    for rubric in RUBRICS
    for criterion in rubric.criteria
    for number, example in enumerate(criterion.examples, 1)
]
PUBLISHED = "7b031fb14da6955b0f721d213c3f21c842f1f9d307d5f5fa732a11e115efca8b"


@pytest.mark.parametrize(("criterion", "example"), EXAMPLES)
def test_a_worked_example_earns_the_credit_written_beside_it(criterion, example):
    assert compare(criterion, example.said, example.reference).credit == pytest.approx(example.credit, abs=1e-9)


def test_every_kind_in_the_files_stands_in_the_code_and_the_other_way_round():
    used = {criterion.kind for rubric in RUBRICS for criterion in rubric.criteria}
    assert used == set(KINDS) == set(ENTRIES)


def test_the_treatment_path_asks_what_a_case_needs_stage_by_stage():
    # the ids are an interface: case files and logs name them
    by_stage = {}
    for criterion in bundled("treatment-path").criteria:
        by_stage.setdefault(criterion.stage, []).append(criterion.id)
    assert by_stage == {
        "look": [
            "pulpal-diagnosis",
            "apical-diagnosis",
            "proof",
            "further-view",
            "canal-count",
            "curvature",
            "apex-mark",
        ],
        "weigh": ["difficulty-levels", "overall", "decision"],
        "open": ["restorability", "consent", "anaesthesia", "rubber-dam", "prosthesis", "axis", "chamber-depth"],
        "shape": [
            "path-before-engine",
            "length-read",
            "working-length",
            "irrigation",
            "recapitulation",
            "length-kept",
            "axis-kept",
            "gauge",
            "patency",
        ],
        "fill": ["final-rinse", "cone-fit", "seal", "aftercare"],
    }


def test_the_third_version_adds_what_was_missing_and_takes_a_point_from_seven_others():
    second, third = bundled("treatment-path"), bundled("treatment-path-3")
    assert (second.id, second.version) == (third.id, 2) == ("treatment-path", 2)
    assert third.version == 3
    was = {criterion.id: criterion.weight for criterion in second.criteria}
    now = {criterion.id: criterion.weight for criterion in third.criteria}
    added = {name: weight for name, weight in now.items() if name not in was}
    assert added == {
        "tooth-check": 1,
        "walls-left": 1,
        "economy": 1,
        "disinfection-reach": 2,
        "disclosure": 1,
        "step-order": 1,
        "outline": 9,
        "visits": 1,
        "advice": 1,
        "healed": 1,
        # each on an axis of its own
        "reason": 100,
        "full-day": 50,
        "rinse-accident": 50,
    }
    assert set(was) <= set(now)
    less = {name for name, weight in was.items() if now[name] == weight - 1}
    assert less == {"overall", "consent", "chamber-depth", "length-read", "axis-kept", "final-rinse", "cone-fit"}
    assert all(now[name] == weight for name, weight in was.items() if name not in less | {"decision"})


def test_the_third_version_tells_four_axes_apart():
    third = bundled("treatment-path-3")
    assert third.axes == ("path", "decision", "judgement", "written")
    apart = {criterion.id: (criterion.axis, criterion.weight) for criterion in third.criteria}
    assert {name: where for name, where in apart.items() if where[0] != "path"} == {
        "decision": ("decision", 100),
        "reason": ("written", 100),
        "full-day": ("judgement", 50),
        "rinse-accident": ("judgement", 50),
    }
    assert bundled("treatment-path").axes == ("path",)


def test_what_the_third_version_asks_of_every_case_alike_it_keys_itself():
    keyed = {criterion.id for criterion in bundled("treatment-path-3").criteria if criterion.key is not None}
    assert keyed == {
        "tooth-check",
        "disclosure",
        "visits",
        "advice",
        "healed",
        "step-order",
        "full-day",
        "rinse-accident",
        "reason",
    }
    assert not any(criterion.key for criterion in bundled("treatment-path").criteria)


def test_the_second_version_is_as_it_was_published():
    # sha256 of the file as four published cases name it
    assert bundled("treatment-path").sha256 == PUBLISHED


def test_weights_sum_to_100_on_each_axis_and_the_key_features_hold_at_least_half_of_the_path():
    for rubric in RUBRICS:
        for axis in rubric.axes:
            assert sum(criterion.weight for criterion in rubric.criteria if criterion.axis == axis) == 100
        path = [criterion for criterion in rubric.criteria if criterion.axis == "path"]
        assert sum(criterion.weight for criterion in path if criterion.key_feature) >= 50


def test_the_published_diagnostic_terms_are_the_options():
    # AAE consensus 2008: seven pulpal and six apical terms
    rubric = bundled("treatment-path")
    pulpal, apical = rubric.criterion("pulpal-diagnosis").rule, rubric.criterion("apical-diagnosis").rule
    assert len(pulpal.options) == 7
    assert len(apical.options) == 6
    assert "symptomatic irreversible pulpitis" in pulpal.options
    assert "condensing osteitis" in apical.options


def test_treating_alone_against_a_referral_earns_less_than_referring_an_easy_case():
    # the asymmetry is a number in the file, so that it can be seen and argued about
    partly = bundled("treatment-path").criterion("decision").rule.partly
    assert partly["refer"]["treat"] == 0
    assert 0 < partly["treat"]["refer"] < partly["refer"]["supervised"]


@pytest.mark.parametrize("criterion", CRITERIA)
def test_guessing_earns_at_most_a_quarter(criterion):
    if isinstance(criterion.rule, MeasureRule | MarkRule):
        assert guess_rate(criterion.rule) <= 0.25
    elif isinstance(criterion.rule, OrderRule):
        assert random_order_credit(criterion.rule, criterion.key) <= 0.25
    elif isinstance(criterion.rule, ChoiceRule) and criterion.rule.options != "case":
        # one pick at random among n options without part credit: 1 / n, which must not reach a half
        assert len(criterion.rule.options) >= 3


@pytest.mark.parametrize("criterion", CRITERIA)
def test_the_options_and_questions_carry_no_known_flaw(criterion):
    assert flaws_of(criterion) == ()


def test_a_case_s_tasks_share_a_criterion_s_weight_equally():
    tasks = bundled("treatment-path").tasks(canals=["MB", "ML", "D"], factors=["crown", "canal-form"])
    weights = {task.id: task.weight for task in tasks}
    # gauge 6 over three canals; difficulty-levels 10 over two factors; decision 12 undivided
    assert weights["gauge.MB"] == weights["gauge.ML"] == weights["gauge.D"] == 2
    assert weights["difficulty-levels.crown"] == 5
    assert weights["decision"] == 12
    assert "gauge" not in weights
    assert sum(weights.values()) == pytest.approx(100)
    # 19 criteria once, 10 for each of 3 canals, 1 for each of 2 factors
    assert len(tasks) == 19 + 10 * 3 + 2
    assert [task.of for task in tasks if task.criterion.id == "gauge"] == ["MB", "ML", "D"]


@pytest.mark.parametrize(("canals", "factors"), [([], ["crown"]), (["MB", "MB"], ["crown"]), (["MB"], [])])
def test_tasks_need_each_canal_and_factor_once(canals, factors):
    with pytest.raises(ValueError, match="at least one"):
        bundled("treatment-path").tasks(canals=canals, factors=factors)


def test_a_task_finds_its_criterion_and_an_unknown_one_is_refused_in_words():
    rubric = bundled("treatment-path")
    assert rubric.criterion("gauge.MB").id == "gauge"
    with pytest.raises(KeyError, match="no criterion gaug"):
        rubric.criterion("gaug")


def test_an_unknown_rubric_is_refused_with_the_names_there_are():
    with pytest.raises(ValueError, match="treatment-path"):
        bundled("treatment-paht")


def test_a_changed_file_has_another_fingerprint():
    text = (resources.files("casebank.rubric") / "rubrics" / "treatment-path.toml").read_text(encoding="utf-8")
    assert load(text, "a").sha256 == bundled("treatment-path").sha256
    assert load(text + "\n# note\n", "a").sha256 != bundled("treatment-path").sha256
    assert tomllib.loads(text)["version"] == bundled("treatment-path").version


def test_an_example_that_disagrees_is_named():
    text = (resources.files("casebank.rubric") / "rubrics" / "treatment-path.toml").read_text(encoding="utf-8")
    broken = text.replace('credit = 0.4\nworking = "6°', 'credit = 0.5\nworking = "6°')
    assert disagreements(bundled("treatment-path")) == ()
    (sentence,) = disagreements(load(broken, "broken.toml"))
    assert "curvature, example 1" in sentence
    assert "0.4" in sentence
