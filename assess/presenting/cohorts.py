"""Cohorts as rows, and one cohort: who sits in it, what was set for it, and how many have finished each case."""

from collections import Counter
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Count
from django.utils.translation import gettext as _

from assess.models import Assignment, Attempt
from assess.presenting.naming import tooth_words
from assess.stats import LEAST_SHOWN
from casebank.models import Cohort, Programme, Role, Seat


@dataclass(frozen=True)
class CohortRow:
    """One cohort in a list: its seats, and its assignments by how they stand."""

    pk: int
    slug: str
    name: str
    students: int
    tutors: int
    coming: int
    open: int
    closed: int


@dataclass(frozen=True)
class ProgrammeRows:
    name: str
    slug: str
    zone: str
    directed: bool
    cohorts: tuple[CohortRow, ...]


@dataclass(frozen=True)
class SeatRow:
    """One account in a cohort: its name, and whether the reader may give it a new password."""

    membership: int
    account: str
    renewable: bool
    signs_in: bool


@dataclass(frozen=True)
class SetCase:
    title: str
    tooth: int
    tooth_words: str
    finished: str


@dataclass(frozen=True)
class SetWork:
    """One assignment as a cohort's page has it; `standing` is coming, open or closed."""

    public_id: UUID
    title: str
    graded: bool
    mode: str
    feedback: str
    opens_at: datetime
    closes_at: datetime
    standing: str
    cases: tuple[SetCase, ...]
    table_is_open: bool


def programme_rows(
    cohorts: Sequence[Cohort], directed: Sequence[Programme], now: datetime
) -> tuple[ProgrammeRows, ...]:
    """Cohorts by programme; a directed programme stands there without any cohort too."""
    seats = Counter(
        {
            (cohort, role): count
            for cohort, role, count in Seat.objects.filter(cohort__in=cohorts)
            .values_list("cohort_id", "membership__role")
            .annotate(Count("pk"))
            .order_by()
        }
    )
    standing: Counter[tuple[int, str]] = Counter()
    for work in Assignment.objects.filter(cohort__in=cohorts).only("cohort_id", "opens_at", "closes_at"):
        standing[work.cohort_id, _standing(work, now)] += 1
    programmes = {programme.pk: programme for programme in directed}
    programmes.update({cohort.programme_id: cohort.programme for cohort in cohorts})
    own = {programme.pk for programme in directed}
    return tuple(
        ProgrammeRows(
            name=programme.name,
            slug=programme.slug,
            zone=programme.time_zone,
            directed=programme.pk in own,
            cohorts=tuple(
                CohortRow(
                    pk=cohort.pk,
                    slug=cohort.slug,
                    name=cohort.name,
                    students=seats[cohort.pk, Role.STUDENT],
                    tutors=seats[cohort.pk, Role.INSTRUCTOR],
                    coming=standing[cohort.pk, "coming"],
                    open=standing[cohort.pk, "open"],
                    closed=standing[cohort.pk, "closed"],
                )
                for cohort in cohorts
                if cohort.programme_id == programme.pk
            ),
        )
        for programme in sorted(programmes.values(), key=lambda one: one.name)
    )


def seat_rows(cohort: Cohort, *, renewable: Container[int]) -> Mapping[str, list[SeatRow]]:
    """A cohort's seats by role; `renewable` are the memberships whose password the reader may renew."""
    rows: dict[str, list[SeatRow]] = {role.value: [] for role in Role}
    for seat in cohort.seats.select_related("membership__user").order_by("membership__user__username"):
        account = seat.membership.user
        rows[seat.membership.role].append(
            SeatRow(
                membership=seat.membership_id,
                account=account.username,
                renewable=seat.membership_id in renewable,
                signs_in=account.is_active and account.has_usable_password(),
            )
        )
    return rows


def work_set(assignments: Sequence[Assignment], students: int, now: datetime) -> list[SetWork]:
    """What was set, newest first, with how many of a cohort's students have finished each case.

    A count of practice stays untold below the least group that may be shown. Cases and their editions are fetched
    beforehand.
    """
    settled = dict(
        Attempt.objects.filter(assigned__assignment__in=assignments, grades__isnull=False)
        .values_list("assigned")
        .annotate(Count("pk", distinct=True))
        .order_by()
    )
    return [
        SetWork(
            public_id=work.public_id,
            title=work.title,
            graded=work.is_graded,
            mode=_("graded") if work.is_graded else _("practice"),
            feedback=work.get_feedback_display(),
            opens_at=work.opens_at,
            closes_at=work.closes_at,
            standing=_standing(work, now),
            cases=tuple(
                SetCase(
                    title=one.edition.title,
                    tooth=one.edition.tooth,
                    tooth_words=tooth_words(one.edition.tooth),
                    finished=_finished(settled.get(one.pk, 0), students, graded=work.is_graded),
                )
                for one in work.cases.all()
            ),
            table_is_open=work.is_graded or work.has_closed(now),
        )
        for work in assignments
    ]


def _standing(work: Assignment, now: datetime) -> str:
    if work.has_closed(now):
        return "closed"
    return "open" if work.is_open(now) else "coming"


def _finished(count: int, students: int, *, graded: bool) -> str:
    if not graded and count < LEAST_SHOWN:
        return _("fewer than %(least)d") % {"least": LEAST_SHOWN}
    return _("%(count)d of %(students)d") % {"count": count, "students": max(students, count)}
