"""The demo's invented school: programme, accounts, cohorts, what was set for them, and the work its students did.

Everything is made from one seed and can be made again: what is there stays, what is missing is added.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from zlib import crc32

from django.conf import settings
from django.db import transaction

from assess.actions import keep_worked
from assess.log import AnyEvent
from assess.models import AssignedCase, Assignment, Attempt, Feedback, Mode
from assess.models.event import EVENT
from casebank.models import Cohort, Edition, Licence, Membership, Programme, Role, Seat, User
from fixtures.recipe import YEARS, licence_of
from fixtures.robots import Student, answer_log, students

PASSWORD = "212-steps-up"
SEED = 212
VISITOR = "student01"  # has practised, and has everything graded still to do: whoever tries the demo starts here
TUTORED = {"tutor1": ("landing-4",), "tutor2": ("landing-5", "landing-r"), "tutor3": ("landing-x",), "tutor4": ()}
COHORT_NAMES = {
    "landing-3": "Landing, year 3",
    "landing-4": "Landing, year 4",
    "landing-5": "Landing, year 5",
    "landing-r": "Landing, resit",
    "landing-x": "Landing, exchange",
}
COHORT_YEARS = {"landing-3": 3, "landing-4": 4, "landing-5": 5, "landing-x": 4}  # a resit is of no year of its own
PRACTISED = ("grey-incisor", "leaning-abutment")
GRADED = ("bread-biter", "map-engraver")
LATEST_START_MINUTES = 10 * 24 * 60


@dataclass(frozen=True)
class School:
    """A school of a size: its programme, and how many students it has."""

    slug: str
    name: str
    seats: int

    def students(self) -> tuple[Student, ...]:
        return students(self.seats, SEED)


SHORT = School("odontorium", "The Odontorium at Quossop Landing", 24)
WHOLE = School("odontorium-whole", "The Odontorium at Quossop Landing, all five years", 120)


@dataclass(frozen=True)
class Sitting:
    """One student's work on one assigned case, still to be made up."""

    assigned: AssignedCase
    student: Student
    account: User


@transaction.atomic
def make_people(school: School) -> Programme:
    """The programme with its licence to treat, accounts, cohorts and seats."""
    programme, _ = Programme.objects.get_or_create(
        slug=school.slug, defaults={"name": school.name, "time_zone": "Atlantic/Faroe"}
    )
    hashed = User()
    hashed.set_password(PASSWORD)  # one slow hash for all: the password is printed anyway

    def membership(name: str, role: Role) -> Membership:
        user, _ = User.objects.get_or_create(username=name, defaults={"password": hashed.password})
        return Membership.objects.get_or_create(programme=programme, user=user, defaults={"role": role})[0]

    membership("director1", Role.DIRECTOR)
    for licence in map(licence_of, YEARS):
        limits = {"low": licence.low, "moderate": licence.moderate, "high": licence.high}
        Licence.objects.get_or_create(programme=programme, year=licence.year, defaults=limits)
    for student in school.students():
        for slug in student.cohorts:
            Seat.objects.get_or_create(
                cohort=_cohort(programme, slug), membership=membership(student.username, Role.STUDENT)
            )
    for name, slugs in TUTORED.items():
        tutor = membership(name, Role.INSTRUCTOR)
        for cohort in programme.cohorts.filter(slug__in=slugs):
            Seat.objects.get_or_create(cohort=cohort, membership=tutor)
    return programme


@transaction.atomic
def set_work(programme: Programme, *, now: datetime) -> None:
    """Practice that closed a fortnight ago and graded work that closes in ten days, for each cohort; set once."""
    director = User.objects.get(username="director1")
    day = timedelta(days=1)
    for cohort in programme.cohorts.order_by("slug"):
        for title, mode, slugs, opens_at, closes_at in (
            ("First look", Mode.PRACTICE, PRACTISED, now - 45 * day, now - 14 * day),
            ("Spring cases", Mode.GRADED, GRADED, now - 13 * day, now + 10 * day),
        ):
            assignment, made = Assignment.objects.get_or_create(
                cohort=cohort,
                title=title,
                defaults={
                    "mode": mode,
                    "feedback": Feedback.AT_ONCE,
                    "opens_at": opens_at,
                    "closes_at": closes_at,
                    "set_by": director,
                    "set_at": opens_at - day,
                },
            )
            if made:
                _hand_out(assignment, slugs)


def sittings(school: School, programme: Programme) -> list[Sitting]:
    """The work that is not made up yet, in the order it would have been done."""
    accounts = {user.username: user for user in User.objects.filter(memberships__programme=programme)}
    done = set(
        Attempt.objects.filter(assigned__assignment__cohort__programme=programme).values_list("assigned", "student")
    )
    handed_out = AssignedCase.objects.filter(assignment__cohort__programme=programme).select_related(
        "assignment__cohort__programme", "edition__case"
    )
    return [
        Sitting(assigned, student, accounts[student.username])
        for assigned in handed_out.order_by("assignment__opens_at", "assignment__cohort__slug", "place")
        for student in school.students()
        if assigned.assignment.cohort.slug in student.cohorts
        and (assigned.pk, accounts[student.username].pk) not in done
        and not (student.username == VISITOR and assigned.assignment.is_graded)
    ]


def work_all(sittings: Sequence[Sitting]) -> Iterator[int]:
    """Make each sitting's work up and store it, one transaction each; yields how many are done."""
    for number, sitting in enumerate(sittings, 1):
        assigned, slug = sitting.assigned, sitting.assigned.edition.case.slug
        sitting_of = f"{sitting.student.username} {slug} {assigned.assignment.cohort.slug}"
        seed = crc32(f"{SEED} {sitting_of}".encode())  # who sits a case again in a resit answers it anew
        log = answer_log(assigned.edition.document, _sound(slug), sitting.student, seed)
        keep_worked(
            assigned=assigned,
            student=sitting.account,
            events=_events(log),
            seed=seed % 2**31,
            started_at=assigned.assignment.opens_at + timedelta(minutes=120 + seed % LATEST_START_MINUTES),
        )
        yield number


def _events(log: Sequence[dict[str, object]]) -> list[AnyEvent]:
    """The log as events, closed: a log that is kept as a file ends with the student's own estimate."""
    closing = {"seq": len(log) + 1, "case": log[0]["case"], "event": "committed", "stage": "compare"}
    return [EVENT.validate_json(json.dumps(event)) for event in (*log, closing)]


@cache
def _sound(slug: str) -> list[dict[str, object]]:
    path = Path(settings.BASE_DIR) / "fixtures" / "logs" / f"{slug}.sound.json"
    events: list[dict[str, object]] = json.loads(path.read_text(encoding="utf-8"))["events"]
    return events


def _cohort(programme: Programme, slug: str) -> Cohort:
    return Cohort.objects.get_or_create(
        programme=programme, slug=slug, defaults={"name": COHORT_NAMES[slug], "year": COHORT_YEARS.get(slug)}
    )[0]


def _hand_out(assignment: Assignment, slugs: Sequence[str]) -> None:
    for place, slug in enumerate(slugs, 1):
        edition = Edition.objects.filter(case__slug=slug).latest("number")
        AssignedCase.objects.create(assignment=assignment, edition=edition, place=place)
