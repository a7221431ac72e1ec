"""The competency map: what the open cases exercise, with the gaps first."""

import re
from html import unescape

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from casebank.rubric import bundled, bundled_framework
from tests.assess.pages.reading import words_of
from tests.assess.pages.school import edition_of, signed_in
from tests.factories import EditionFactory

MAP = reverse("competencies")


def matrix(response):
    """The rows of the map from top to bottom, each its cells in words."""
    page = response.content.decode()
    rows = re.findall(r"<tr>(.*?)</tr>", page[page.index("<tbody>") :], re.S)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S) for row in rows]
    return [[" ".join(unescape(re.sub("<[^>]+>", " ", cell)).split()) for cell in row] for row in cells]


def test_competencies_that_no_task_exercises_come_first_and_say_none(tutoring):
    EditionFactory()
    exercised = {one for criterion in bundled("treatment-path-3").criteria for one in criterion.competencies}
    gaps = [one.title for one in bundled_framework("undergraduate").competencies if one.id not in exercised]
    rows = matrix(tutoring.get(MAP))
    assert gaps
    assert [row[0].startswith(title) for row, title in zip(rows, gaps, strict=False)] == [True] * len(gaps)
    assert {tuple(row[1:]) for row in rows[: len(gaps)]} <= {("none", "0"), ("none aim", "0")}
    assert all(row[1] != "none" for row in rows[len(gaps) :])


def test_a_cell_counts_tasks_and_marks_an_aim(tutoring):
    """The molar has three canals: a criterion asked in each is three tasks."""
    EditionFactory()
    rows = {row[0]: row[1:] for row in matrix(tutoring.get(MAP))}
    asked = [one for one in bundled("treatment-path").criteria if "gauge" in one.id]
    assert [criterion.per for criterion in asked] == ["canal"]
    gauging = next(cells for title, cells in rows.items() if title.startswith("Measure how wide a canal's end is"))
    assert gauging[0].startswith("3 tasks")
    assert "aim" in " ".join(cells[0] for cells in rows.values())


def test_only_open_cases_are_in_it_each_by_its_newest_edition(tutoring):
    first = EditionFactory()
    EditionFactory(number=2, content=first.content + "\n", title="The second edition")
    retired = edition_of("retired", "A retired case").case
    retired.retired_at = timezone.now()
    retired.save()
    said = words_of(tutoring.get(MAP))
    assert "The second edition" in said
    assert first.title not in said
    assert "A retired case" not in said


def test_the_wide_table_stands_in_a_region_of_its_own_that_takes_the_keyboard(directing):
    EditionFactory()
    page = directing.get(MAP).content.decode()
    assert '<div class="scroll" tabindex="0" role="region" aria-label="Tasks by competency and case">' in page


def test_without_a_case_the_page_says_so(directing):
    assert "No case is open to work." in words_of(directing.get(MAP))


def test_more_cases_cost_no_more_queries(directing):
    asked = []
    for numbers in (range(2), range(2, 20)):
        for number in numbers:
            edition_of(f"case-{number}", f"Invented tooth {number}")
        with CaptureQueriesContext(connection) as queries:
            assert len(matrix(directing.get(MAP))[0]) == 2 + max(numbers) + 1
        asked.append(len(queries))
    assert asked[0] == asked[1]


def test_the_map_is_for_whoever_teaches(student, outsider, instructor):
    assert [signed_in(one).get(MAP).status_code for one in (student, outsider, instructor)] == [404, 404, 200]
