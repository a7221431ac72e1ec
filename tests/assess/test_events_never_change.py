"""The database itself refuses to change, remove or replace a stored event or grade, whoever asks."""

import pytest
from django.db import IntegrityError, connection, transaction

from assess import actions
from assess.models import Event, StoredGrade

REFUSED = "what was stored of an attempt never changes"


@pytest.fixture
def stored(attempt, student, noon):
    """One event and one grade."""
    actions.record(attempt=attempt, event="asked", fields={"finding": "c"}, by=student, now=noon, key="k1")
    StoredGrade.objects.create(
        attempt=attempt,
        edition_sha256=attempt.edition.sha256,
        rubric="treatment-path 2",
        criteria="aae-2022",
        grader=2,
        events=1,
        percent=50,
        result={},
        graded_at=noon,
    )
    return rows()


def rows():
    return list(Event.objects.values()), list(StoredGrade.objects.values())


def refused(statement):
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE assess_event SET payload = '{}'",
        "UPDATE assess_event SET seq = seq",
        "DELETE FROM assess_event",
        "UPDATE assess_storedgrade SET percent = 100",
        "DELETE FROM assess_storedgrade",
    ],
)
def test_raw_sql_is_refused(stored, statement):
    refused(statement)
    assert rows() == stored


@pytest.mark.parametrize("model", [Event, StoredGrade])
def test_the_way_round_the_triggers_is_closed_too(stored, model):
    table = model._meta.db_table
    if connection.vendor == "sqlite":
        columns = ", ".join(field.column for field in model._meta.concrete_fields)
        others = ", ".join(field.column for field in model._meta.concrete_fields if field.column != "id")
        refused(f"INSERT OR REPLACE INTO {table} ({columns}) SELECT {columns} FROM {table}")
        refused(f"INSERT OR REPLACE INTO {table} ({others}) SELECT {others} FROM {table}")
    else:
        connection.check_constraints()
        refused(f"TRUNCATE {table} CASCADE")
    assert rows() == stored


def test_models_are_refused_like_everyone_else(stored):
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        Event.objects.get().save()
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        Event.objects.update(kind="film")
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        StoredGrade.objects.get().delete()
    assert rows() == stored


@pytest.mark.parametrize("change", [{"seq": 1, "key": "k2"}, {"seq": 2, "key": "k1"}])
def test_a_number_and_a_key_stand_once_in_an_attempt(stored, change):
    again = Event.objects.get()
    again.pk = None
    again.seq, again.key = change["seq"], change["key"]
    with pytest.raises(IntegrityError), transaction.atomic():
        again.save(force_insert=True)
    assert rows() == stored


def test_events_without_a_key_do_not_get_in_each_others_way(attempt, student, noon):
    for finding in ("c", "d"):
        actions.record(attempt=attempt, event="asked", fields={"finding": finding}, by=student, now=noon)
    assert attempt.events.filter(key="").count() == 2
