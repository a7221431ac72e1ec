"""The database itself refuses to change, remove or replace an edition, whoever asks and by whatever way."""

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from casebank.models import Edition
from tests.append_only import triggers_lifted

REFUSED = "a published edition never changes"


def execute(statement):
    with connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE casebank_edition SET title = 'changed'",
        "UPDATE casebank_edition SET id = id",
        "DELETE FROM casebank_edition",
    ],
)
def test_raw_sql_is_refused(edition, statement):
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        execute(statement)
    assert list(Edition.objects.values_list("title", flat=True)) == [edition.title]


def test_the_way_round_the_triggers_is_closed_too(edition):
    if connection.vendor == "sqlite":
        columns = ", ".join(field.column for field in Edition._meta.concrete_fields if field.column != "title")
        around = (
            f"INSERT OR REPLACE INTO casebank_edition ({columns}, title) SELECT {columns}, 'new' FROM casebank_edition"
        )
    else:
        connection.check_constraints()
        around = "TRUNCATE casebank_edition CASCADE"
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        execute(around)
    assert Edition.objects.get().title == edition.title


def test_models_are_refused_like_everyone_else(edition):
    edition.title = "changed"
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        edition.save()
    with pytest.raises(IntegrityError, match=REFUSED), transaction.atomic():
        Edition.objects.all().delete()


def test_content_that_was_changed_all_the_same_is_not_read(edition):
    with triggers_lifted():
        Edition.objects.update(content=edition.content.replace("pulp necrosis", "normal pulp"))
    edition.refresh_from_db()
    assert not edition.is_intact
    with pytest.raises(ValueError, match="tampered with"):
        edition.document  # noqa: B018 - reading it is the act


@pytest.mark.django_db(transaction=True)
def test_the_guards_can_be_taken_off_and_put_back_by_migrations():
    call_command("migrate", "assess", "zero", verbosity=0)
    call_command("migrate", "casebank", "0002", verbosity=0)
    Edition.objects.update(title="nothing stands in the way")
    call_command("migrate", verbosity=0)
    with triggers_lifted():
        pass  # which looks for the guards of every table
