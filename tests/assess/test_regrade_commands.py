"""`regrade` and `work_regrades` as whoever runs the site uses them."""

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from assess import actions
from assess.models import RegradeBatch, RegradeState, StoredGrade
from tests.assess.regrading import LATER, REASON, key_turned, worked
from tests.factories import AssignedCaseFactory, ProgrammeFactory

CASE = "leaning-abutment"


@pytest.fixture
def assigned(db):
    return AssignedCaseFactory()


@pytest.fixture
def attempts(assigned):
    return [worked(assigned, "sound", username="ada"), worked(assigned, "weak", username="bo")]


def said(*words, **options):
    out = StringIO()
    call_command(*words, stdout=out, no_color=True, **options)
    return out.getvalue()


def percents():
    standing = StoredGrade.objects.standing().order_by("attempt")
    return list(standing.values_list("pk", "percent"))


def test_a_preview_names_who_would_move_and_moves_nobody(attempts):
    key_turned()
    before = percents()
    text = said("regrade", CASE, "--cut", "60")
    assert percents() == before
    assert re.search(r"^ada: [\d.]+ % to [\d.]+ %", text, re.MULTILINE)
    assert "2 attempts: 1 up, 1 down, 0 unchanged in percent, 0 cannot be graded again" in text
    assert "differs: the keyed choices" in text
    assert "task Axis of the opening: 1 gain points, 1 lose some" in text
    assert "Nothing of this counts yet" in text


def test_what_was_previewed_is_applied_and_undone(attempts):
    key_turned()
    before = percents()
    said("regrade", CASE)
    text = said("regrade", CASE, "--apply", "--reason", REASON)
    batch = RegradeBatch.objects.get()
    assert batch.state == RegradeState.APPLIED
    assert percents() != before
    assert f"--undo {batch.public_id}" in text
    said("regrade", CASE, "--undo", str(batch.public_id), "--reason", "It was right after all")
    assert percents() == before
    assert said("tally").endswith("1 were right, 0 repaired\n")


def test_a_preview_that_no_longer_holds_is_worked_out_anew(attempts, assigned):
    key_turned()
    said("regrade", CASE)
    worked(assigned, "weak")
    assert "3 attempts: 2 up, 1 down" in said("regrade", CASE)
    states = RegradeBatch.objects.order_by("pk").values_list("state", flat=True)
    assert list(states) == [RegradeState.CANCELLED, RegradeState.READY]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["no-such-case"], "there is no case no-such-case"),
        ([CASE, "--edition", "9"], "has no edition 9: its editions are 1"),
        ([CASE, "--apply"], "give --reason"),
        ([CASE, "--undo", "00000000-0000-4000-8000-000000000000", "--reason", "x"], "has no regrade"),
        ([CASE, "--programme", "nowhere"], "name one programme"),
        ([CASE], "Nothing to grade again"),
        ([CASE, "--cut", "nan"], "from 0 to 100"),
        ([CASE, "--cut", "101"], "from 0 to 100"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_it_refuses_in_one_sentence(attempts, words, sentence):
    with pytest.raises(CommandError, match=sentence):
        said("regrade", *words)
    assert not RegradeBatch.objects.exists()


def test_with_several_programmes_one_is_to_be_named(attempts):
    ProgrammeFactory(slug="another-school")
    key_turned()
    with pytest.raises(CommandError, match="name one programme with --programme"):
        said("regrade", CASE)
    assert "2 attempts" in said("regrade", CASE, "--programme", "invented-school-3")


def test_the_worker_works_out_what_pages_have_drafted(attempts, assigned):
    batch = actions.draft_regrade(
        edition=key_turned(), programme=assigned.assignment.cohort.programme, by=None, now=LATER
    )
    assert said("work_regrades", "--once") == f"{batch}: 2 attempts, ready\n"
    batch.refresh_from_db()
    assert batch.state == RegradeState.READY
