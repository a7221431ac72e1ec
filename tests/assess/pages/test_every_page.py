"""What holds for every page and every list."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from casebank.models import Case
from tests.assess.pages.reading import STAGES, words_of
from tests.factories import NOON, AttemptFactory, EditionFactory, leaning_abutment


def test_every_page_has_one_heading_a_skip_link_and_nothing_inline(settled, reader, attempt, address):
    fresh = AttemptFactory(student=attempt.student)
    pages = [reader.get(address(stage)) for stage in STAGES]
    pages += [
        reader.get(reverse("look", args=[fresh.public_id])),
        reader.get(reverse("commit", args=[fresh.public_id, "look"])),
    ]
    pages += [reader.get(reverse(name)) for name in ("home", "cases")]
    pages += [reader.get(reverse("case", args=["leaning-abutment"])), reader.get("/nowhere/")]
    for page in pages:
        content = page.content.decode()
        assert len(re.findall("<h1[ >]", content)) == 1
        assert 'class="skip" href="#main"' in content
        assert not re.search(r"<style|\sstyle=|\son\w+=|<script(?![^>]*\bsrc=)", content)
        identifiers = re.findall(r'\sid="([^"]+)"', content)
        assert len(identifiers) == len(set(identifiers))


def works(student, numbers):
    """One case and one attempt at it for each number."""
    for number in numbers:
        case = Case.objects.create(slug=f"case-{number}")
        AttemptFactory(student=student, edition=EditionFactory(case=case, sha256=f"{number:064}"))


@pytest.mark.parametrize("name", ["home", "cases"])
def test_a_list_asks_the_database_as_often_for_twenty_rows_as_for_two(reader, student, name):
    works(student, range(2))
    with CaptureQueriesContext(connection) as for_two:
        reader.get(reverse(name))
    works(student, range(2, 20))
    with CaptureQueriesContext(connection) as for_twenty:
        page = reader.get(reverse(name))
    title = leaning_abutment()[1].title
    assert len(re.findall(f"<h[23][^>]*>(?:<a[^>]*>)?{re.escape(title)}", page.content.decode())) == 20
    assert len(for_twenty) == len(for_two)


def test_times_are_shown_with_their_zone(reader, student):
    AttemptFactory(student=student, started_at=NOON)
    assert "Started 2026-03-02 12:00 UTC." in words_of(reader.get(reverse("home")))
