"""The cast of the stored tests: who takes part, and the one moment at which everything happens."""

import pytest

from casebank.models import Role
from tests.factories import NOON, UserFactory, member


@pytest.fixture
def noon():
    return NOON


@pytest.fixture
def student(db):
    return member(Role.STUDENT)


@pytest.fixture
def instructor(db):
    return member(Role.INSTRUCTOR)


@pytest.fixture
def outsider(db):
    """An account that belongs to no programme."""
    return UserFactory()
