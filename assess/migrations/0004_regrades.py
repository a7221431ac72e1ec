"""Regrades: further grades of finished attempts, made to stand together. The database keeps what was stored of them.

A regraded attempt never changes or goes, a batch never goes, and a grade follows a grade of its own attempt in a batch,
or none. The triggers are those of the events and grades, with the same reasons.
"""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

SENTENCE = "what was stored of an attempt never changes: append to it"
MISMATCH = "a further grade supersedes one of its own attempt, in a regrade: name both"
GRADE_REPLACES = (
    "id = NEW.id OR (attempt_id = NEW.attempt_id AND edition_sha256 = NEW.edition_sha256 AND rubric = NEW.rubric "
    "AND criteria = NEW.criteria AND grader = NEW.grader AND events = NEW.events)"
)
DOES_NOT_FOLLOW = (
    "(NEW.supersedes_id IS NULL) <> (NEW.regrade_id IS NULL) OR (NEW.supersedes_id IS NOT NULL AND NOT EXISTS "
    "(SELECT 1 FROM assess_storedgrade WHERE id = NEW.supersedes_id AND attempt_id = NEW.attempt_id))"
)
SQLITE_GRADE = {  # those a table made anew has lost
    "grade_never_changes": ("BEFORE UPDATE ON assess_storedgrade", SENTENCE),
    "grade_never_goes": ("BEFORE DELETE ON assess_storedgrade", SENTENCE),
    "grade_never_replaced": (
        f"BEFORE INSERT ON assess_storedgrade WHEN EXISTS (SELECT 1 FROM assess_storedgrade WHERE {GRADE_REPLACES})",
        SENTENCE,
    ),
}
SQLITE = {
    "grade_follows": (f"BEFORE INSERT ON assess_storedgrade WHEN {DOES_NOT_FOLLOW}", MISMATCH),
    "regraded_never_changes": ("BEFORE UPDATE ON assess_regraded", SENTENCE),
    "regraded_never_goes": ("BEFORE DELETE ON assess_regraded", SENTENCE),
    "regraded_never_replaced": (
        "BEFORE INSERT ON assess_regraded WHEN EXISTS (SELECT 1 FROM assess_regraded WHERE id = NEW.id OR "
        "(batch_id = NEW.batch_id AND attempt_id = NEW.attempt_id))",
        SENTENCE,
    ),
    "regrade_never_goes": ("BEFORE DELETE ON assess_regradebatch", SENTENCE),
    "regrade_never_replaced": (
        "BEFORE INSERT ON assess_regradebatch WHEN EXISTS (SELECT 1 FROM assess_regradebatch WHERE id = NEW.id OR "
        "public_id = NEW.public_id)",
        SENTENCE,
    ),
}
CALL = "EXECUTE FUNCTION assess_refuse_change()"
POSTGRESQL = (
    f"""
    CREATE FUNCTION assess_refuse_stray_grade() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN
        IF {DOES_NOT_FOLLOW} THEN
            RAISE EXCEPTION '{MISMATCH}' USING ERRCODE = 'integrity_constraint_violation';
        END IF;
        RETURN NEW;
    END $$
    """,
    "CREATE TRIGGER grade_follows BEFORE INSERT ON assess_storedgrade FOR EACH ROW "
    "EXECUTE FUNCTION assess_refuse_stray_grade()",
    f"CREATE TRIGGER regraded_never_changes BEFORE UPDATE OR DELETE ON assess_regraded FOR EACH ROW {CALL}",
    f"CREATE TRIGGER regraded_never_emptied BEFORE TRUNCATE ON assess_regraded FOR EACH STATEMENT {CALL}",
    f"CREATE TRIGGER regrade_never_goes BEFORE DELETE ON assess_regradebatch FOR EACH ROW {CALL}",
    f"CREATE TRIGGER regrade_never_emptied BEFORE TRUNCATE ON assess_regradebatch FOR EACH STATEMENT {CALL}",
)
POSTGRESQL_UNDONE = (
    "DROP TRIGGER grade_follows ON assess_storedgrade",
    "DROP FUNCTION assess_refuse_stray_grade()",
    "DROP TRIGGER regraded_never_changes ON assess_regraded",
    "DROP TRIGGER regraded_never_emptied ON assess_regraded",
    "DROP TRIGGER regrade_never_goes ON assess_regradebatch",
    "DROP TRIGGER regrade_never_emptied ON assess_regradebatch",
)


def guard(apps, schema_editor):
    if schema_editor.connection.vendor == "sqlite":
        _make(schema_editor, SQLITE)
    else:
        for statement in POSTGRESQL:
            schema_editor.execute(statement, None)


def unguard(apps, schema_editor):
    sqlite = schema_editor.connection.vendor == "sqlite"
    for statement in [f"DROP TRIGGER {name}" for name in SQLITE] if sqlite else POSTGRESQL_UNDONE:
        schema_editor.execute(statement, None)


def guard_grades_anew(apps, schema_editor):
    """Going back makes the table of grades anew on SQLite, and its triggers go with the old one."""
    if schema_editor.connection.vendor == "sqlite":
        _make(schema_editor, SQLITE_GRADE)


def _make(schema_editor, triggers):
    for name, (occasion, sentence) in triggers.items():
        schema_editor.execute(f"CREATE TRIGGER {name} {occasion} BEGIN SELECT RAISE(ABORT, '{sentence}'); END", None)


