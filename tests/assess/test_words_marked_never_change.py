"""A tutor's marks that were stored can neither be changed, removed nor replaced: the database refuses."""

import pytest
from django.db import IntegrityError, connection, transaction

from assess.models import WordsMarked

REFUSED = "what was stored of an attempt never changes"


@pytest.fixture
def stored(attempt, instructor, noon):
    fields = {"attempt": attempt, "task": "reason", "turn": 1, "met": ["factor"]}
    return WordsMarked.objects.create(**fields, marked_by=instructor, marked_at=noon)


def refused(statement):
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_the_database_refuses_whoever_asks(stored):
    refused("UPDATE assess_wordsmarked SET met = '[]'")
    refused("DELETE FROM assess_wordsmarked")
    if connection.vendor == "sqlite":
        columns = ", ".join(field.column for field in WordsMarked._meta.concrete_fields)
        others = ", ".join(field.column for field in WordsMarked._meta.concrete_fields if field.column != "id")
        refused(f"INSERT OR REPLACE INTO assess_wordsmarked ({columns}) SELECT {columns} FROM assess_wordsmarked")
        refused(f"INSERT OR REPLACE INTO assess_wordsmarked ({others}) SELECT {others} FROM assess_wordsmarked")
    else:
        connection.check_constraints()
        refused("TRUNCATE assess_wordsmarked CASCADE")
    assert WordsMarked.objects.get().met == ["factor"]


@pytest.mark.parametrize("turn", [0, 1])
def test_a_turn_stands_once_and_counts_from_one(stored, turn):
    again = WordsMarked.objects.get()
    again.pk, again.turn = None, turn
    with pytest.raises(IntegrityError), transaction.atomic():
        again.save(force_insert=True)
