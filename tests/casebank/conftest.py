"""People of an invented school and one published case."""

import pytest

from casebank.models import Role
from tests.cast import instructor, noon, outsider, student
from tests.factories import EditionFactory, member


@pytest.fixture
def director(db):
    return member(Role.DIRECTOR)


@pytest.fixture
def edition(db):
    return EditionFactory()
