"""The table: figures worked by hand, what is hidden, what opens when, and the same as a sheet.

Wilson's interval for k of n, with z² = 3.8415: the middle is (k + z²/2) / (n + z²), each side z/(n + z²) times
sqrt(k(n - k)/n + z²/4). 5 of 10: 6.9207/13.8415 = 0.5, side 0.14160 * sqrt(2.5 + 0.9604) = 0.2634. 5 of 5: from
5/8.8415 = 0.5655. 0 of 10: to 3.8415/13.8415 = 0.2775.
"""

import csv
import io
import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assess.models import Mode
from assess.presenting.unsafe_words import BENCH
from casebank.instruments.unsafe_table import UNSAFE_RULES
from tests.assess.pages.reading import words_of
from tests.assess.pages.school import counted, edition_of, set_for, unsafe
from tests.factories import CohortFactory, EditionFactory

HIDDEN = "fewer than 5 finished: hidden"


@pytest.fixture
def assigned(cohort):
    return set_for(cohort)


def table(client, assigned, **query):
    return client.get(reverse("assignment-table", args=[assigned.assignment.public_id]), query)


def sheet(client, assigned, **query):
    return client.get(reverse("assignment-table-csv", args=[assigned.assignment.public_id]), query)


def all_of(client, cohort, mode="graded"):
    return client.get(reverse("programme-table", args=[cohort.programme.slug, mode]))


def rows_of(response):
    return list(csv.DictReader(io.StringIO(response.content.decode("utf-8-sig"))))


def labels_of(response):
    """The items of a table from top to bottom."""
    page = response.content.decode()
    return re.findall(r'<tr><th scope="row">([^<]+?)\s*<', page[page.index("figures") :])


# ---------------------------------------------------------------- figures


def test_agreement_stands_with_its_interval_and_with_which_way_the_rest_departs(directing, assigned):
    counted(assigned, agree=5, over=1, under=2, silent=2)
    said = words_of(table(directing, assigned))
    assert "Strongest bend 10 few 50 % 24 to 76 % 1 2 0 2" in said
    assert "Over harder, more" in said
    assert "Under easier, less" in said


@pytest.mark.parametrize(("counts", "words"), [({"agree": 5}, "100 % 57 to 100 %"), ({"other": 10}, "0 % 0 to 28 %")])
def test_all_and_none_have_an_interval_too(directing, assigned, counts, words):
    counted(assigned, **counts)
    assert words in words_of(table(directing, assigned))


def test_twenty_are_no_longer_few(directing, assigned):
    counted(assigned, agree=19)
    assert "19 few" in words_of(table(directing, assigned))
    assigned.tallies.update(agree=20)
    assert "20 few" not in words_of(table(directing, assigned))


def test_unsafe_steps_are_named_with_the_attempts_they_were_made_in(tutoring, assigned):
    counted(assigned, agree=9)
    unsafe(assigned, "needle-bound", 4)
    unsafe(assigned, "decision", 7)
    said = words_of(table(tutoring, assigned))
    assert (
        "Treat or refer: an option the case's author calls unsafe 7 of 9 Needle bound, or at working length 4 of 9"
        in said
    )


def test_every_rule_of_the_bench_has_its_words_from_the_table():
    assert {rule: str(words) for rule, words in BENCH.items()} == {
        rule.id: rule.words for rule in UNSAFE_RULES.values()
    }


# ---------------------------------------------------------------- order and choice


def test_factors_come_first_by_the_place_of_their_evidence_then_the_rest_by_stage(directing, assigned):
    for item in ("seal", "curvature", "difficulty-levels.crown", "difficulty-levels.health", "decision"):
        counted(assigned, item, agree=6)
    shown = table(directing, assigned)
    assert labels_of(shown) == ["General health", "Crown", "Strongest bend", "Treat or refer", "Coronal seal"]
    assert "Difficulty: the person General health" in words_of(shown)


def test_the_lowest_agreement_comes_first_if_that_is_asked_for(directing, assigned):
    counted(assigned, "difficulty-levels.health", agree=6)
    counted(assigned, "curvature", agree=1, under=5)
    counted(assigned, "seal", agree=3, other=3)
    shown = labels_of(table(directing, assigned, order="lowest"))
    assert shown == ["Strongest bend", "Coronal seal", "General health"]


def test_one_stage_alone_can_be_read(directing, assigned):
    counted(assigned, "curvature", agree=6)
    counted(assigned, "seal", agree=6)
    assert labels_of(table(directing, assigned, stage="fill")) == ["Coronal seal"]
    assert [row["item"] for row in rows_of(sheet(directing, assigned, stage="fill"))] == ["Coronal seal"]
    assert labels_of(table(directing, assigned, stage="lunch", order="\0")) == ["Strongest bend", "Coronal seal"]


# ---------------------------------------------------------------- hidden


def test_a_group_of_four_is_hidden_and_one_of_five_is_not(directing, assigned):
    counted(assigned, agree=2, over=2)
    unsafe(assigned, "forced", 3)
    said = words_of(table(directing, assigned))
    assert HIDDEN in said
    assert "%" not in said.partition(HIDDEN)[0].rpartition("Lower second molar")[2]
    assert "Strongest bend" not in said
    assert "File forced" not in said
    assigned.tallies.update(over=3)
    assert HIDDEN not in words_of(table(directing, assigned))


