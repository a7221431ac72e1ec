"""What is set for a student: each assignment with its cases, how far the student has come, and the one thing to do."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from assess.log import Stage
from assess.models import AssignedCase, Assignment, Feedback
from assess.presenting.listing import Work
from assess.presenting.moments import moment_words
from assess.presenting.naming import tooth_words

SHOWN_AFTER_CLOSING = timedelta(days=30)
"""How long a closed assignment stays among what is set; its attempts stay among the student's own for good."""


@dataclass(frozen=True)
class SetWork:
    """An assignment as its students see it; the moments are in words. `standing` is coming, open or closed."""

    public_id: UUID
    title: str
    cohort: str
    graded: bool
    standing: str
    opens: str
    closes: str
    kept_back: bool


@dataclass(frozen=True)
class SetCase:
    """One case of an assignment. `act` is what can be done now: begin, go-on, read, compare, or nothing."""

    slug: str
    title: str
    tooth: int
    tooth_words: str
    work: Work | None
    act: str


@dataclass(frozen=True)
class SetRow:
    set_work: SetWork
    cases: tuple[SetCase, ...]


def set_work(assignment: Assignment, now: datetime) -> SetWork:
    programme = assignment.cohort.programme
    closed = assignment.has_closed(now)
    return SetWork(
        public_id=assignment.public_id,
        title=assignment.title,
        cohort=assignment.cohort.name,
        graded=assignment.is_graded,
        standing="closed" if closed else "open" if assignment.is_open(now) else "coming",
        opens=moment_words(assignment.opens_at, programme),
        closes=moment_words(assignment.closes_at, programme),
        kept_back=assignment.feedback == Feedback.AFTER_CLOSING and not closed,
    )


def set_rows(assignments: Sequence[Assignment], works: Sequence[Work], now: datetime) -> list[SetRow]:
    """Assignments with their cases, which are fetched beforehand, as rows: open ones first, closed ones last."""
    order = ("open", "coming", "closed")
    by_case = {work.assigned: work for work in works if work.assigned is not None}
    rows = []
    for assignment in assignments:
        head = set_work(assignment, now)
        cases = tuple(_case(one, head, by_case.get(one.pk)) for one in assignment.cases.all())
        rows.append(SetRow(head, cases))
    return sorted(rows, key=lambda row: order.index(row.set_work.standing))


def _case(assigned: AssignedCase, head: SetWork, work: Work | None) -> SetCase:
    edition = assigned.edition
    return SetCase(
        slug=edition.case.slug,
        title=edition.title,
        tooth=edition.tooth,
        tooth_words=tooth_words(edition.tooth),
        work=work,
        act=_act(head, work),
    )


def _act(head: SetWork, work: Work | None) -> str:
    if work is None:
        return "begin" if head.standing == "open" else ""
    if work.stage is None:
        return "compare"
    own_estimate_is_due = work.stage == Stage.COMPARE  # it adds no answer, so it may come after the closing
    return "go-on" if head.standing == "open" or own_estimate_is_due else "read"
