import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("casebank", "0001_accounts"),
    ]

    operations = [
        migrations.CreateModel(
            name="Case",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("slug", models.SlugField(max_length=60, unique=True)),
                ("retired_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "ordering": ("slug",),
            },
        ),
        migrations.CreateModel(
            name="Programme",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120)),
                ("slug", models.SlugField(max_length=60, unique=True)),
                ("time_zone", models.CharField(default="UTC", max_length=63)),
            ],
            options={
                "ordering": ("name",),
            },
        ),
        migrations.CreateModel(
            name="Edition",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.PositiveSmallIntegerField()),
                ("content", models.TextField()),
                ("sha256", models.CharField(max_length=64)),
                ("title", models.CharField(max_length=200)),
                ("tooth", models.PositiveSmallIntegerField()),
                ("published_at", models.DateTimeField()),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="editions", to="casebank.case"
                    ),
                ),
                (
                    "published_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("case", "number"),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="edition_number_once_per_case"),
                    models.UniqueConstraint(fields=("case", "sha256"), name="edition_content_once_per_case"),
                    models.CheckConstraint(condition=models.Q(("number__gte", 1)), name="edition_numbers_start_at_1"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                (
                    "role",
                    models.CharField(
                        choices=[("student", "student"), ("instructor", "instructor"), ("director", "director")],
                        max_length=10,
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="memberships", to="casebank.programme"
                    ),
                ),
            ],
            options={
                "ordering": ("programme", "user"),
                "constraints": [
                    models.UniqueConstraint(fields=("programme", "user"), name="membership_once_per_programme"),
                    models.CheckConstraint(
                        condition=models.Q(("role__in", ("student", "instructor", "director"))),
                        name="membership_role_exists",
                    ),
                ],
            },
        ),
    ]
