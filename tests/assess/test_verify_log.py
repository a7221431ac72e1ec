"""The verifier: whoever changes a stored attempt behind the triggers' back is found, and the place is named."""

import hashlib
import re
from datetime import timedelta, timezone
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from assess import actions
from assess.models import Attempt, Event, StoredGrade
from casebank.models import Edition
from tests.append_only import triggers_lifted
from tests.factories import AttemptFactory, EditionFactory


@pytest.fixture
def logged(attempt, student, noon):
    """Four findings asked for."""
    for finding in "cdef":
        actions.record(attempt=attempt, event="asked", fields={"finding": finding}, by=student, now=noon)
    return attempt


def verified(*words):
    """What the verifier names, and its exit code."""
    said, code = StringIO(), 0
    try:
        call_command("verify_log", *words, stdout=said)
    except CommandError as trouble:
        code = trouble.returncode
    return said.getvalue().splitlines(), code


def test_a_whole_log_is_confirmed(logged):
    assert verified() == (["1 attempts checked: every event is as it was stored"], 0)


@pytest.mark.parametrize(
    "change",
    [
        {"payload": '{"seq":2,"case":"leaning-abutment","event":"asked","finding":"g"}'},
        {"kind": "film"},
        {"key": "k"},
        {"sha256": "f" * 64},
        {"previous": "f" * 64},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_changed_event_is_named(logged, change):
    with triggers_lifted():
        Event.objects.filter(seq=2).update(**change)
    sentences, code = verified(str(logged.public_id))
    assert code == 1
    assert sentences[0] == f"attempt {logged.public_id}, event 2: it was changed after it was stored"


def test_a_changed_time_is_named(logged, noon):
    with triggers_lifted():
        Event.objects.filter(seq=3).update(at=noon + timedelta(microseconds=1))
    sentences, _ = verified()
    assert sentences == [f"attempt {logged.public_id}, event 3: it was changed after it was stored"]


def test_one_flipped_letter_anywhere_in_a_payload_is_named(logged):
    payload = Event.objects.get(seq=4).payload
    for place in range(len(payload)):
        flipped = payload[:place] + chr(ord(payload[place]) ^ 1) + payload[place + 1 :]
        with triggers_lifted():
            Event.objects.filter(seq=4).update(payload=flipped)
        assert re.search("event 4: it was changed", verified()[0][0])


def test_an_event_forged_with_a_fitting_hash_breaks_the_chain_behind_it(logged):
    forged = Event.objects.get(seq=2)
    forged.payload = forged.payload.replace('"d"', '"g"')
    with triggers_lifted():
        Event.objects.filter(seq=2).update(payload=forged.payload, sha256=forged.link())
    assert verified()[0] == [f"attempt {logged.public_id}, event 3: it does not follow what stands before it"]


def test_a_removed_event_is_named(logged):
    with triggers_lifted():
        Event.objects.filter(seq=2).delete()
    assert verified()[0] == [f"attempt {logged.public_id}, event 2: missing, event 3 stands in its place"]


def test_a_log_cut_off_behind_its_grade_is_named(logged, noon):
    StoredGrade.objects.create(
        attempt=logged,
        edition_sha256=logged.edition.sha256,
        rubric="treatment-path 2",
        criteria="aae-2022",
        grader=2,
        events=4,
        percent=0,
        result={},
        graded_at=noon,
    )
    with triggers_lifted():
        Event.objects.filter(seq=4).delete()
    assert verified()[0] == [f"attempt {logged.public_id}, event 4: the grade counts 4 events, 3 are stored"]


def test_an_attempt_handed_to_another_student_or_edition_is_named(logged, fellow):
    other = EditionFactory(number=2, content="{}", sha256=hashlib.sha256(b"{}").hexdigest())
    for change in ({"student": fellow}, {"student": logged.student, "edition": other}):
        Attempt.objects.update(**change)
        assert verified()[0] == [f"attempt {logged.public_id}, event 1: it does not follow what stands before it"]


def test_a_changed_edition_is_named(logged):
    with triggers_lifted():
        Edition.objects.update(content="{}")
    sentences, code = verified()
    assert code == 1
    assert sentences == [
        f"attempt {logged.public_id}: the content of leaning-abutment, edition 1 was changed after it was published"
    ]


def test_one_attempt_can_be_checked_alone(logged):
    whole = AttemptFactory(edition=logged.edition)
    with triggers_lifted():
        Event.objects.filter(seq=1).update(key="k")
    assert verified(str(whole.public_id))[1] == 0
    assert verified(str(logged.public_id))[1] == 1


def test_an_unknown_attempt_is_said(db):
    with pytest.raises(CommandError, match="there is no attempt 00000000-0000-0000-0000-000000000000") as refusal:
        call_command("verify_log", "00000000-0000-0000-0000-000000000000")
    assert refusal.value.returncode == 2


def test_the_zone_in_which_a_time_was_given_does_not_matter(attempt, student, noon):
    local = noon.astimezone(timezone(timedelta(hours=5, minutes=45)))
    actions.record(attempt=attempt, event="asked", fields={"finding": "c"}, by=student, now=local)
    assert verified()[1] == 0
