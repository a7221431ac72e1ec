"""What a rubric's file may not say: each refusal names file, criterion and field and what to do."""

import pytest

from casebank.rubric import RubricError, load

HEAD = 'schema = 1\nid = "small"\nversion = 3\ntitle = "Small"\nframework = "undergraduate"\n'
LENGTH = """
[[criterion]]
id = "length"
stage = "shape"
kind = "measure"
label = "Length"
ask = "How long?"
weight = 60
key_type = "anatomical fact"
key_feature = true
per = "canal"
competencies = ["length"]
[criterion.rule]
unit = "mm"
full_within_mm = 0.5
none_beyond_mm = 1.5
plausible_from_mm = 17
plausible_to_mm = 27
[criterion.reasons]
because = "It ends at the constriction."
next_act = "Read the locator."
source = "Teaching choice."
[[criterion.example]]
said = { value = 19.3, of = "MB" }
reference = { value = 19.3, of = ["MB"] }
credit = 1.0
working = "Distance 0."
"""
PLAN = """
[[criterion]]
id = "plan"
stage = "weigh"
kind = "choice"
label = "Plan"
ask = "What next?"
weight = 40
key_type = "panel judgement"
key_feature = false
per = "case"
competencies = ["refer"]
[criterion.rule]
options = { treat = "Treat", refer = "Refer" }
[criterion.reasons]
because = "Limits."
next_act = "Name yours."
source = "Teaching choice."
[[criterion.example]]
said = ["refer"]
reference = { best = ["refer"] }
credit = 1.0
working = "The best."
"""
SMALL = HEAD + LENGTH + PLAN


def test_a_small_rubric_loads():
    rubric = load(SMALL, "small.toml")
    assert (rubric.id, rubric.version, rubric.title) == ("small", 3, "Small")
    assert [criterion.id for criterion in rubric.criteria] == ["length", "plan"]
    assert rubric.criterion("length").rule.none_beyond == 1.5
    assert rubric.criterion("plan").rule.most == 1


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("weight = 60", "weight = 61", "small.toml, weight: the weights add up to 101: change them"),
        ("weight = 60", "weight = 60.0", "criterion length, weight: 60.0 is no whole number"),
        ("key_feature = true", "key_feature = false", "small.toml, key_feature: the key features hold 0 of 100: raise"),
        ("key_feature = true", 'key_feature = "yes"', "criterion length, key_feature: 'yes' is neither true nor false"),
        (
            'kind = "measure"',
            'kind = "gut feeling"',
            "criterion length, kind: 'gut feeling' is not known: write one of",
        ),
        ('stage = "shape"', 'stage = "file"', "criterion length, stage: 'file' is not known: write one of look"),
        ('per = "canal"', 'per = "root"', "criterion length, per: 'root' is not known"),
        ('key_type = "anatomical fact"', 'key_type = "fact"', "criterion length, key_type: 'fact' is not known"),
        ('label = "Length"\n', "", "criterion length, label: missing: add it"),
        (
            'label = "Length"',
            'label = "Length"\nhint = "19"',
            "criterion length, hint: this key is not known here: remove",
        ),
        ('label = "Length"', 'label = ""', "criterion length, label: '' is no text"),
        ("full_within_mm = 0.5", "full_within = 0.5", "criterion length, rule.full_within: .* write full_within_mm"),
        ("full_within_mm = 0.5", "full_within_deg = 0.5", "rule.full_within_deg: .* write full_within_mm"),
        (
            "none_beyond_mm = 1.5",
            "none_beyond_mm = 0.5",
            "criterion length, rule: none_beyond must lie above full_within",
        ),
        ("none_beyond_mm = 1.5", "none_beyond_mm = nan", "criterion length, rule.none_beyond_mm: nan is not finite"),
        ("none_beyond_mm = 1.5", "none_beyond_mm = 4.5", "criterion length, rule: a guess earns 50 % of the credit"),
        ("unit = ", "loose = true\nunit = ", "criterion length, rule.loose: this key is not known here"),
        (
            'unit = "mm"',
            'unit = "inch"',
            "criterion length, rule.unit: 'inch' is not known: write one of mm, deg, count",
        ),
        ('credit = 1.0\nworking = "Distance 0."', 'working = "?"', "criterion length, example 1.credit: missing"),
        ('credit = 1.0\nworking = "Distance 0."', 'credit = 2\nworking = "?"', "example 1.credit: 2 is no credit"),
        ('said = { value = 19.3, of = "MB" }', 'said = { of = "MB" }', "example 1.said.value: missing: add it"),
        ("said = { value = 19.3,", "said = { value = nan,", "example 1.said.value: nan is not finite"),
        (
            '["refer"]\nreference = { best = ["refer"] }',
            '["refer"]\nreference = { best = [] }',
            "example 1.reference: a choice",
        ),
        (', refer = "Refer" }', " }", "criterion plan, rule: options: a choice needs at least two"),
        (
            'options = { treat = "Treat", refer = "Refer" }',
            'options = "any"',
            "criterion plan, rule.options: list the options",
        ),
        (
            'refer = "Refer" }',
            'refer = "Refer" }\npartly = { refer = { wait = 0.5 } }',
            "partly names wait, which is no option",
        ),
        ('refer = "Refer" }', 'refer = "Refer" }\nmost = 0', "criterion plan, rule: most: at least 1"),
        (
            'refer = "Refer" }',
            'refer = "Refer" }\nordered = ["treat", "wait"]',
            "criterion plan, rule: ordered names wait, which is no option: correct it",
        ),
        ('refer = "Refer" }', 'refer = "Refer" }\nordered = ["treat"]', "criterion plan, rule: ordered: list at least"),
        (
            'refer = "Refer" }',
            'refer = "Refer" }\nordered = ["treat", "treat"]',
            "criterion plan, rule: ordered: list at least two options, each once",
        ),
        (
            'refer = "Refer" }',
            'refer = "Refer" }\nmost = 2\nordered = ["treat", "refer"]',
            "criterion plan, rule: ordered: .* of a task that takes one pick",
        ),
        (
            'options = { treat = "Treat", refer = "Refer" }',
            'options = "case"\nordered = ["treat", "refer"]',
            "criterion plan, rule: ordered: the case brings the options",
        ),
        ('competencies = ["length"]\n', "", "criterion length, competencies: missing: add it"),
        ('competencies = ["length"]', "competencies = []", "criterion length, competencies: none: name at least one"),
        (
            'competencies = ["length"]',
            'competencies = ["lenght"]',
            "small.toml, criterion length, competencies: 'lenght' is no competency of the framework undergraduate",
        ),
        (
            'competencies = ["length"]',
            'competencies = ["length", "length"]',
            "criterion length, competencies: a competency is named twice",
        ),
        ('competencies = ["length"]', 'competencies = "length"', "competencies: 'length' is no list of texts"),
        (
            'framework = "undergraduate"',
            'framework = "postgraduate"',
            "small.toml, framework: there is no framework 'postgraduate': use one of undergraduate",
        ),
        ('framework = "undergraduate"\n', "", "small.toml, framework: missing: add it"),
        ('id = "plan"', 'id = "length"', "criterion length, id: it stands 2 times"),
        ('id = "plan"', 'id = "plan.b"', "criterion plan.b, id: write it in small letters and hyphens"),
        ("schema = 1", "schema = 2", "small.toml, schema: 2 is not the schema"),
        ("version = 3", "version = 0", "small.toml, version: 0 is no version"),
        ('title = "Small"', 'title = "Small"\nauthor = "x"', "small.toml, author: this key is not known here"),
        ("schema = 1", "schema = ", "small.toml: not valid TOML"),
    ],
)
def test_a_fault_is_refused_with_file_criterion_field_and_what_to_do(old, new, words):
    assert old in SMALL
    with pytest.raises(RubricError, match=words):
        load(SMALL.replace(old, new, 1), "small.toml")


