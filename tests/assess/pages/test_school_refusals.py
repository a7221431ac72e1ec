"""Garbage in any field of a school's forms is refused in words; it never breaks a page and nothing of it is stored."""

import pytest
from django.urls import reverse

from assess.models import Assignment
from casebank.models import Cohort
from tests.assess.pages.reading import words_of
from tests.assess.pages.test_assignments import SET
from tests.assess.pages.test_cohorts import NEW
from tests.factories import EditionFactory
from tests.test_bad_input import GARBAGE, TECHNICAL

STORABLE = {"title", "name"}  # any text that has a letter or sign is a title


def tried(directing, address, body):
    for field in body:
        for garbage in (*GARBAGE, "x" * 200_000):
            yield field, directing.post(address, {**body, field: garbage})


def assert_refused(answer):
    said = words_of(answer)
    assert answer.status_code == 400
    assert "Nothing was stored. What to correct stands at each field." in said
    assert not TECHNICAL.search(said)
    assert 'value="<b>"' not in answer.content.decode()


def test_of_a_new_cohort(directing, cohort):
    EditionFactory()
    for field, answer in tried(directing, reverse("cohorts"), NEW):
        if answer.status_code == 302:
            assert field in STORABLE or Cohort.objects.latest("pk").slug.strip("-").isalnum()
            Cohort.objects.exclude(pk=cohort.pk).delete()
        else:
            assert_refused(answer)
            assert list(Cohort.objects.all()) == [cohort]


def test_of_work_that_is_set(directing, cohort):
    EditionFactory()
    for field, answer in tried(directing, reverse("set-assignment", args=[cohort.pk]), SET):
        if answer.status_code == 302:
            assert field in STORABLE
            Assignment.objects.all().delete()
        else:
            assert_refused(answer)
            assert not Assignment.objects.exists()


def test_what_was_stored_as_a_title_is_shown_as_text(directing, cohort):
    EditionFactory()
    answer = directing.post(reverse("set-assignment", args=[cohort.pk]), SET | {"title": "<b>=1+1"})
    assert "&lt;b&gt;=1+1" in directing.get(answer.url).content.decode()


@pytest.mark.parametrize("query", ["stage=%00", "order=%3Cb%3E", "stage=weigh&stage=fill", "x=" + "y" * 5000])
def test_a_query_of_nonsense_shows_the_table_as_it_is(directing, cohort, query):
    address = reverse("programme-table", args=[cohort.programme.slug, "graded"])
    answer = directing.get(f"{address}?{query}")
    assert answer.status_code == 200
    assert 'value="<b>"' not in answer.content.decode()
