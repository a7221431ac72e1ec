"""Unsafe steps that rest on an answer, on an author's own rule, or on harm nobody was told of."""

import json
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import grade, grade_record
from assess.log import AnyEvent
from casebank.casefile import parse_document
from casebank.rubric import bundled
from fixtures.changes import after_last, answered, numbered

FIXTURES = Path(__file__).parents[3] / "fixtures"
CASE = "leaning-abutment"
CASES = ("bread-biter", "grey-incisor", "leaning-abutment", "map-engraver")
EVENTS = TypeAdapter(tuple[AnyEvent, ...])
WORDS = {"words": "Too large for this root", "reason": "The film shows a thin root."}


def record_of(case):
    return json.loads((FIXTURES / "cases" / f"{case}.case.json").read_text(encoding="utf-8"))


def log_of(case, kind="sound"):
    return json.loads((FIXTURES / "logs" / f"{case}.{kind}.json").read_text(encoding="utf-8"))["events"]


def document_with(case=CASE, **changes):
    return parse_document(json.dumps(record_of(case) | changes).encode(), name="try.case.json")


def answering(events, *, tooth="count-and-film", told="told-now"):
    """A log with other answers to how the tooth is made sure of, and to whom harm is told; none, if one is empty."""
    said = {"tooth-check": tooth, "disclosure": told}
    kept = [event for event in events if said.get(event.get("task"), "anything")]
    return numbered(
        [event | {"values": [said[event["task"]]]} if event.get("task") in said else event for event in kept]
    )


def under_the_second_version(events):
    """The case by the rubric's second version, and what of a log that version asks for."""
    rubric = bundled("treatment-path")
    known = {criterion.id for criterion in rubric.criteria}
    choices = {name: key for name, key in record_of(CASE)["choices"].items() if name in known}
    kept = [event for event in events if event.get("task", "decision").partition(".")[0] in known]
    return graded(document_with(rubric="treatment-path", choices=choices), numbered(kept))


def graded(document, events):
    return grade(document, EVENTS.validate_json(json.dumps(events)))


def rules(result):
    return [step.rule for step in result.unsafe]


def credits_of(result):
    return {one.id: one.credit for one in result.criteria}


def without_dam_key():
    choices = record_of(CASE)["choices"]
    key = {part: value for part, value in choices["rubber-dam"].items() if part != "unsafe"}
    return document_with(choices=choices | {"rubber-dam": key})


def test_no_rubber_dam_is_unsafe_even_where_the_author_forgot_to_say_so():
    events = answered("rubber-dam", values=["none"])(log_of(CASE))
    (step,) = graded(without_dam_key(), events).unsafe
    assert (step.rule, step.stage, step.where) == ("no-rubber-dam", "open", "Rubber dam")
    assert step.basis == "common practice, no source"
    assert "airway" in step.why


def test_where_the_author_says_so_the_author_s_own_reason_stands_alone():
    events = answered("rubber-dam", values=["none"])(log_of(CASE))
    (step,) = graded(document_with(), events).unsafe
    assert (step.rule, step.basis) == ("rubber-dam", "the case's author")


def test_an_option_the_author_keyed_as_fitting_is_not_called_unsafe():
    choices = record_of(CASE)["choices"]
    key = {"best": ["none"], "because": "Only for the sake of this test."}
    events = answered("rubber-dam", values=["none"])(log_of(CASE))
    assert graded(document_with(choices=choices | {"rubber-dam": key}), events).unsafe == ()


def test_an_author_s_own_rule_is_reported_with_place_size_and_reason():
    rule = {"when": "size_above", "canal": "MB", "size": 30, **WORDS}
    (step,) = graded(document_with(bench_rules=[rule]), log_of(CASE)).unsafe
    assert (step.rule, step.basis) == ("author-1", "the case's author")
    assert step.why.startswith("Too large for this root: an engine file 35/.04 at 19.")
    assert step.why.endswith("canal MB. The film shows a thin root.")
    assert step.where.startswith("canal MB, move ")


def test_an_author_s_rule_costs_no_credit():
    rule = {"when": "kind_used", "kind": "engine_file", **WORDS}
    ruled, plain = graded(document_with(bench_rules=[rule]), log_of(CASE)), graded(document_with(), log_of(CASE))
    assert rules(ruled) == ["author-1"]
    assert ruled.percent == plain.percent


# ---------------------------------------------------------------- the right tooth, and harm that is told


@pytest.mark.parametrize("case", CASES)
def test_a_sound_log_earns_everything(case):
    result = graded(document_with(case), log_of(case))
    assert result.percent == pytest.approx(100)
    assert result.unsafe == ()


