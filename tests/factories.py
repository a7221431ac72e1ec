"""Rows for tests: invented accounts, a programme, the leaning abutment and attempts at it."""

import hashlib
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import factory
from factory.django import DjangoModelFactory

from assess.models import Attempt
from casebank.casefile import read_document
from casebank.models import Case, Edition, Membership, Programme, Role, User

FIXTURES = Path(__file__).parent.parent / "fixtures"
LEANING_ABUTMENT = FIXTURES / "cases" / "leaning-abutment.case.json"
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
PASS_PHRASE = "an invented pass phrase"


@cache
def leaning_abutment():
    """Text and document of the case that the other factories work on."""
    return LEANING_ABUTMENT.read_text(encoding="utf-8"), read_document(LEANING_ABUTMENT)


class UserFactory(DjangoModelFactory):
    """An account of no programme; `with_password=True` gives it PASS_PHRASE, which takes a moment to hash."""

    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda number: f"person{number:03}")

    class Params:
        with_password = False

    @classmethod
    def _create(cls, model_class, *args, **fields):
        return model_class.objects.create_user(**fields)

    password = factory.LazyAttribute(lambda wanted: PASS_PHRASE if wanted.with_password else None)


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


class AttemptFactory(DjangoModelFactory):
    class Meta:
        model = Attempt

    edition = factory.SubFactory(EditionFactory)
    student = factory.LazyFunction(lambda: member(Role.STUDENT))
    started_at = NOON
    seed = 7


def member(role, **fields):
    """An account with one role in the programme."""
    return MembershipFactory(role=role, user=UserFactory(**fields)).user
