"""People of an invented school and one published case."""

import pytest

from casebank.models import Role
from tests.factories import NOON, EditionFactory, UserFactory, member


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
def director(db):
    return member(Role.DIRECTOR)


@pytest.fixture
def outsider(db):
    return UserFactory()


@pytest.fixture
def edition(db):
    return EditionFactory()
