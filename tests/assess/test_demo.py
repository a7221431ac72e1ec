"""The demo: prepared twice it is the same, its accounts can sign in, and its first film is ready."""

import io

import pytest
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command

from assess.management.commands import demo
from casebank.models import Case, Membership, User

pytestmark = pytest.mark.django_db


@pytest.fixture
def prepared(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    out = io.StringIO()
    for _ in range(2):
        call_command("demo", "--prepare-only", stdout=out)
    return out.getvalue()


def test_preparing_twice_changes_nothing(prepared):
    assert Case.objects.open_to_work().count() == 1
    assert User.objects.count() == 24 + 4 + 1
    assert Membership.objects.count() == User.objects.count()


def test_it_prints_where_and_how_to_sign_in_and_the_caution(prepared):
    assert "http://127.0.0.1:8000/" in prepared
    assert "student01" in prepared
    assert "not for the care of a patient" in prepared
    assert authenticate(username="student07", password=demo.PASSWORD) == User.objects.get(username="student07")


def test_the_first_film_waits_on_disk(prepared, tmp_path):
    assert [path.suffix for path in sorted((tmp_path / "films").iterdir())].count(".png") == 1


def test_an_impossible_port_is_refused():
    with pytest.raises(CommandError, match="port 80 cannot be served: choose one from 1024 to 65535"):
        call_command("demo", "--port", "80")
