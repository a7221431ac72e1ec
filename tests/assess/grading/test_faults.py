"""Each named fault costs exactly the tasks it concerns, and adds exactly its own unsafe steps."""

import json
from functools import cache
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from assess.grading import grade
from assess.log import AnyEvent
from casebank.casefile import read_document
from fixtures.faults import FAULTS, weakened

FIXTURES = Path(__file__).parents[3] / "fixtures"
CASES = ("leaning-abutment",)
EVENTS = TypeAdapter(tuple[AnyEvent, ...])


@cache
def document(case):
    return read_document(FIXTURES / "cases" / f"{case}.case.json")


def sound_log(case):
    return json.loads((FIXTURES / "logs" / f"{case}.sound.json").read_text(encoding="utf-8"))["events"]


def graded(case, events):
    return grade(document(case), EVENTS.validate_json(json.dumps(events)))


def credits_of(result):
    return {criterion.id: criterion.credit for criterion in result.criteria}


def answers_changed(before, after):
    """Tasks whose answer differs between two logs, whatever their numbering."""

    def answers(events):
        return {event["task"]: {**event, "seq": 0} for event in events if "task" in event}

    old, new = answers(before), answers(after)
    return {task for task in old if old[task] != new.get(task)}


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
@pytest.mark.parametrize("case", CASES)
def test_a_fault_costs_what_it_concerns_and_nothing_else(case, fault):
    sound = sound_log(case)
    faulty = weakened(sound, [fault])
    before, after = graded(case, sound), graded(case, faulty)
    was, now = credits_of(before), credits_of(after)
    lost = {task for task in was if now[task] < was[task]}
    assert lost - fault.may_block == answers_changed(sound, faulty) | fault.spoils_at_bench
    assert bool(lost & fault.may_block) == bool(fault.may_block), "packed debris blocks at least one narrow canal"
    assert not {task for task in was if now[task] > was[task]}
    assert {step.rule for step in after.unsafe} - {step.rule for step in before.unsafe} == fault.unsafe


@pytest.mark.parametrize("case", CASES)
def test_the_sound_log_earns_its_grade_without_an_unsafe_step(case):
    result = graded(case, sound_log(case))
    assert result.percent >= 85
    assert result.unsafe == ()


@pytest.mark.parametrize("case", CASES)
def test_the_weak_log_is_the_sound_one_with_every_fault(case):
    path = FIXTURES / "logs" / f"{case}.weak.json"
    stored = json.loads(path.read_text(encoding="utf-8"))["events"]
    assert stored == weakened(sound_log(case), FAULTS), f"make it anew: python -m fixtures.weaken {case}"
    result = graded(case, stored)
    assert result.percent <= 50
    assert {step.rule for step in result.unsafe} >= {rule for fault in FAULTS for rule in fault.unsafe}
