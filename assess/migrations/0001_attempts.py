import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("casebank", "0003_editions_never_change"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Attempt",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("public_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("started_at", models.DateTimeField()),
                ("seed", models.PositiveIntegerField()),
                (
                    "edition",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="attempts", to="casebank.edition"
                    ),
                ),
                (
                    "student",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attempts",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("-started_at", "-pk"),
            },
        ),
        migrations.CreateModel(
            name="Event",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("seq", models.PositiveIntegerField()),
                ("kind", models.CharField(max_length=20)),
                ("payload", models.TextField()),
                ("at", models.DateTimeField()),
                ("key", models.CharField(blank=True, default="", max_length=64)),
                ("previous", models.CharField(max_length=64)),
                ("sha256", models.CharField(max_length=64)),
                (
                    "attempt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="events", to="assess.attempt"
                    ),
                ),
            ],
            options={
                "ordering": ("attempt", "seq"),
                "constraints": [
                    models.UniqueConstraint(fields=("attempt", "seq"), name="event_seq_once_per_attempt"),
                    models.UniqueConstraint(
                        condition=models.Q(("key", ""), _negated=True),
                        fields=("attempt", "key"),
                        name="event_key_once_per_attempt",
                    ),
                    models.CheckConstraint(condition=models.Q(("seq__gte", 1)), name="event_seq_starts_at_1"),
                ],
            },
        ),
        migrations.CreateModel(
            name="StoredGrade",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("edition_sha256", models.CharField(max_length=64)),
                ("rubric", models.CharField(max_length=80)),
                ("criteria", models.CharField(max_length=80)),
                ("grader", models.PositiveSmallIntegerField()),
                ("events", models.PositiveIntegerField()),
                ("percent", models.FloatField()),
                ("result", models.JSONField()),
                ("graded_at", models.DateTimeField()),
                (
                    "attempt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="grades", to="assess.attempt"
                    ),
                ),
            ],
            options={
                "ordering": ("attempt", "graded_at", "pk"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("attempt", "edition_sha256", "rubric", "criteria", "grader", "events"),
                        name="grade_once_per_version",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("percent__gte", 0), ("percent__lte", 100)), name="grade_percent_in_range"
                    ),
                ],
            },
        ),
    ]
