"""What becomes of each item of a grade: worked by hand on records as they are stored."""

import json
from itertools import permutations
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import grade, grade_record
from assess.grading.outcomes import Outcome, outcomes
from assess.log import AnyEvent, Chose, Levelled, Stage
from casebank.casefile import read_document

CASE = "leaning-abutment"
FIXTURES = Path(__file__).parents[3] / "fixtures"


def task(name, leaning, credit=None, answered=True):
    """A task as a stored grade holds it; only what an outcome rests on, and a credit that could mislead."""
    return {"id": name, "leaning": leaning, "credit": credit, "answered": answered}


def silent(name):
    return task(name, None, credit=0.0, answered=False)


def canals(*leanings):
    """A criterion asked in three canals; `...` stands for a canal without an answer."""
    names = ("gauge.MB", "gauge.ML", "gauge.D")
    return [
        silent(name) if leaning is ... else task(name, leaning) for name, leaning in zip(names, leanings, strict=True)
    ]


@pytest.mark.parametrize(("leaning", "outcome"), [(0, "agree"), (1, "over"), (-1, "under"), (None, "other")])
def test_one_answer_gives_the_outcome_it_leans_to(leaning, outcome):
    assert outcomes([task("decision", leaning)]) == {"decision": outcome}


def test_no_answer_is_silent_and_not_other():
    assert outcomes([silent("decision")]) == {"decision": "silent"}


@pytest.mark.parametrize(
    ("leanings", "outcome"),
    [
        ((0, 0, 0), "agree"),
        ((0, 0, 1), "over"),
        ((1, 1, None), "over"),
        ((0, -1, -1), "under"),
        ((1, -1, 0), "other"),  # one over, one under
        ((0, 0, None), "other"),  # one departs without a direction
        ((0, 0, ...), "other"),  # two agree, one was left out: not all agree
        ((1, ..., ...), "over"),
        ((..., ..., ...), "silent"),
    ],
)
def test_the_canals_of_one_criterion_are_taken_together_in_any_order(leanings, outcome):
    for order in permutations(leanings):
        assert outcomes(canals(*order)) == {"gauge": outcome}


def test_each_factor_is_an_item_of_its_own_and_items_keep_the_order_they_are_asked_in():
    record = [
        task("difficulty-levels.crown", -1, credit=0.25),
        task("difficulty-levels.health", 0, credit=1.0),
        task("working-length.MB", 0),
        task("decision", -1),
        task("working-length.D", 1),
    ]
    assert list(outcomes(record).items()) == [
        ("difficulty-levels.crown", Outcome.UNDER),
        ("difficulty-levels.health", Outcome.AGREE),
        ("working-length", Outcome.OVER),
        ("decision", Outcome.UNDER),
    ]


def test_a_level_without_evidence_agrees_although_it_earned_half():
    assert outcomes([task("difficulty-levels.crown", 0, credit=0.5)]) == {"difficulty-levels.crown": "agree"}


def test_an_outcome_is_written_as_its_word():
    assert [str(outcome) for outcome in Outcome] == ["agree", "over", "under", "other", "silent"]


def test_a_grade_that_does_not_say_how_an_answer_leans_is_refused_with_what_to_do():
    with pytest.raises(
        ValueError, match=r"grade of gauge.MB does not say which way its answer leans: grade the attempt again"
    ):
        outcomes([{"id": "gauge.MB", "credit": 1.0}])


@pytest.fixture(scope="module")
def document():
    return read_document(FIXTURES / "cases" / f"{CASE}.case.json")


def stored(document, events):
    """The criteria of a grade after a round trip through JSON, as they come out of the database."""
    return json.loads(json.dumps(grade_record(grade(document, events))))["criteria"]


def test_an_empty_log_is_silent_on_every_item_of_the_case(document):
    # 43 criteria, of which the difficulty's is asked once for each of the 17 factors of its set
    items = outcomes(stored(document, []))
    assert set(items.values()) == {Outcome.SILENT}
    factors = [item for item in items if item.startswith("difficulty-levels.")]
    assert (len(factors), len(items)) == (17, 42 + 17)


def test_answers_given_too_low_too_high_and_rightly_are_told_apart(document):
    # the reference: crown high, health low, and to refer; 37 is a second molar under a bridge
    weigh = {"seq": 1, "case": CASE}
    events = [
        *read_sound("look"),
        Levelled(**weigh, task="difficulty-levels.crown", level=2, evidence=("b",)),
        Levelled(**weigh, task="difficulty-levels.health", level=2, evidence=("l",)),
        Levelled(**weigh, task="difficulty-levels.position", level=3),
        Chose(**weigh, stage=Stage.WEIGH, task="decision", values=("supervised",)),
    ]
    events = [event.model_copy(update={"seq": number}) for number, event in enumerate(events, 1)]
    items = outcomes(stored(document, events))
    assert items["difficulty-levels.crown"] is Outcome.UNDER
    assert items["difficulty-levels.health"] is Outcome.OVER
    assert items["difficulty-levels.position"] is Outcome.AGREE
    assert items["decision"] is Outcome.UNDER
    assert items["overall"] is Outcome.SILENT


def read_sound(stage):
    """The events of the sound log up to the end of a stage."""
    record = json.loads((FIXTURES / "logs" / f"{CASE}.sound.json").read_text(encoding="utf-8"))
    events = TypeAdapter(tuple[AnyEvent, ...]).validate_json(json.dumps(record["events"]))
    end = next(place for place, event in enumerate(events) if event.event == "committed" and event.stage == stage)
    return events[: end + 1]
