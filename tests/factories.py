"""Rows for tests: invented accounts, a programme and a cohort, the leaning abutment, work set on it and attempts."""

import hashlib
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import factory
from factory.django import DjangoModelFactory

from assess.models import AssignedCase, Assignment, Attempt, Feedback, Mode, StoredGrade
from casebank.casefile import read_document
from casebank.models import Case, Cohort, Draft, Edition, Membership, Programme, Role, Seat, User

FIXTURES = Path(__file__).parent.parent / "fixtures"
LEANING_ABUTMENT = FIXTURES / "cases" / "leaning-abutment.case.json"
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
PASSWORD = "an invented password"


@cache
def leaning_abutment():
    """Text and document of the case that the other factories work on."""
    return LEANING_ABUTMENT.read_text(encoding="utf-8"), read_document(LEANING_ABUTMENT)


class UserFactory(DjangoModelFactory):
    """An account of no programme; `with_password=True` gives it PASSWORD, which takes a moment to hash."""

    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda number: f"person{number:03}")

    class Params:
        with_password = False

    @classmethod
    def _create(cls, model_class, *args, **fields):
        return model_class.objects.create_user(**fields)

    password = factory.LazyAttribute(lambda wanted: PASSWORD if wanted.with_password else None)


class ProgrammeFactory(DjangoModelFactory):
    class Meta:
        model = Programme
        django_get_or_create = ("slug",)

    name = "Invented School, year 3"
    slug = "invented-school-3"
    time_zone = "Europe/Zurich"


class MembershipFactory(DjangoModelFactory):
    class Meta:
        model = Membership

    programme = factory.SubFactory(ProgrammeFactory)
    user = factory.SubFactory(UserFactory)
    role = Role.STUDENT


class CaseFactory(DjangoModelFactory):
    class Meta:
        model = Case
        django_get_or_create = ("slug",)

    slug = factory.LazyFunction(lambda: leaning_abutment()[1].slug)


class EditionFactory(DjangoModelFactory):
    """The leaning abutment as it was published; built once a test, since the same content is one edition."""

    class Meta:
        model = Edition
        django_get_or_create = ("case", "sha256")

    case = factory.SubFactory(CaseFactory)
    number = 1
    content = factory.LazyFunction(lambda: leaning_abutment()[0])
    sha256 = factory.LazyAttribute(lambda edition: hashlib.sha256(edition.content.encode()).hexdigest())
    title = factory.LazyFunction(lambda: leaning_abutment()[1].title)
    tooth = factory.LazyFunction(lambda: leaning_abutment()[1].anatomy.tooth.number)
    published_at = NOON


class DraftFactory(DjangoModelFactory):
    """The leaning abutment, imported and not published."""

    class Meta:
        model = Draft
        django_get_or_create = ("sha256",)

    content = factory.LazyFunction(lambda: leaning_abutment()[0])
    sha256 = factory.LazyAttribute(lambda draft: hashlib.sha256(draft.content.encode()).hexdigest())
    slug = factory.LazyFunction(lambda: leaning_abutment()[1].slug)
    title = factory.LazyFunction(lambda: leaning_abutment()[1].title)
    tooth = factory.LazyFunction(lambda: leaning_abutment()[1].anatomy.tooth.number)
    imported_at = NOON
    imported_by = factory.LazyFunction(lambda: member(Role.INSTRUCTOR))


class CohortFactory(DjangoModelFactory):
    class Meta:
        model = Cohort
        django_get_or_create = ("programme", "slug")

    programme = factory.SubFactory(ProgrammeFactory)
    slug = "landing-4"
    name = "Landing, year 4"


class SeatFactory(DjangoModelFactory):
    class Meta:
        model = Seat

    cohort = factory.SubFactory(CohortFactory)
    membership = factory.SubFactory(MembershipFactory)


class AssignmentFactory(DjangoModelFactory):
    """Graded work that is open at NOON, for a week round it."""

    class Meta:
        model = Assignment

    cohort = factory.SubFactory(CohortFactory)
    title = "Spring work"
    mode = Mode.GRADED
    feedback = Feedback.AT_ONCE
    opens_at = NOON - timedelta(days=3)
    closes_at = NOON + timedelta(days=4)
    set_by = factory.LazyFunction(lambda: member(Role.DIRECTOR))
    set_at = NOON - timedelta(days=4)


class AssignedCaseFactory(DjangoModelFactory):
    class Meta:
        model = AssignedCase

    assignment = factory.SubFactory(AssignmentFactory)
    edition = factory.SubFactory(EditionFactory)
    place = factory.Sequence(lambda number: number + 1)


class AttemptFactory(DjangoModelFactory):
    class Meta:
        model = Attempt

    edition = factory.SubFactory(EditionFactory)
    student = factory.LazyFunction(lambda: member(Role.STUDENT))
    started_at = NOON
    seed = 7


class StoredGradeFactory(DjangoModelFactory):
    """A grade of an attempt that was never worked: for what asks only whether there is one, or what it says."""

    class Meta:
        model = StoredGrade

    attempt = factory.SubFactory(AttemptFactory)
    edition_sha256 = factory.LazyAttribute(lambda grade: grade.attempt.edition.sha256)
    rubric = "treatment-path 2"
    criteria = "aae-2022"
    grader = 2
    events = 0
    percent = 50.0
    result = factory.LazyFunction(lambda: {"criteria": [], "unsafe": []})
    graded_at = NOON


def member(role, **fields):
    """An account with one role in the programme."""
    return MembershipFactory(role=role, user=UserFactory(**fields)).user


def seated(cohort, role, **fields):
    """An account with one role in the cohort's programme and a seat in the cohort."""
    membership = MembershipFactory(programme=cohort.programme, role=role, user=UserFactory(**fields))
    SeatFactory(cohort=cohort, membership=membership)
    return membership.user
