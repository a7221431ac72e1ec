"""What tests of regrades share: a case with a corrected key, and attempts worked by the fixture logs."""

import json
from functools import cache

from pydantic import TypeAdapter

from assess import actions
from assess.log import AnyEvent
from casebank.models import Role
from tests.factories import FIXTURES, NOON, EditionFactory, leaning_abutment, seated

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
LATER = NOON.replace(hour=15)
REASON = "The isolation was keyed too strictly"


@cache
def log_of(kind):
    """The sound or the weak log of the leaning abutment, closed."""
    path = FIXTURES / "logs" / f"leaning-abutment.{kind}.json"
    events = json.loads(path.read_text(encoding="utf-8"))["events"]
    closing = {"seq": len(events) + 1, "case": "leaning-abutment", "event": "committed", "stage": "compare"}
    return EVENTS.validate_json(json.dumps([*events, closing]))


def worked(assigned, kind, **fields):
    """A student of the cohort who has worked an assigned case by one of the logs."""
    student = seated(assigned.assignment.cohort, Role.STUDENT, **fields)
    return actions.keep_worked(assigned=assigned, student=student, events=log_of(kind), seed=7, started_at=NOON)


def changed(change, number=2):
    """The leaning abutment with something changed, as a further edition; as a row, so that any change can be tried."""
    case = json.loads(leaning_abutment()[0])
    change(case)
    return EditionFactory(content=json.dumps(case), number=number, title=case["title"])


def said_to(task, kind):
    """What a log answers to a task that is chosen."""
    return next(event.values for event in log_of(kind) if event.event == "chose" and event.task == task)


def key_turned(task="axis", number=2):
    """An edition in which what the weak log answers to a task is right, and nothing else is."""
    answered = said_to(task, "weak")

    def turn(case):
        case["choices"][task] = {"best": list(answered), "because": "The key was wrong."}

    return changed(turn, number)


def regraded(edition, programme, *, now=LATER, **fields):
    """A regrade that has been worked out."""
    batch = actions.draft_regrade(edition=edition, programme=programme, by=None, now=now, **fields)
    return actions.work_out(batch, clock=lambda: now)
