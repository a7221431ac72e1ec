"""A demo that is stopped keeps what is done, says how to go on, and goes on where it was."""

import io

import pytest
from django.core.management import CommandError, call_command

from assess.management import school
from assess.management.commands import demo
from assess.models import AssignedCase, Attempt

pytestmark = pytest.mark.django_db


def stopping_after(count):
    """Work as the command does it, with somebody's Ctrl-C after so many attempts."""

    def work_some(sittings):
        for done in school.work_all(sittings):
            yield done
            if done == count:
                raise KeyboardInterrupt

    return work_some


def test_a_stopped_demo_goes_on_where_it_was(monkeypatch, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    for count in (2, 3):
        monkeypatch.setattr(demo, "work_all", stopping_after(count))
        with pytest.raises(CommandError, match="what is done is kept: run the same command again to go on"):
            call_command("demo", "--full", "--prepare-only", stdout=io.StringIO())
    assert Attempt.objects.count() == 2 + 3
    sat = AssignedCase.objects.filter(attempts__isnull=False)
    assert sat.values_list("attempts__student", "pk").distinct().count() == 2 + 3
