"""A whole attempt from a log: for a demo's invented students. Each event is checked as if it had been sent alone."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db import transaction

from assess.actions.licensing import licence_held, with_licence
from assess.actions.refusals import Refused
from assess.actions.settling import keep_grade
from assess.grading import AnswerRefused, grade
from assess.grading.fits import require_fit
from assess.log import AnyEvent, OutOfTurn, State, step
from assess.models import AssignedCase, Attempt, Event
from casebank.models import User

PACE = timedelta(seconds=12)  # between two events: half an hour or so a case


def keep_worked(
    *, assigned: AssignedCase, student: User, events: Sequence[AnyEvent], seed: int, started_at: datetime
) -> Attempt:
    """Store a log that works a case to its end, with its grade, as a student's attempt at an assigned case.

    Whether to treat is answered under the licence the school states for the student now, as it is in an attempt.
    There is no policy to ask: only the program itself makes students up. Refused names the event that cannot stand.
    """
    document = assigned.edition.document
    licence = licence_held(student=student, assigned=assigned)
    events = [with_licence(event, document, licence) for event in events]
    state = State()
    for event in events:
        try:
            require_fit(document, state, event)
            state = step(state, event, case=document.slug)
        except (AnswerRefused, OutOfTurn) as trouble:
            raise Refused(f"event {event.seq}: {trouble}") from trouble
    if not state.is_settled or state.open_stage is not None:
        raise Refused("the log does not work the case to its end: commit every stage and estimate each")
    with transaction.atomic():
        attempt = Attempt.objects.create(
            edition=assigned.edition, assigned=assigned, student=student, started_at=started_at, seed=seed
        )
        _store_all(attempt, events)
        finished_at = started_at + PACE * len(events)
        keep_grade(attempt, grade(document, events), events=len(events), now=finished_at)
        return attempt


def _store_all(attempt: Attempt, events: Sequence[AnyEvent]) -> None:
    previous, rows = attempt.first_link(), []
    for event in events:
        row = Event(
            attempt=attempt,
            seq=event.seq,
            kind=event.event,
            payload=event.model_dump_json(),
            at=attempt.started_at + PACE * event.seq,
            previous=previous,
        )
        row.sha256 = previous = row.link()
        rows.append(row)
    Event.objects.bulk_create(rows)
