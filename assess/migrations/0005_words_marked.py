"""Tutors' marks of written reasons. The database keeps what was stored of them, as it keeps events and grades."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

SENTENCE = "what was stored of an attempt never changes: append to it"
TABLE = "assess_wordsmarked"
SQLITE = {
    "words_marked_never_changes": f"BEFORE UPDATE ON {TABLE}",
    "words_marked_never_goes": f"BEFORE DELETE ON {TABLE}",
    "words_marked_never_replaced": (
        f"BEFORE INSERT ON {TABLE} WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id OR "
        "(attempt_id = NEW.attempt_id AND task = NEW.task AND turn = NEW.turn))"
    ),
}
CALL = "EXECUTE FUNCTION assess_refuse_change()"
POSTGRESQL = {
    "words_marked_never_changes": f"BEFORE UPDATE OR DELETE ON {TABLE} FOR EACH ROW {CALL}",
    "words_marked_never_emptied": f"BEFORE TRUNCATE ON {TABLE} FOR EACH STATEMENT {CALL}",
}


def guard(apps, schema_editor):
    if schema_editor.connection.vendor == "sqlite":
        for name, occasion in SQLITE.items():
            schema_editor.execute(
                f"CREATE TRIGGER {name} {occasion} BEGIN SELECT RAISE(ABORT, '{SENTENCE}'); END", None
            )
    else:
        for name, occasion in POSTGRESQL.items():
            schema_editor.execute(f"CREATE TRIGGER {name} {occasion}", None)


def unguard(apps, schema_editor):
    sqlite = schema_editor.connection.vendor == "sqlite"
    for name in SQLITE if sqlite else POSTGRESQL:
        schema_editor.execute(f"DROP TRIGGER {name}{'' if sqlite else f' ON {TABLE}'}", None)


class Migration(migrations.Migration):
    dependencies = [
        ("assess", "0004_regrades"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="WordsMarked",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("task", models.CharField(max_length=80)),
                ("turn", models.PositiveSmallIntegerField()),
                ("met", models.JSONField(blank=True, default=list)),
                ("marked_at", models.DateTimeField()),
                (
                    "attempt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="words_marked", to="assess.attempt"
                    ),
                ),
                (
                    "marked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "words marked",
                "ordering": ("attempt", "task", "turn"),
                "constraints": [
                    models.UniqueConstraint(fields=("attempt", "task", "turn"), name="words_marked_once_per_turn"),
                    models.CheckConstraint(condition=models.Q(("turn__gte", 1)), name="words_marked_turn_starts_at_1"),
                ],
            },
        ),
        migrations.RunPython(guard, unguard),
    ]
