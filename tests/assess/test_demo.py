"""The demo: prepared twice it is the same, its accounts can sign in, and its class shows what was planted in it."""

import csv
import io

import pytest
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command
from django.db import transaction
from django.test import override_settings
from django.urls import reverse

from assess.actions import recount
from assess.management import school
from assess.models import AssignedCase, Attempt, broken_links
from casebank.models import Case, Membership, Seat, User

pytestmark = pytest.mark.django_db

COUNTED = ("n", "agree", "interval from %", "interval to %", "over", "under", "other", "unsafe in")


@pytest.fixture(scope="module")
def prepared(django_db_setup, django_db_blocker, tmp_path_factory):
    """What two preparations said, and where the data lies; made once for all tests here, and taken back after them."""
    data, out = tmp_path_factory.mktemp("data"), io.StringIO()
    with django_db_blocker.unblock(), override_settings(DATA_DIR=data), transaction.atomic():
        for _ in range(2):
            call_command("demo", "--prepare-only", stdout=out)
        yield out.getvalue(), data
        transaction.set_rollback(True)


def figures(client, mode):
    """The programme's table of one mode as the director exports it, by item."""
    client.force_login(User.objects.get(username="director1"))
    page = client.get(reverse("programme-table-csv", args=[school.SHORT.slug, mode]))
    return list(csv.DictReader(io.StringIO(page.content.decode("utf-8-sig"))))


def row_of(client, mode, tooth, item):
    """One row's figures as numbers; an empty cell is 0."""
    (row,) = [row for row in figures(client, mode) if (row["tooth"], row["item"]) == (str(tooth), item)]
    return {name: int(cell or 0) for name, cell in row.items() if name in COUNTED}


def test_a_school_stands_and_a_second_preparation_changes_nothing(prepared, client):
    said_twice, data = prepared
    assert Case.objects.open_to_work().count() == len(school.PRACTISED) + len(school.GRADED)
    assert User.objects.count() == Membership.objects.count() == 24 + 4 + 1
    students = school.SHORT.students()
    seats = sum(len(student.cohorts) for student in students)
    assert Seat.objects.filter(membership__role="student").count() == seats
    # each seat works every case, save the visitor's, who has the graded ones still to do
    assert Attempt.objects.count() == seats * len(school.PRACTISED + school.GRADED) - len(school.GRADED)
    assert all(recount(assigned) for assigned in AssignedCase.objects.all())
    assert list(broken_links(Attempt.objects.order_by("pk")[17])) == []
    assert figures(client, "graded"), "the director reads a table"
    for said in ("http://127.0.0.1:8000/", "student01", "not for the care of a patient"):
        assert said in said_twice
    assert authenticate(username="student07", password=school.PASSWORD) == User.objects.get(username="student07")
    assert [path.suffix for path in (data / "films").iterdir()].count(".png") == Case.objects.count()


# ---------------------------------------------------------------- the planted misconceptions in the director's table
# Shares are those of fixtures/recipe.toml; a figure counts as there when its 95 % interval holds it.


def test_whoever_believes_one_root_one_canal_undercounts_and_only_where_a_second_canal_hides(prepared, client):
    for tooth in (31, 16):
        row = row_of(client, "graded", tooth, "Number of canals")
        assert row["interval from %"] <= 38 <= row["interval to %"] < 80, "80 of 100 find an open number"
        assert row["under"] > row["agree"]
        assert row["over"] == 0, "a second canal is missed, never invented"
    open_number = row_of(client, "practice", 11, "Number of canals")
    assert open_number["interval from %"] <= 80 <= open_number["interval to %"]
    assert open_number["under"] == 0


def test_three_moderate_factors_are_called_moderate_though_they_make_a_high_case(prepared, client):
    row = row_of(client, "graded", 16, "Difficulty as a whole")
    assert row["interval from %"] <= 45 <= row["interval to %"]
    assert row["agree"] + row["under"] == row["n"], "nobody calls it more than it is"


def test_an_engine_file_before_its_path_stands_among_the_unsafe_steps_and_in_the_process(prepared, client):
    early = row_of(client, "graded", 16, "Engine file deeper than a loose size 10 had been")
    path = row_of(client, "graded", 16, "Path before engine")
    assert 0 < early["unsafe in"] <= path["other"], "whoever goes early has no path either"
    assert path["interval to %"] < 90, "nine in ten would have made it, canal by canal"


@pytest.mark.parametrize(
    ("tooth", "item"),
    [
        (16, "Something larger than a size 10 through the foramen"),  # to the very tip
        (31, "Something larger than a size 10 through the foramen"),
        (16, "Canal shaped before any length was read"),  # any film will do
    ],
)
def test_what_beliefs_do_to_a_patient_is_told_apart_from_agreement(prepared, client, tooth, item):
    assert row_of(client, "graded", tooth, item)["unsafe in"] >= 3


def test_the_door_that_follows_the_crown_is_an_unsafe_axis_in_the_leaning_tooth(prepared, client):
    row = row_of(client, "practice", 37, "Axis of the opening: an option the case's author calls unsafe")
    assert 0 < row["unsafe in"] <= row_of(client, "practice", 37, "Axis of the opening")["other"]


def test_loose_is_finished_makes_gauging_one_of_the_weakest_items_of_a_tooth_with_four_canals(prepared, client):
    shares = {
        row["item"]: int(row["agree %"]) for row in figures(client, "graded") if row["tooth"] == "16" and row["agree %"]
    }
    assert "Apical gauging" in sorted(shares, key=lambda item: shares[item])[:3]


def test_everything_in_the_middle_lifts_low_factors_and_lowers_high_ones(prepared, client):
    low, high = row_of(client, "graded", 16, "General health"), row_of(client, "practice", 37, "Crown")
    assert low["over"] >= 5
    assert high["under"] >= 5
    assert low["under"] == high["over"] == 0


def test_an_impossible_port_is_refused():
    with pytest.raises(CommandError, match="port 80 cannot be served: choose one from 1024 to 65535"):
        call_command("demo", "--port", "80")
