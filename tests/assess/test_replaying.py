"""A whole log is kept as an attempt: checked event by event, chained, graded and counted as if it had been worked."""

import json

import pytest
from pydantic import TypeAdapter

from assess import actions
from assess.actions import Refused
from assess.log import AnyEvent
from assess.models import Attempt, broken_links
from tests.factories import FIXTURES, AssignedCaseFactory

EVENTS = TypeAdapter(tuple[AnyEvent, ...])


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


def sound():
    return json.loads((FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8"))["events"]


def keep(assigned, student, noon, events):
    return actions.keep_worked(
        assigned=assigned,
        student=student,
        events=EVENTS.validate_json(json.dumps(events)),
        seed=7,
        started_at=noon,
    )


def closed(events):
    return [*events, {"seq": len(events) + 1, "case": "leaning-abutment", "event": "committed", "stage": "compare"}]


def test_the_attempt_is_the_log_whole_chained_and_graded(assigned, student, noon):
    attempt = keep(assigned, student, noon, closed(sound()))
    assert attempt.state().is_settled
    assert attempt.edition == assigned.edition
    assert list(broken_links(attempt)) == []
    assert attempt.grades.get().percent >= 85


def test_it_is_counted_once(assigned, student, noon):
    keep(assigned, student, noon, closed(sound()))
    tally = assigned.tallies.get(item="decision")
    assert (tally.agree, tally.over, tally.under, tally.other, tally.silent) == (1, 0, 0, 0, 0)
    assert actions.recount(assigned)


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda events: events[:-1], "does not work the case to its end"),
        (lambda events: [events[0] | {"finding": "z"}, *events[1:]], "event 1: There is no finding z"),
        (lambda events: [*events[:4], *events[5:]], "event 6: .*an event is missing"),
    ],
    ids=["unfinished", "unknown finding", "gap"],
)
def test_a_log_that_could_not_have_been_worked_is_refused_and_nothing_is_kept(assigned, student, noon, spoil, sentence):
    with pytest.raises(Refused, match=sentence):
        keep(assigned, student, noon, spoil(closed(sound())))
    assert not Attempt.objects.exists()
