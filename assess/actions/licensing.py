"""What a student's school lets them plan at this moment, added by the server to the answer that asks it."""

from django.db.models import Max

from assess.grading.fits import tasks_of
from assess.grading.licence import within_licence
from assess.log import AnyEvent, Chose
from assess.models import AssignedCase, Attempt
from casebank.casefile import Document
from casebank.models import Licence as Stated
from casebank.models import Role, Seat, User
from casebank.rubric import LIMITS, Licence


def licence_held(*, student: User, assigned: AssignedCase | None) -> Licence | None:
    """The licence a student holds now; none where no year is known, or nothing is stated for it.

    In assigned work it is that of the cohort's year. Where the cohort has none, as in a resit, and in practice of one's
    own, it is that of the highest year among the student's cohorts of a programme. Whoever learns in two programmes
    practises under the stricter licence.
    """
    if assigned is not None and (year := assigned.assignment.cohort.year):
        years = {assigned.assignment.cohort.programme_id: year}
    else:
        seats = Seat.objects.filter(membership__user=student, membership__role=Role.STUDENT, cohort__year__isnull=False)
        if assigned is not None:
            seats = seats.filter(cohort__programme=assigned.assignment.cohort.programme_id)
        by_programme = seats.order_by().values_list("cohort__programme").annotate(Max("cohort__year"))
        years = dict(by_programme)
    rows = Stated.objects.filter(programme__in=years)
    held = [row.value for row in rows if row.year == years[row.programme_id]]
    return max(held, key=_strictness, default=None)


def under_licence(event: AnyEvent, attempt: Attempt) -> AnyEvent:
    """An event as it is stored: one that decides whether to treat says under which licence."""
    if not isinstance(event, Chose):
        return event
    document = attempt.edition.document
    if event.task not in _tasks(document):
        return event
    return with_licence(event, document, licence_held(student=attempt.student, assigned=attempt.assigned))


def with_licence(event: AnyEvent, document: Document, licence: Licence | None) -> AnyEvent:
    """The event with a licence where its task asks that, and without one anywhere else."""
    if not isinstance(event, Chose):
        return event
    return event.model_copy(update={"licence": licence if event.task in _tasks(document) else None})


def as_sent(event: AnyEvent) -> AnyEvent:
    """An event as it came in, before the licence was added."""
    return event.model_copy(update={"licence": None}) if isinstance(event, Chose) else event


def _tasks(document: Document) -> frozenset[str]:
    return frozenset(task.id for task in tasks_of(document) if within_licence(task.criterion))


def _strictness(licence: Licence) -> tuple[int, ...]:
    """From what is met most often, the easy case, on."""
    return tuple(LIMITS.index(limit) for limit in licence.limits)
