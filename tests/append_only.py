"""Lifting the triggers that keep what is stored: for a test that plays the intruder, and to empty a test database."""

from contextlib import contextmanager

from django.apps import apps
from django.db import connection

GUARDED = (
    *("casebank_edition", "assess_event", "assess_storedgrade", "assess_regraded", "assess_regradebatch"),
    "assess_wordsmarked",
)


@contextmanager
def triggers_lifted():
    """The guarded tables without their triggers; afterwards the same triggers stand again."""
    if connection.vendor == "postgresql":
        connection.check_constraints()  # a table with constraints still to be checked cannot be altered
        _each("ALTER TABLE {} DISABLE TRIGGER USER")
        try:
            yield
        finally:
            connection.check_constraints()
            _each("ALTER TABLE {} ENABLE TRIGGER USER")
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
        assert {table for table in GUARDED if any(table in sql for _, sql in triggers)} == set(GUARDED)
        for name, _ in triggers:
            cursor.execute(f"DROP TRIGGER {name}")
        try:
            yield
        finally:
            for _, sql in triggers:
                cursor.execute(sql)


def empty_the_store():
    """Remove every row of ours that a test has committed, so that the test database can be emptied of the rest."""
    with triggers_lifted():
        apps.get_model("assess", "Regraded").objects.all().delete()
        for grade in apps.get_model("assess", "StoredGrade").objects.order_by("-pk"):  # each before what it supersedes
            grade.delete()
        for name in ("RegradeBatch", "WordsMarked", "Event", "Attempt", "Assignment"):
            apps.get_model("assess", name).objects.all().delete()
        apps.get_model("casebank", "Edition").objects.all().delete()


def _each(statement):
    with connection.cursor() as cursor:
        for table in GUARDED:
            cursor.execute(statement.format(table))
