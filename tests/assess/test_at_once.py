"""Many at once, each with a connection of its own as a worker has: one is accepted and nothing is mixed."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from assess import actions
from assess.log import Stage
from assess.models import Attempt, Event, StoredGrade, broken_links
from casebank.models import Role
from tests.factories import NOON, AttemptFactory, EditionFactory, member
from tests.several import in_own_connection

TIMES = 50
WORKERS = 16
ESTIMATE = {"look": 80, "weigh": 70, "open": 60, "shape": 50, "fill": 90}
DIAGNOSIS = {"stage": "look", "task": "pulpal-diagnosis"}

pytestmark = pytest.mark.usefixtures("several")


@pytest.fixture
def attempt(several):
    return AttemptFactory()


def at_once(act):
    """What fifty calls return, or the refusal they end in; the call gets its number."""

    def caught(number):
        try:
            return act(number)
        except actions.Refused as refusal:
            return refusal

    with ThreadPoolExecutor(WORKERS) as pool:
        return list(pool.map(in_own_connection(caught), range(TIMES)))


def commit(attempt, stage=Stage.LOOK):
    return actions.commit_stage(attempt=attempt, stage=stage, by=attempt.student, now=NOON)


def choose(attempt, option, key=""):
    fields = DIAGNOSIS | {"values": [option]}
    return actions.record(attempt=attempt, event="chose", fields=fields, by=attempt.student, now=NOON, key=key)


def test_the_shared_database_is_as_durable_as_a_servers(several):
    if several.vendor == "postgresql":
        assert several.isolation_level.name == "READ_COMMITTED"
        return
    wanted = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}  # 2 is FULL
    with several.cursor() as cursor:
        assert {name: cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted} == wanted
    assert several.transaction_mode == "IMMEDIATE"


def test_fifty_commits_leave_one(attempt):
    assert len(set(at_once(lambda _: commit(attempt)))) == 1
    assert Event.objects.count() == 1


def test_fifty_submissions_of_one_key_leave_one(attempt):
    assert len(set(at_once(lambda _: choose(attempt, "pulp necrosis", key="k1")))) == 1
    assert Event.objects.count() == 1


def test_fifty_different_events_all_stand_in_one_chain(attempt):
    at_once(lambda number: choose(attempt, "pulp necrosis", key=f"k{number}"))
    assert [event.seq for event in attempt.log()] == list(range(1, TIMES + 1))
    assert list(broken_links(attempt)) == []


def test_fifty_starts_are_one_attempt(several):
    case, student = EditionFactory().case, member(Role.STUDENT)
    assert len(set(at_once(lambda _: actions.start_attempt(case=case, by=student, now=NOON)))) == 1
    assert Attempt.objects.count() == 1


def test_answers_racing_a_commit_stand_before_it_or_are_refused(attempt):
    results = at_once(lambda number: commit(attempt) if number == 25 else choose(attempt, "normal pulp"))
    refused = [result for result in results if isinstance(result, actions.StageClosed)]
    log = attempt.log()
    assert log[-1].event == "committed"
    assert len(log) + len(refused) == TIMES
    assert list(broken_links(attempt)) == []


def test_fifty_estimates_are_one_grade(attempt):
    for stage in (Stage.LOOK, Stage.WEIGH, Stage.OPEN, Stage.SHAPE, Stage.FILL):
        commit(attempt, stage)

    def estimate(number):
        return actions.self_grade(attempt=attempt, percents=ESTIMATE | {"look": number}, by=attempt.student, now=NOON)

    assert len(set(at_once(estimate))) == 1
    assert StoredGrade.objects.count() == 1
    assert attempt.state().open_stage is None
