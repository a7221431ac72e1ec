"""How far a cohort has come in its graded work: each case with every student, for the cohort's tutors."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils.translation import gettext as _

from assess.log import Stage
from assess.models import Assignment, Attempt
from assess.presenting.assigned import SetWork, set_work
from assess.presenting.standing import STAGE_NAMES

Graded = Mapping[int, tuple[float, int]]
"""By attempt: the percent of its standing grade, and its number of unsafe steps."""


@dataclass(frozen=True)
class StudentRow:
    """One student at one case. An attempt can be read once it is graded, so only then it has an address."""

    student: str
    seated: bool
    state: str
    public_id: UUID | None
    percent: float | None
    unsafe: int | None


@dataclass(frozen=True)
class CaseProgress:
    title: str
    tooth: int
    finished: int
    rows: tuple[StudentRow, ...]


@dataclass(frozen=True)
class Progress:
    set_work: SetWork
    cases: tuple[CaseProgress, ...]


def progress(
    assignments: Sequence[Assignment],
    seated: Mapping[int, str],
    attempts: Sequence[Attempt],
    graded: Graded,
    now: datetime,
) -> list[Progress]:
    """Graded assignments with their cases, which are fetched beforehand: open ones first, those still to come last.

    `seated` are the names of the students in the cohort by account; whoever began and has left it since is listed too.
    Each attempt carries `committed`, its number of committed stages.
    """
    rows = []
    for assignment in assignments:
        cases = []
        for assigned in assignment.cases.all():
            begun = {attempt.student_id: attempt for attempt in attempts if attempt.assigned_id == assigned.pk}
            names = {**{key: one.student.username for key, one in begun.items()}, **seated}
            students = tuple(
                _row(name, key in seated, begun.get(key), graded)
                for key, name in sorted(names.items(), key=lambda pair: pair[1])
            )
            edition = assigned.edition
            finished = sum(row.percent is not None for row in students)
            cases.append(CaseProgress(edition.title, edition.tooth, finished, students))
        rows.append(Progress(set_work(assignment, now), tuple(cases)))
    return sorted(rows, key=lambda row: ("open", "closed", "coming").index(row.set_work.standing))


def _row(name: str, seated: bool, attempt: Attempt | None, graded: Graded) -> StudentRow:
    if attempt is None:
        return StudentRow(name, seated, _("not begun"), None, None, None)
    if attempt.pk in graded:
        percent, unsafe = graded[attempt.pk]
        return StudentRow(name, seated, _("finished"), attempt.public_id, percent, unsafe)
    stage = tuple(Stage)[min(getattr(attempt, "committed", 0), len(Stage) - 1)]
    return StudentRow(name, seated, _("at stage %(stage)s") % {"stage": STAGE_NAMES[stage]}, None, None, None)
