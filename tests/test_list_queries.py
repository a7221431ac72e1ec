"""A page that lists asks the database as often for twenty rows as for two, however far each attempt has come."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assess.log import Committed, SelfGraded, Stage
from assess.models import store
from casebank.models import Role
from tests.factories import NOON, AttemptFactory, CaseFactory, EditionFactory, leaning_abutment, member


def worked(student, edition, stages):
    """An attempt with that many stages committed."""
    attempt, case = AttemptFactory(student=student, edition=edition), leaning_abutment()[1].slug
    percents = dict.fromkeys(list(Stage)[:-1], 50)
    for stage in list(Stage)[:stages]:
        if stage is Stage.COMPARE:
            estimate = SelfGraded(seq=attempt.events.count() + 1, case=case, percents=percents)
            store(attempt=attempt, event=estimate, at=NOON)
        closing = Committed(seq=attempt.events.count() + 1, case=case, stage=stage)
        store(attempt=attempt, event=closing, at=NOON)


def rows_of_one_case(student, numbers):
    """Attempts at one case, all finished."""
    for _ in numbers:
        worked(student, EditionFactory(), len(Stage))


def rows_of_many_cases(student, numbers):
    """Attempts at as many cases, each at another stage."""
    for number in numbers:
        case = CaseFactory(slug=f"case-{number}")
        worked(student, EditionFactory(case=case, title=f"Invented tooth {number}"), number % (len(Stage) + 1))


@pytest.mark.parametrize("role", [Role.STUDENT, Role.INSTRUCTOR])
@pytest.mark.parametrize(
    ("address", "rows"),
    [
        (reverse("home"), rows_of_one_case),
        (reverse("home"), rows_of_many_cases),
        (reverse("cases"), rows_of_many_cases),
        (reverse("case", args=["leaning-abutment"]), rows_of_one_case),
    ],
)
def test_a_list_of_twenty_costs_no_more_queries_than_one_of_two(db, address, rows, role):
    reader, client = member(role), Client()
    client.force_login(reader)
    EditionFactory()
    counts, lengths = [], []
    for numbers in (range(2), range(2, 20)):
        rows(reader, numbers)
        with CaptureQueriesContext(connection) as asked:
            lengths.append(client.get(address).content.count(b"<li"))
        counts.append(len(asked))
    assert lengths[1] - lengths[0] >= 18
    assert counts[0] == counts[1]
