"""What tests of a school's pages share: its people, and a cohort's tallies as if attempts had been settled."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from assess.models import Mode, Tally, UnsafeTally
from casebank.models import Role
from tests.factories import (
    AssignedCaseFactory,
    AssignmentFactory,
    CaseFactory,
    CohortFactory,
    EditionFactory,
    MembershipFactory,
    ProgrammeFactory,
    UserFactory,
    member,
    seated,
)


@pytest.fixture
def cohort(db):
    return CohortFactory()


@pytest.fixture
def director(cohort):
    return member(Role.DIRECTOR, username="director1")


@pytest.fixture
def tutor(cohort):
    return seated(cohort, Role.INSTRUCTOR, username="tutor1")


@pytest.fixture
def directing(director):
    return signed_in(director)


@pytest.fixture
def tutoring(tutor):
    return signed_in(tutor)


@pytest.fixture
def elsewhere(db):
    """The director of another programme."""
    other = ProgrammeFactory(slug="another-school", name="Another School")
    account = MembershipFactory(programme=other, role=Role.DIRECTOR, user=UserFactory()).user
    return signed_in(account)


def signed_in(account):
    client = Client()
    client.force_login(account)
    return client


def edition_of(slug, title):
    """The molar as an edition of another case."""
    return EditionFactory(case=CaseFactory(slug=slug), title=title)


def set_for(cohort, *, mode=Mode.GRADED, edition=None, closed=False, **fields):
    """One case set for a cohort, now open or now closed."""
    now = timezone.now()
    closes_at = now - timedelta(days=1) if closed else now + timedelta(days=4)
    assignment = AssignmentFactory(
        cohort=cohort, mode=mode, opens_at=now - timedelta(days=9), closes_at=closes_at, **fields
    )
    return AssignedCaseFactory(assignment=assignment, edition=edition or EditionFactory())


def counted(assigned, item="curvature", **counts):
    """A tally of one item, as settled attempts would have left it."""
    return Tally.objects.create(assigned=assigned, item=item, **counts)


def unsafe(assigned, rule, attempts):
    return UnsafeTally.objects.create(assigned=assigned, rule=rule, attempts=attempts)