def test_a_total_minus_what_is_shown_gives_no_hidden_group_away(directing, cohort, assigned):
    counted(assigned, agree=20, under=4)
    unsafe(assigned, "forced", 2)
    small = set_for(CohortFactory(slug="landing-x", name="The four"))
    counted(small, agree=1, under=3)
    unsafe(small, "forced", 3)
    counted(small, "seal", agree=4)
    said = words_of(all_of(directing, cohort))
    assert "Strongest bend 24 83 %" in said  # 20 of 24
    assert "Made without one assignment that fewer than 5 finished." in said
    assert "2 of 24" in said
    assert "Coronal seal" not in said
    assert "28" not in said


def test_groups_that_are_shown_are_added_up(directing, cohort, assigned):
    counted(assigned, agree=20, under=4)
    counted(set_for(CohortFactory(slug="landing-r", name="The five")), agree=1, over=4)
    assert "Strongest bend 29 72 %" in words_of(all_of(directing, cohort))  # 21 of 29 = 0.724


def test_an_item_that_too_few_were_asked_is_hidden_among_others(directing, assigned):
    counted(assigned, "curvature", agree=6)
    counted(assigned, "seal", agree=4)
    assert labels_of(table(directing, assigned)) == ["Strongest bend"]


def test_editions_of_one_case_are_not_mixed(directing, cohort, assigned):
    counted(assigned, agree=6)
    second = EditionFactory(number=2, content=assigned.edition.content + "\n")
    counted(set_for(cohort, edition=second), agree=1, over=6)
    said = words_of(all_of(directing, cohort))
    assert "edition 1 Tooth 37" in said
    assert "edition 2 Tooth 37" in said
    assert "Strongest bend 6 few 100 %" in said
    assert "Strongest bend 7 few 14 %" in said  # 1 of 7


def test_one_edition_set_twice_is_one_total(directing, cohort, assigned):
    counted(assigned, agree=6)
    counted(set_for(cohort), agree=1, over=6)
    assert "Strongest bend 13 few 54 %" in words_of(all_of(directing, cohort))  # 7 of 13


# ---------------------------------------------------------------- practice


def test_the_table_of_practice_opens_once_it_has_closed(directing, tutoring, cohort):
    going_on = set_for(cohort, mode=Mode.PRACTICE)
    over = set_for(cohort, mode=Mode.PRACTICE, closed=True)
    counted(going_on, agree=9)
    counted(over, agree=6, under=2)
    for client in (directing, tutoring):
        page = table(client, going_on)
        assert page.status_code == 200
        assert "The table of this practice opens when it closes, on" in words_of(page)
        assert "Europe/Zurich" in words_of(page)
        assert not re.search(r"\b9\b|100 %", words_of(page).replace(str(going_on.assignment.closes_at.year), ""))
        assert sheet(client, going_on).status_code == 409
        assert "Strongest bend 8 few 75 %" in words_of(table(client, over))
    assert "Strongest bend 8 few" in words_of(all_of(directing, cohort, "practice"))


# ---------------------------------------------------------------- sheet


def test_the_sheet_has_the_same_rows_and_runs_nothing(directing, cohort):
    assigned = set_for(cohort, edition=edition_of("equals", "=1+1"))
    counted(assigned, agree=5, over=1, under=2, silent=2)
    unsafe(assigned, "forced", 3)
    answer = sheet(directing, assigned)
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="landing-4-graded.csv"'
    bend, forced = rows_of(answer)
    assert bend["case"] == forced["case"] == "'=1+1"
    figures = (
        "n",
        "agree",
        "agree %",
        "interval from %",
        "interval to %",
        "over",
        "under",
        "other",
        "no answer",
        "note",
    )
    assert [bend[name] for name in figures] == ["10", "5", "50", "24", "76", "1", "2", "0", "2", "few"]
    assert (forced["item"], forced["n"], forced["unsafe in"]) == (
        "File forced again at the stop that had held it",
        "10",
        "3",
    )


def test_the_sheet_hides_what_the_table_hides(directing, cohort, assigned):
    counted(assigned, agree=4)
    (row,) = rows_of(sheet(directing, assigned))
    assert {name: text for name, text in row.items() if text} == {
        "case": "Lower second molar: sore under an old bridge",
        "tooth": "37",
        "note": HIDDEN,
    }
    assert rows_of(directing.get(reverse("programme-table-csv", args=[cohort.programme.slug, "graded"]))) == [row]


# ---------------------------------------------------------------- who, and how often the database is asked


def test_another_programmes_director_and_a_tutor_without_a_seat_find_nothing(
    elsewhere, instructor, client, cohort, assigned
):
    client.force_login(instructor)
    for reader in (elsewhere, client):
        assert table(reader, assigned).status_code == sheet(reader, assigned).status_code == 404
        assert all_of(reader, cohort).status_code == 404


def test_a_mode_that_does_not_exist_has_no_table(directing, cohort):
    assert all_of(directing, cohort, "lunch").status_code == 404


def test_more_cases_and_cohorts_cost_no_more_queries(directing, cohort):
    asked = []
    for numbers in (range(2), range(2, 20)):
        for number in numbers:
            counted(
                set_for(CohortFactory(slug=f"c{number}", name="C"), edition=edition_of(f"case-{number}", "A case")),
                agree=6,
            )
        with CaptureQueriesContext(connection) as queries:
            assert all_of(directing, cohort).status_code == 200
        asked.append(len(queries))
    assert asked[0] == asked[1]
