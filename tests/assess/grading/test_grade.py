"""The grade: a pure function of the case and the log."""

import json
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import AnswerRefused, grade, grade_record
from assess.log import AnyEvent, Chose, Committed, Marked, Measured, Stage
from casebank.casefile import read_document

FIXTURES = Path(__file__).parents[3] / "fixtures"
CASE = "leaning-abutment"
EVENTS = TypeAdapter(tuple[AnyEvent, ...])


@pytest.fixture(scope="module")
def document():
    return read_document(FIXTURES / "cases" / f"{CASE}.case.json")


@pytest.fixture(scope="module")
def sound():
    record = json.loads((FIXTURES / "logs" / f"{CASE}.sound.json").read_text(encoding="utf-8"))
    return EVENTS.validate_json(json.dumps(record["events"]))


def criterion(result, task):
    return next(one for one in result.criteria if one.id == task)


def test_the_same_log_gives_the_same_grade(document, sound):
    assert grade_record(grade(document, sound)) == grade_record(grade(document, sound))


def test_an_empty_log_earns_nothing_and_does_no_harm(document):
    result = grade(document, [])
    assert result.percent == 0
    assert result.unsafe == ()
    assert {one.said for one in result.criteria} == {"no answer"}


def test_the_percent_is_the_weighted_mean_of_its_criteria(document, sound):
    result = grade(document, sound)
    for axis, percent in result.axes.items():
        own = [one for one in result.criteria if one.axis == axis]
        assert percent == pytest.approx(sum(one.credit * one.weight for one in own))
        assert sum(one.weight for one in own) == pytest.approx(100)
    assert result.percent == result.axes["path"]
    assert set(result.axes) == {"path", "decision", "judgement", "written"}


def test_what_stands_on_an_axis_of_its_own_moves_no_other_figure(document, sound):
    before = grade(document, sound)
    apart = {one.id for one in before.criteria if one.axis != "path"}
    after = grade(document, without(sound, apart))
    assert (after.percent, after.stages) == (before.percent, before.stages)
    assert {axis: percent for axis, percent in after.axes.items() if axis != "path"} == {
        "decision": 0,
        "judgement": 0,
        "written": 0,
    }


def without(events, tasks):
    """A log that leaves some tasks out, numbered anew."""
    kept = [event for event in events if getattr(event, "task", "") not in tasks]
    return [event.model_copy(update={"seq": number}) for number, event in enumerate(kept, 1)]


def test_a_bend_is_compared_with_what_its_own_film_shows(document, sound):
    # ten degrees too many on either film: (8 - 3) degrees of slope are used up, so nothing is earned
    events = [
        event.model_copy(update={"value": 28.0}) if getattr(event, "task", "") == "curvature" else event
        for event in sound
    ]
    judged = criterion(grade(document, events), "curvature")
    assert judged.credit == 0
    assert judged.said == "28° for MB"
    assert judged.reference.endswith("for MB or ML")


def test_every_criterion_says_what_was_said_what_was_meant_and_why(document, sound):
    result = grade(document, sound)
    assert all(one.said and one.reference and one.why and one.working for one in result.criteria)
    assert not any("frozenset" in one.said + one.reference for one in result.criteria)


def test_versions_name_everything_a_grade_came_from(document, sound):
    assert grade(document, sound).versions == {
        "case": CASE,
        "schema": 1,
        "rubric": "treatment-path 3",
        "criteria": "aae-2022",
        "grader": 5,
    }


LOOK = {"case": CASE, "stage": Stage.LOOK}


@pytest.mark.parametrize(
    ("events", "sentence"),
    [
        ([Chose(seq=1, **LOOK, task="colour", values=("red",))], r"events\[0\].task: this case asks no colour"),
        (
            [Chose(seq=1, **LOOK, task="curvature", values=("18",))],
            "curvature is a measure and cannot be answered by 'chose'",
        ),
        (
            [Chose(seq=1, **LOOK, task="axis", values=("roots",))],
            r"events\[0\].stage: axis is asked in open, not in look",
        ),
        ([Chose(seq=1, **LOOK, task="pulpal-diagnosis", values=("bad tooth",))], "pulpal-diagnosis: .*bad tooth"),
        ([Measured(seq=1, **LOOK, task="curvature", value=18, of="MB", film=4)], "film 4 was never taken"),
        (
            [Marked(seq=1, **LOOK, task="apex-mark", film=1, size_px=(1450, 1100), points_px=((1, 1),) * 4)],
            "apex-mark: .*4",
        ),
    ],
)
def test_an_answer_that_cannot_be_compared_is_refused_with_its_field(document, events, sentence):
    with pytest.raises(AnswerRefused, match=sentence):
        grade(document, events)


def test_a_finding_that_the_chart_does_not_have_is_refused(document, sound):
    asked = sound[0].model_copy(update={"finding": "z"})
    with pytest.raises(AnswerRefused, match="finding z is not in the chart"):
        grade(document, [asked])


def test_a_half_worked_case_is_graded_for_what_there_is(document, sound):
    end = next(
        place for place, event in enumerate(sound) if event == Committed(seq=event.seq, case=CASE, stage=Stage.LOOK)
    )
    result = grade(document, sound[: end + 1])
    assert result.stages["look"] > 85
    assert result.stages["weigh"] == 0
