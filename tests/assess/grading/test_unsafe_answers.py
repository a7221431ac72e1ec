"""Unsafe steps that rest on an answer, on an author's own rule, or on harm nobody was told of."""

import json
from functools import cache
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import grade, grade_record
from assess.log import AnyEvent
from casebank.casefile import parse_document
from fixtures.changes import after_last, answered, numbered
from fixtures.faults import FAULTS, weakened

FIXTURES = Path(__file__).parents[3] / "fixtures"
CASE = "leaning-abutment"
CASES = ("bread-biter", "grey-incisor", "leaning-abutment", "map-engraver")
EVENTS = TypeAdapter(tuple[AnyEvent, ...])
NEW = {"tooth-check", "walls-left", "economy", "disinfection-reach", "disclosure"}
SPOILING_THE_REACH = {"no irrigation", "no recapitulation"}  # nothing rinsed, or mud left at a narrow end
WORDS = {"words": "Too large for this root", "reason": "The film shows a thin root."}
TOOTH_CHECK = {"best": ["count-and-film"], "because": "Two bridges look alike."}
DISCLOSURE = {"best": ["told-now"], "partly": {"record-only": 0.25}, "because": "The patient decides what is next."}


def record_of(case):
    return json.loads((FIXTURES / "cases" / f"{case}.case.json").read_text(encoding="utf-8"))


@cache
def soundly_graded(case):
    return graded(asking_more(case), answering_more(log_of(case)))


def log_of(case, kind="sound"):
    return json.loads((FIXTURES / "logs" / f"{case}.{kind}.json").read_text(encoding="utf-8"))["events"]


def document_with(case=CASE, **changes):
    return parse_document(json.dumps(record_of(case) | changes).encode(), name="try.case.json")


def asking_more(case=CASE):
    """A case under the rubric's third version."""
    choices = record_of(case)["choices"] | {"tooth-check": TOOTH_CHECK, "disclosure": DISCLOSURE}
    return document_with(case, rubric="treatment-path-3", choices=choices)


def answering_more(events, *, tooth="count-and-film", told="told-now"):
    """A log that answers what the third version asks beside the second."""
    more = []
    for event in events:
        if event["event"] == "committed" and event["stage"] in ("open", "fill"):
            task, value = ("tooth-check", tooth) if event["stage"] == "open" else ("disclosure", told)
            if value:
                said = {"event": "chose", "case": event["case"], "stage": event["stage"]}
                more.append(said | {"seq": 0, "task": task, "values": [value]})
        more.append(event)
    return numbered(more)


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


# ---------------------------------------------------------------- the third version of the rubric


@pytest.mark.parametrize("case", CASES)
def test_a_sound_log_that_answers_everything_earns_everything(case):
    result = graded(asking_more(case), answering_more(log_of(case)))
    assert result.percent == pytest.approx(100)
    assert result.unsafe == ()
    assert result.versions["rubric"] == "treatment-path 3"


@pytest.mark.parametrize("case", CASES)
def test_a_weak_log_still_earns_less_than_half_and_its_irrigant_reaches_no_end(case):
    result = graded(asking_more(case), answering_more(log_of(case, "weak")))
    assert result.percent < 50
    assert {credit for task, credit in credits_of(result).items() if task.startswith("disinfection-reach")} == {0}


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_costs_what_it_did_and_of_the_new_tasks_only_the_irrigant_s_reach(case, fault):
    document = asking_more(case)
    deed = fault.deed_in(document)
    if deed is None:
        assert not fault.applies(document)
        return
    before, after = soundly_graded(case), graded(document, answering_more(weakened(document, log_of(case), [fault])))
    lost = {task.partition(".")[0] for task, credit in credits_of(before).items() if credits_of(after)[task] < credit}
    assert lost & NEW <= ({"disinfection-reach"} if fault.name in SPOILING_THE_REACH else set())
    assert set(rules(after)) == deed.unsafe


def test_the_tooth_taken_on_a_word_is_unsafe():
    result = graded(asking_more(), answering_more(log_of(CASE), tooth="as-pointed"))
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
    result = graded(asking_more(), answering_more(harmful(), told=told))
    assert "wall-perforated" in rules(result)
    last = result.unsafe[-1]
    assert (last.rule, last.stage) == ("harm-not-disclosed", "fill")
    assert last.where.startswith("canal MB, move ")


def test_a_perforation_that_is_told_is_not_kept_quiet():
    assert "harm-not-disclosed" not in rules(graded(asking_more(), answering_more(harmful())))


def test_without_harm_there_is_nothing_to_keep_quiet():
    assert rules(graded(asking_more(), answering_more(log_of(CASE), told="nobody"))) == []


def test_harm_may_still_be_told_until_fill_is_committed():
    events = harmful()
    last = next(n for n, event in enumerate(events) if event["event"] == "committed" and event["stage"] == "shape")
    assert "harm-not-disclosed" not in rules(graded(asking_more(), answering_more(events[: last + 1])))


def test_a_rubric_that_does_not_ask_holds_nobody_to_it():
    assert "harm-not-disclosed" not in rules(graded(document_with(), harmful()))


def test_needless_films_and_moves_cost_a_little():
    sound = log_of(CASE)
    ten = {"kind": "hand_file", "size": 10, "to_mm": 19.0}
    film = {"event": "film", "case": CASE, "seq": 0, "stage": "look", "horizontal_deg": -35.0, "reason": "To see more"}
    wasteful = numbered([*[film] * 3, *after_last("MB", *[ten] * 15)(sound)])
    before = graded(asking_more(), answering_more(sound))
    after = graded(asking_more(), answering_more(wasteful))
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
    assert not {"walls-left.MB", "economy"} & {one["id"] for one in result["criteria"]}
    assert json.loads(json.dumps(result["bench"]))[0]["task"] == result["bench"][0]["task"]
