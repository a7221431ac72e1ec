"""A student who has signed in, the addresses of their attempt, and the attempt when it is settled."""

import pytest
from django.urls import reverse

from assess.log import Stage
from tests.assess.pages.reading import OWN_MARKS, PERCENTS
from tests.assess.pages.school import cohort, directing, director, elsewhere, tutor, tutoring


@pytest.fixture
def reader(client, student):
    client.force_login(student)
    return client


@pytest.fixture
def address(attempt):
    return lambda name, *args: reverse(name, args=[attempt.public_id, *args])


@pytest.fixture
def settled(work, reader, address):
    work(Stage.FILL)
    assert reader.post(address("self-grade"), PERCENTS).status_code == 303
    assert reader.post(address("mark-own"), OWN_MARKS).status_code == 303