@pytest.mark.parametrize("case", CASES)
def test_a_weak_log_earns_less_than_half_and_its_irrigant_reaches_no_end(case):
    result = graded(document_with(case), log_of(case, "weak"))
    assert result.percent < 50
    assert {credit for task, credit in credits_of(result).items() if task.startswith("disinfection-reach")} == {0}


def test_the_tooth_taken_on_a_word_is_unsafe():
    result = graded(document_with(), answering(log_of(CASE), tooth="as-pointed"))
    (step,) = result.unsafe
    assert (step.rule, step.stage) == ("wrong-tooth", "open")
    assert credits_of(result)["tooth-check"] == 0


def harmful():
    """The sound log, with the furcation's wall brushed through in MB before its cone is tried."""
    flare = {"kind": "coronal_flare", "depth_mm": 6.0, "strokes": 30, "brush": "toward"}
    events = log_of(CASE)
    first = next(n for n, event in enumerate(events) if event["event"] == "committed" and event["stage"] == "shape")
    made = {"event": "moved", "case": CASE, "canal": "MB", "move": flare, "seq": 0}
    return numbered([*events[:first], *[made] * 4, *events[first:]])


@pytest.mark.parametrize("told", ["record-only", "if-asked", "nobody", ""])
def test_a_perforation_nobody_is_told_of_is_unsafe(told):
    result = graded(document_with(), answering(harmful(), told=told))
    assert "wall-perforated" in rules(result)
    last = result.unsafe[-1]
    assert (last.rule, last.stage) == ("harm-not-disclosed", "fill")
    assert last.where.startswith("canal MB, move ")


def test_a_perforation_that_is_told_is_not_kept_quiet():
    assert "harm-not-disclosed" not in rules(graded(document_with(), answering(harmful())))


def test_without_harm_there_is_nothing_to_keep_quiet():
    assert rules(graded(document_with(), answering(log_of(CASE), told="nobody"))) == []


def test_harm_may_still_be_told_until_fill_is_committed():
    events = harmful()
    last = next(n for n, event in enumerate(events) if event["event"] == "committed" and event["stage"] == "shape")
    assert "harm-not-disclosed" not in rules(graded(document_with(), answering(events[: last + 1])))


def test_a_rubric_that_does_not_ask_holds_nobody_to_it():
    assert "harm-not-disclosed" not in rules(under_the_second_version(harmful()))


def test_needless_films_and_moves_cost_a_little():
    sound = log_of(CASE)
    ten = {"kind": "hand_file", "size": 10, "to_mm": 19.0}
    film = {"event": "film", "case": CASE, "seq": 0, "stage": "look", "horizontal_deg": -35.0, "reason": "To see more"}
    wasteful = numbered([*[film] * 3, *after_last("MB", *[ten] * 15)(sound)])
    before = graded(document_with(), answering(sound))
    after = graded(document_with(), answering(wasteful))
    assert credits_of(after)["economy"] < 0.9
    # the criterion weighs one hundredth of the whole
    lost = {task for task in credits_of(before) if credits_of(after)[task] < credits_of(before)[task]}
    assert "economy" in lost
    assert 0 < before.percent - after.percent < 5


# ---------------------------------------------------------------- time in the chair


def test_time_in_the_chair_is_that_of_findings_films_and_moves():
    # no move: two findings of the chart and one further film of 3 minutes
    chart = record_of(CASE)["chart"]
    asked = [one for one in chart if one["when"] == "asked"][:2]
    events = [{"event": "asked", "case": CASE, "seq": 0, "finding": one["letter"]} for one in asked]
    events.append(
        {"event": "film", "case": CASE, "seq": 0, "stage": "look", "horizontal_deg": 20.0, "reason": "Part them"}
    )
    chair = grade_record(graded(document_with(), numbered(events)))["chair"]
    assert chair["findings"] == sum(one["minutes"] for one in asked)
    assert chair["films"] == 3.0
    assert chair["minutes"] == chair["findings"] + 3.0
    assert chair["moves"] == {}


def test_a_record_lists_what_the_bench_showed_whether_it_is_weighed_or_not():
    result = grade_record(graded(document_with(), log_of(CASE)))
    seen = {one["task"]: one for one in result["bench"]}
    assert set(seen) >= {"gauge.MB", "walls-left.MB", "disinfection-reach.D", "economy"}
    assert seen["walls-left.MB"]["canal"] == "MB"
    assert seen["economy"]["canal"] == ""
    assert not {"walls-left.MB", "economy"} & {one.id for one in under_the_second_version(log_of(CASE)).criteria}
    assert json.loads(json.dumps(result["bench"]))[0]["task"] == result["bench"][0]["task"]