def test_a_criterion_without_a_worked_example_is_refused():
    with pytest.raises(RubricError, match=r"small.toml, criterion plan, example: no worked example: add one"):
        load(SMALL.partition('[[criterion.example]]\nsaid = ["refer"]')[0], "small.toml")


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("one_over = 0.25\none_under = 0.5", "calling a case easier than it is costs more"),
        ("one_over = 0.5\none_under = 0.5", "calling a case easier than it is costs more"),
        ("one_over = 0.5", "rule.one_under: missing"),
    ],
)
def test_a_level_rule_that_favours_the_under_call_is_refused(rule, words):
    level = (
        PLAN.replace('kind = "choice"', 'kind = "level"')
        .replace(
            'options = { treat = "Treat", refer = "Refer" }',
            f'words = ["low", "moderate", "high"]\n{rule}\ntwo_steps = 0\nwithout_evidence = 0.5\nmost_pins = 4',
        )
        .replace(
            'said = ["refer"]\nreference = { best = ["refer"] }', "said = { level = 1 }\nreference = { level = 1 }"
        )
    )
    with pytest.raises(RubricError, match=words):
        load(HEAD + LENGTH + level, "small.toml")


def test_a_mark_rule_under_which_a_second_guess_would_pay_is_refused():
    mark = (
        PLAN.replace('kind = "choice"', 'kind = "mark"')
        .replace(
            'options = { treat = "Treat", refer = "Refer" }',
            "full_within_mm = 0.5\nnone_beyond_mm = 2\nfalse_mark_cost = 0.4\nmost_marks = 3\nplausible_area_mm2 = 110",
        )
        .replace(
            'said = ["refer"]\nreference = { best = ["refer"] }',
            "said = { points_mm = [[0, 0]] }\nreference = { points_mm = [[0, 0]] }",
        )
    )
    with pytest.raises(RubricError, match="a second guess would pay"):
        load(HEAD + LENGTH + mark, "small.toml")
    assert load(HEAD + LENGTH + mark.replace("cost = 0.4", "cost = 0.5"), "small.toml").criterion("plan").kind == "mark"
    with pytest.raises(RubricError, match=r"rule.full_within: .* write full_within_mm"):
        load(HEAD + LENGTH + mark.replace("full_within_mm", "full_within"), "small.toml")


@pytest.mark.parametrize(
    ("unit", "words"), [("deg", "method: one bend reads differently"), ("count", "counted: say what is counted")]
)
def test_an_angle_names_its_method_and_a_count_its_noun(unit, words):
    with pytest.raises(RubricError, match=words):
        load(SMALL.replace("_mm =", f"_{unit} =").replace('"mm"', f'"{unit}"'), "small.toml")
