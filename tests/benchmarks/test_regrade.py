"""How long a regrade takes and how much it holds: 200 invented students of the demo, each with a log of their own.

10,000 attempts are wanted in 60 s, which is 6 ms an attempt over all the machine's cores. What is measured here is 200
attempts, worked out, applied and undone; ten thousand are that as often as they are more, since chunks do not grow.
"""

import json
import os
import tracemalloc

import pytest

from assess import actions
from assess.actions import regrade_work
from casebank.models import Role
from fixtures.robots import answer_log, students
from tests.assess.regrading import EVENTS, LATER, REASON, key_turned
from tests.factories import FIXTURES, NOON, AssignedCaseFactory, leaning_abutment, seated

ATTEMPTS, SEED = 200, 2606
MOST_GROWTH_BYTES = 20_000_000


@pytest.fixture
def assigned(db):
    """A cohort of 200 invented students who have worked the case, each in their own way."""
    assigned = AssignedCaseFactory()
    sound = json.loads((FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8"))["events"]
    for number, student in enumerate(students(ATTEMPTS, SEED)):
        log = answer_log(leaning_abutment()[1], sound, student, SEED + number)
        closing = {"seq": len(log) + 1, "case": "leaning-abutment", "event": "committed", "stage": "compare"}
        actions.keep_worked(
            assigned=assigned,
            student=seated(assigned.assignment.cohort, Role.STUDENT),
            events=EVENTS.validate_json(json.dumps([*log, closing])),
            seed=number,
            started_at=NOON,
        )
    return assigned


def draft(assigned):
    return actions.draft_regrade(
        edition=key_turned(), programme=assigned.assignment.cohort.programme, by=None, now=LATER
    )


def test_two_hundred_worked_out_in_every_core(benchmark, assigned, monkeypatch):
    monkeypatch.setattr(regrade_work, "MANY", 1)
    batch = draft(assigned)
    cores = os.cpu_count() or 1
    benchmark.pedantic(
        actions.work_out, args=(batch,), kwargs={"processes": cores, "clock": lambda: LATER}, rounds=1, iterations=1
    )
    assert batch.regraded.filter(grade__isnull=False).count() == ATTEMPTS


def test_two_hundred_applied_and_undone(benchmark, assigned):
    batch = actions.work_out(draft(assigned), clock=lambda: LATER)

    def there_and_back():
        actions.apply_regrade(batch=batch, reason=REASON, by=None, now=LATER)
        actions.undo_regrade(batch=batch, reason=REASON, by=None, now=LATER)

    benchmark.pedantic(there_and_back, rounds=1, iterations=1)
    assert actions.recount(assigned)


def test_memory_does_not_grow_with_the_attempts(assigned):
    """What is held after each chunk, once the first two have filled what is kept for all."""
    held = []
    tracemalloc.start()
    try:
        actions.work_out(
            draft(assigned), clock=lambda: LATER, show=lambda *_: held.append(tracemalloc.get_traced_memory()[0])
        )
    finally:
        tracemalloc.stop()
    assert len(held) == ATTEMPTS // regrade_work.CHUNK
    assert held[-1] - held[1] <= MOST_GROWTH_BYTES
