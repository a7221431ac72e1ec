"""The demo: prepared twice it is the same, its accounts can sign in, and its class shows what was planted in it."""

import csv
import io

import pytest
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command
from django.urls import reverse

from assess.actions import recount
from assess.management import school
from assess.models import AssignedCase, Attempt, broken_links
from casebank.models import Case, Membership, Seat, User

pytestmark = pytest.mark.django_db


@pytest.fixture
def prepared(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    out = io.StringIO()
    for _ in range(2):
        call_command("demo", "--prepare-only", stdout=out)
    return out.getvalue()


def figures(client, mode):
    """The programme's table of one mode as the director exports it, by item."""
    client.force_login(User.objects.get(username="director1"))
    page = client.get(reverse("programme-table-csv", args=[school.SHORT.slug, mode]))
    return list(csv.DictReader(io.StringIO(page.content.decode("utf-8-sig"))))


def test_a_school_stands_and_a_second_preparation_changes_nothing(prepared, client, tmp_path):
    assert Case.objects.open_to_work().count() == len(school.PRACTISED) + len(school.GRADED)
    assert User.objects.count() == Membership.objects.count() == 24 + 4 + 1
    students = school.SHORT.students()
    seats = sum(len(student.cohorts) for student in students)
    assert Seat.objects.filter(membership__role="student").count() == seats
    # each seat works every case, save the visitor's, who has the graded ones still to do
    assert Attempt.objects.count() == seats * len(school.PRACTISED + school.GRADED) - len(school.GRADED)
    assert all(recount(assigned) for assigned in AssignedCase.objects.all())
    assert list(broken_links(Attempt.objects.order_by("pk")[17])) == []
    for said in ("http://127.0.0.1:8000/", "student01", "not for the care of a patient"):
        assert said in prepared
    assert authenticate(username="student07", password=school.PASSWORD) == User.objects.get(username="student07")
    assert [path.suffix for path in (tmp_path / "films").iterdir()].count(".png") == Case.objects.count()
    assert figures(client, "graded"), "the director reads a table"


def test_an_impossible_port_is_refused():
    with pytest.raises(CommandError, match="port 80 cannot be served: choose one from 1024 to 65535"):
        call_command("demo", "--port", "80")
