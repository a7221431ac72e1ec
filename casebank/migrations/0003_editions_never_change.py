"""A published edition can neither be changed nor removed: the database refuses, whoever asks.

SQLite's INSERT OR REPLACE removes a row without asking a trigger on DELETE, so an insert over an existing row is refused
as well. PostgreSQL's TRUNCATE asks no trigger on rows, so it has its own; emptying an empty table does no harm.
"""

from django.db import NotSupportedError, migrations

SENTENCE = "a published edition never changes: publish a further one"
SQLITE = {
    "edition_never_changes": "BEFORE UPDATE ON casebank_edition",
    "edition_never_goes": "BEFORE DELETE ON casebank_edition",
    "edition_never_replaced": (
        "BEFORE INSERT ON casebank_edition WHEN EXISTS (SELECT 1 FROM casebank_edition WHERE id = NEW.id OR "
        "(case_id = NEW.case_id AND (number = NEW.number OR sha256 = NEW.sha256)))"
    ),
}
POSTGRESQL = (
    f"""
    CREATE FUNCTION casebank_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
    DECLARE filled boolean;
    BEGIN
        IF TG_OP = 'TRUNCATE' THEN
            EXECUTE format('SELECT EXISTS (SELECT 1 FROM %I.%I)', TG_TABLE_SCHEMA, TG_TABLE_NAME) INTO filled;
            IF NOT filled THEN RETURN NULL; END IF;
        END IF;
        RAISE EXCEPTION '{SENTENCE}' USING ERRCODE = 'integrity_constraint_violation';
    END $$
    """,
    """
    CREATE TRIGGER edition_never_changes BEFORE UPDATE OR DELETE ON casebank_edition
    FOR EACH ROW EXECUTE FUNCTION casebank_refuse_change()
    """,
    """
    CREATE TRIGGER edition_never_emptied BEFORE TRUNCATE ON casebank_edition
    FOR EACH STATEMENT EXECUTE FUNCTION casebank_refuse_change()
    """,
)


def guard(apps, schema_editor):
    if schema_editor.connection.vendor == "sqlite":
        for name, occasion in SQLITE.items():
            schema_editor.execute(
                f"CREATE TRIGGER {name} {occasion} BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END", None
            )
    elif schema_editor.connection.vendor == "postgresql":
        for statement in POSTGRESQL:
            schema_editor.execute(statement, None)
    else:
        raise NotSupportedError(f"{schema_editor.connection.vendor} has no guard here: use SQLite or PostgreSQL")


def unguard(apps, schema_editor):
    if schema_editor.connection.vendor == "sqlite":
        for name in SQLITE:
            schema_editor.execute(f"DROP TRIGGER {name}", None)
    else:
        schema_editor.execute("DROP TRIGGER edition_never_changes ON casebank_edition", None)
        schema_editor.execute("DROP TRIGGER edition_never_emptied ON casebank_edition", None)
        schema_editor.execute("DROP FUNCTION casebank_refuse_change()", None)


class Migration(migrations.Migration):
    dependencies = [("casebank", "0002_programmes_and_cases")]
    operations = [migrations.RunPython(guard, unguard)]
