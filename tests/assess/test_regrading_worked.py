"""A regrade is worked out by a worker that may be cancelled, killed or broken at any attempt, and never by two."""

from datetime import timedelta

import pytest
from django.utils import timezone

from assess import actions
from assess.actions import Refused, regrade_work
from assess.grading.again import graded_again
from assess.models import RegradeBatch, RegradeState, StoredGrade
from tests.assess.regrading import LATER, REASON, key_turned, regraded, worked
from tests.factories import AssignedCaseFactory

NAMES = ("ada", "bo", "cy")


class Killed(BaseException):
    """The worker's process ends in the middle of an attempt; nobody has time to say anything."""


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


@pytest.fixture
def batch(assigned, monkeypatch):
    """A drafted regrade of three attempts, worked out one at a time."""
    monkeypatch.setattr(regrade_work, "CHUNK", 1)
    for name in NAMES:
        worked(assigned, "weak", username=name)
    return actions.draft_regrade(
        edition=key_turned(), programme=assigned.assignment.cohort.programme, by=None, now=LATER
    )


def clock():
    return LATER


def killed_after(attempts, monkeypatch):
    asked = []

    def grade(*ask):
        asked.append(ask)
        if len(asked) > attempts:
            raise Killed
        return graded_again(*ask)

    monkeypatch.setattr(regrade_work, "graded_again", grade)


def test_it_shows_how_far_it_has_come(batch):
    shown = []
    done = actions.work_out(batch, clock=clock, show=lambda done, whole: shown.append((done, whole)))
    assert shown == [(1, 3), (2, 3), (3, 3)]
    assert (done.state, done.done, done.whole, done.worker) == (RegradeState.READY, 3, 3, "")


def test_a_cancel_is_heard_before_the_next_attempt_is_stored(batch):
    done = actions.work_out(batch, clock=clock, show=lambda *_: actions.cancel_regrade(batch=batch, by=None))
    assert done.state == RegradeState.CANCELLED
    assert done.regraded.count() == 1
    with pytest.raises(Refused, match="cannot be applied"):
        actions.apply_regrade(batch=done, reason=REASON, by=None, now=LATER)


def test_what_a_killed_worker_has_done_is_kept_and_the_next_one_goes_on(batch, monkeypatch):
    killed_after(2, monkeypatch)
    with pytest.raises(Killed):
        actions.work_out(batch, clock=clock)
    kept = list(batch.regraded.values_list("pk", "grade"))
    assert len(kept) == 2
    asked = []
    monkeypatch.setattr(regrade_work, "graded_again", lambda *ask: asked.append(ask) or graded_again(*ask))
    soon, late = LATER + timedelta(minutes=1), LATER + timedelta(minutes=3)
    assert actions.next_regrade(soon) is None
    assert actions.work_out(batch, clock=lambda: soon).state == RegradeState.COMPUTING
    assert actions.next_regrade(late) == batch
    assert actions.work_out(batch, clock=lambda: late).state == RegradeState.READY
    assert list(batch.regraded.values_list("pk", "grade"))[:2] == kept
    assert len(asked) == 1
    assert StoredGrade.objects.filter(regrade=batch).count() == 3


def test_a_worker_that_was_taken_for_dead_stores_nothing_more(batch):
    def taken_over(done, _):
        if done == 1:
            RegradeBatch.objects.filter(pk=batch.pk).update(worker="another")

    found = actions.work_out(batch, clock=clock, show=taken_over)
    assert (found.worker, found.state, found.regraded.count()) == ("another", RegradeState.COMPUTING, 1)


def test_what_breaks_is_said_in_the_batch_and_nothing_stands_by_it(batch, monkeypatch):
    def broken(*_):
        raise MemoryError("no room left")

    before = list(StoredGrade.objects.standing().values_list("pk", flat=True))
    monkeypatch.setattr(regrade_work, "graded_again", broken)
    with pytest.raises(MemoryError):
        actions.work_out(batch, clock=clock)
    batch.refresh_from_db()
    assert (batch.state, batch.failure) == (RegradeState.FAILED, "no room left")
    assert list(StoredGrade.objects.standing().values_list("pk", flat=True)) == before


def test_a_regrade_drafted_before_the_grader_changed_is_not_mixed(batch, monkeypatch):
    monkeypatch.setattr(regrade_work, "GRADER_VERSION", batch.grader + 1)
    with pytest.raises(ValueError, match="the grader has changed"):
        actions.work_out(batch, clock=clock)


def test_it_asks_the_database_for_a_chunk_at_a_time(batch, monkeypatch):
    sizes = []
    kept = regrade_work._keep
    monkeypatch.setattr(regrade_work, "CHUNK", 2)
    monkeypatch.setattr(
        regrade_work, "_keep", lambda of, chunk, *rest: sizes.append(len(chunk)) or kept(of, chunk, *rest)
    )
    actions.work_out(batch, clock=clock)
    assert sizes == [2, 1]


def test_many_are_graded_in_processes_of_their_own_to_the_same_grades(batch, monkeypatch, assigned):
    alone = actions.work_out(batch, clock=clock)
    expected = {one.attempt_id: one.grade.result for one in alone.regraded.select_related("grade")}
    asks = [regrade_work._ask(batch.edition, one.attempt) for one in alone.regraded.select_related("attempt__edition")]
    with regrade_work._graders(2) as grader:
        found = grader(asks)
    assert [one.record["percent"] for one in found] == [expected[key]["percent"] for key in sorted(expected)]


def test_the_oldest_waits_no_longer_than_the_one_before_it(batch, assigned):
    assert actions.next_regrade(timezone.now()) == batch
    actions.cancel_regrade(batch=batch, by=None)
    assert actions.next_regrade(timezone.now()) is None
    assert regraded(batch.edition, assigned.assignment.cohort.programme).state == RegradeState.READY
