"""A stored event or grade can neither be changed nor removed: the database refuses, whoever asks.

SQLite's INSERT OR REPLACE removes a row without asking a trigger on DELETE, so an insert over an existing row is refused
as well. PostgreSQL's TRUNCATE asks no trigger on rows, so it has its own; emptying an empty table does no harm.
"""

from django.db import migrations

SENTENCE = "what was stored of an attempt never changes: append to it"
TABLES = {  # table: what a trigger's name begins with, and when a new row would stand in for one that is there
    "assess_event": (
        "event",
        "id = NEW.id OR (attempt_id = NEW.attempt_id AND (seq = NEW.seq OR (key <> '' AND key = NEW.key)))",
    ),
    "assess_storedgrade": (
        "grade",
        "id = NEW.id OR (attempt_id = NEW.attempt_id AND edition_sha256 = NEW.edition_sha256 AND rubric = NEW.rubric "
        "AND criteria = NEW.criteria AND grader = NEW.grader AND events = NEW.events)",
    ),
}
POSTGRESQL_FUNCTION = f"""
    CREATE FUNCTION assess_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
    DECLARE filled boolean;
    BEGIN
        IF TG_OP = 'TRUNCATE' THEN
            EXECUTE format('SELECT EXISTS (SELECT 1 FROM %I.%I)', TG_TABLE_SCHEMA, TG_TABLE_NAME) INTO filled;
            IF NOT filled THEN RETURN NULL; END IF;
        END IF;
        RAISE EXCEPTION '{SENTENCE}' USING ERRCODE = 'integrity_constraint_violation';
    END $$
"""


def guard(apps, schema_editor):
    vendor = schema_editor.connection.vendor
    if vendor == "postgresql":
        schema_editor.execute(POSTGRESQL_FUNCTION, None)
    for table, (name, replaces) in TABLES.items():
        for statement in STATEMENTS[vendor](table, name, replaces):
            schema_editor.execute(statement, None)


def unguard(apps, schema_editor):
    vendor = schema_editor.connection.vendor
    for table, (name, _) in TABLES.items():
        for trigger in NAMES[vendor]:
            place = f" ON {table}" if vendor == "postgresql" else ""
            schema_editor.execute(f"DROP TRIGGER {name}_{trigger}{place}", None)
    if vendor == "postgresql":
        schema_editor.execute("DROP FUNCTION assess_refuse_change()", None)


def for_sqlite(table, name, replaces):
    occasions = {
        "never_changes": f"BEFORE UPDATE ON {table}",
        "never_goes": f"BEFORE DELETE ON {table}",
        "never_replaced": f"BEFORE INSERT ON {table} WHEN EXISTS (SELECT 1 FROM {table} WHERE {replaces})",
    }
    for trigger, occasion in occasions.items():
        yield f"CREATE TRIGGER {name}_{trigger} {occasion} BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END"


def for_postgresql(table, name, replaces):
    call = "EXECUTE FUNCTION assess_refuse_change()"
    yield f"CREATE TRIGGER {name}_never_changes BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW {call}"
    yield f"CREATE TRIGGER {name}_never_emptied BEFORE TRUNCATE ON {table} FOR EACH STATEMENT {call}"


STATEMENTS = {"sqlite": for_sqlite, "postgresql": for_postgresql}
NAMES = {
    "sqlite": ("never_changes", "never_goes", "never_replaced"),
    "postgresql": ("never_changes", "never_emptied"),
}


class Migration(migrations.Migration):
    dependencies = [("assess", "0001_attempts")]
    operations = [migrations.RunPython(guard, unguard)]