class Migration(migrations.Migration):
    dependencies = [
        ("assess", "0003_assignments_and_tallies"),
        ("casebank", "0004_cohorts_and_drafts"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(migrations.RunPython.noop, guard_grades_anew),
        migrations.CreateModel(
            name="Regraded",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("trouble", models.TextField(blank=True, default="")),
                ("moved", models.JSONField(default=dict)),
            ],
            options={
                "verbose_name_plural": "regraded attempts",
                "ordering": ("pk",),
            },
        ),
        migrations.AddField(
            model_name="storedgrade",
            name="supersedes",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="assess.storedgrade",
            ),
        ),
        migrations.CreateModel(
            name="RegradeBatch",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("public_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("newest", models.PositiveSmallIntegerField()),
                ("grader", models.PositiveSmallIntegerField()),
                ("cut", models.FloatField(blank=True, null=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("drafted", "waits to be worked out"),
                            ("computing", "is being worked out"),
                            ("ready", "can be looked at and applied"),
                            ("applied", "applied"),
                            ("undone", "undone"),
                            ("cancelled", "cancelled"),
                            ("failed", "failed"),
                        ],
                        default="drafted",
                        max_length=10,
                    ),
                ),
                ("whole", models.PositiveIntegerField()),
                ("done", models.PositiveIntegerField(default=0)),
                ("worker", models.CharField(blank=True, default="", max_length=36)),
                ("beat_at", models.DateTimeField(blank=True, null=True)),
                ("failure", models.TextField(blank=True, default="")),
                ("drafted_at", models.DateTimeField()),
                ("turn", models.PositiveIntegerField(blank=True, null=True)),
                ("reason", models.TextField(blank=True, default="")),
                ("applied_at", models.DateTimeField(blank=True, null=True)),
                ("undo_reason", models.TextField(blank=True, default="")),
                ("undone_at", models.DateTimeField(blank=True, null=True)),
                (
                    "applied_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="regrades", to="casebank.case"
                    ),
                ),
                (
                    "drafted_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "edition",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="regrades", to="casebank.edition"
                    ),
                ),
                (
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="regrades", to="casebank.programme"
                    ),
                ),
                (
                    "undone_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "regrade batches",
                "ordering": ("-drafted_at", "-pk"),
            },
        ),
        migrations.AddField(
            model_name="storedgrade",
            name="regrade",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="made",
                to="assess.regradebatch",
            ),
        ),
        migrations.AddConstraint(
            model_name="storedgrade",
            constraint=models.UniqueConstraint(
                condition=models.Q(("supersedes__isnull", True)),
                fields=("attempt",),
                name="first_grade_once_per_attempt",
            ),
        ),
        migrations.AddField(
            model_name="regraded",
            name="attempt",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="regraded", to="assess.attempt"
            ),
        ),
        migrations.AddField(
            model_name="regraded",
            name="batch",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="regraded", to="assess.regradebatch"
            ),
        ),
        migrations.AddField(
            model_name="regraded",
            name="former",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="assess.storedgrade"
            ),
        ),
        migrations.AddField(
            model_name="regraded",
            name="grade",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to="assess.storedgrade"
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("state__in", ("drafted", "computing", "ready", "applied", "undone", "cancelled", "failed"))
                ),
                name="regrade_state_exists",
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        models.Q(("reason", ""), _negated=True),
                        ("applied_at__isnull", False),
                        ("state__in", ("applied", "undone")),
                        ("turn__isnull", False),
                    ),
                    models.Q(
                        models.Q(("state__in", ("applied", "undone")), _negated=True),
                        ("applied_at__isnull", True),
                        ("reason", ""),
                        ("turn__isnull", True),
                    ),
                    _connector="OR",
                ),
                name="regrade_is_applied_with_a_reason",
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        models.Q(("undo_reason", ""), _negated=True), ("state", "undone"), ("undone_at__isnull", False)
                    ),
                    models.Q(
                        models.Q(("state", "undone"), _negated=True), ("undo_reason", ""), ("undone_at__isnull", True)
                    ),
                    _connector="OR",
                ),
                name="regrade_is_undone_with_a_reason",
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.CheckConstraint(
                condition=models.Q(("done__lte", models.F("whole"))), name="regrade_does_no_more_than_the_whole"
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("cut__isnull", True), models.Q(("cut__gte", 0), ("cut__lte", 100)), _connector="OR"
                ),
                name="regrade_cut_in_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state__in", ("drafted", "computing", "ready"))),
                fields=("case", "programme"),
                name="regrade_open_once_per_case_and_programme",
            ),
        ),
        migrations.AddConstraint(
            model_name="regradebatch",
            constraint=models.UniqueConstraint(fields=("case", "turn"), name="regrade_turn_once_per_case"),
        ),
        migrations.AddConstraint(
            model_name="regraded",
            constraint=models.UniqueConstraint(fields=("batch", "attempt"), name="regraded_once_per_batch"),
        ),
        migrations.AddConstraint(
            model_name="regraded",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("grade__isnull", False), ("trouble", "")),
                    models.Q(models.Q(("trouble", ""), _negated=True), ("grade__isnull", True)),
                    _connector="OR",
                ),
                name="regraded_or_said_why_not",
            ),
        ),
        migrations.RunPython(guard, unguard),
    ]
