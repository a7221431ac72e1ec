"""Each named fault costs exactly the tasks it concerns, and adds exactly its own unsafe steps, in every case."""

import json
from functools import cache
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import grade
from assess.log import AnyEvent
from casebank.casefile import read_document
from fixtures.faults import FAULTS, applicable, weakened

FIXTURES = Path(__file__).parents[3] / "fixtures"
CASES = sorted(path.name.removesuffix(".case.json") for path in (FIXTURES / "cases").glob("*.case.json"))
EVENTS = TypeAdapter(tuple[AnyEvent, ...])


@cache
def document(case):
    return read_document(FIXTURES / "cases" / f"{case}.case.json")


@cache
def sound_log(case):
    return json.loads((FIXTURES / "logs" / f"{case}.sound.json").read_text(encoding="utf-8"))["events"]


def graded(case, events):
    return grade(document(case), EVENTS.validate_json(json.dumps(events)))


@cache
def soundly_graded(case):
    return graded(case, sound_log(case))


def credits_of(result):
    return {criterion.id: criterion.credit for criterion in result.criteria}


def answers_changed(before, after):
    """Tasks whose answer differs between two logs, whatever their numbering."""

    def answers(events):
        return {event["task"]: {**event, "seq": 0} for event in events if "task" in event}

    old, new = answers(before), answers(after)
    return {task for task in old if old[task] != new.get(task)}


def committed():
    """Every fault that a case allows, with the case."""
    return [
        pytest.param(case, fault, id=f"{case}-{fault.name}") for case in CASES for fault in applicable(document(case))
    ]


@pytest.mark.parametrize(("case", "fault"), committed())
def test_a_fault_costs_what_it_concerns_and_nothing_else(case, fault):
    deed, sound = fault.deed_in(document(case)), sound_log(case)
    faulty = weakened(document(case), sound, [fault])
    before, after = soundly_graded(case), graded(case, faulty)
    was, now = credits_of(before), credits_of(after)
    lost = {task for task in was if now[task] < was[task]}
    assert lost - deed.may_block == answers_changed(sound, faulty) | deed.spoils_at_bench
    assert bool(lost & deed.may_block) == bool(deed.may_block), "packed debris blocks at least one narrow canal"
    assert not {task for task in was if now[task] > was[task]}
    assert {step.rule for step in after.unsafe} - {step.rule for step in before.unsafe} == deed.unsafe


@pytest.mark.parametrize("case", CASES)
def test_a_case_allows_ten_faults_or_more(case):
    assert len(applicable(document(case))) >= 10


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_can_be_committed_in_some_case(fault):
    assert any(fault.applies(document(case)) for case in CASES)


@pytest.mark.parametrize("case", CASES)
def test_a_fault_that_a_case_does_not_allow_leaves_the_log_as_it_is(case):
    impossible = [fault for fault in FAULTS if not fault.applies(document(case))]
    assert weakened(document(case), sound_log(case), impossible) == sound_log(case)


@pytest.mark.parametrize("case", CASES)
def test_a_case_has_both_logs(case):
    assert [(FIXTURES / "logs" / f"{case}.{kind}.json").exists() for kind in ("sound", "weak")] == [True, True]


@pytest.mark.parametrize("case", CASES)
def test_the_sound_log_earns_its_grade_without_an_unsafe_step(case):
    result = soundly_graded(case)
    assert result.percent >= 85
    assert result.unsafe == ()


@pytest.mark.parametrize("case", CASES)
def test_the_weak_log_is_the_sound_one_with_every_fault(case):
    path = FIXTURES / "logs" / f"{case}.weak.json"
    stored = json.loads(path.read_text(encoding="utf-8"))["events"]
    assert stored == weakened(document(case), sound_log(case), FAULTS), (
        f"make it anew: python -m fixtures.weaken {case}"
    )
    result = graded(case, stored)
    assert result.percent <= 50
    expected = {rule for fault in applicable(document(case)) for rule in fault.deed_in(document(case)).unsafe}
    assert {step.rule for step in result.unsafe} >= expected
