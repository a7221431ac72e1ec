"""A programme, and who belongs to it as what."""

import zoneinfo

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models


class Role(models.TextChoices):
    STUDENT = "student", "student"
    INSTRUCTOR = "instructor", "instructor"
    DIRECTOR = "director", "director"


class Programme(models.Model):
    """A school's course. Times are stored in UTC and shown in its zone."""

    name = models.CharField(max_length=120)
    slug = models.SlugField(max_length=60, unique=True)
    time_zone = models.CharField(max_length=63, default="UTC")

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        if self.time_zone not in zoneinfo.available_timezones():
            raise ValidationError(
                {"time_zone": f"There is no time zone {self.time_zone!r}: name one such as Europe/Zurich."}
            )


class Membership(models.Model):
    """One account in one programme, in one role."""

    programme = models.ForeignKey(Programme, on_delete=models.CASCADE, related_name="memberships")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role.choices)

    class Meta:
        ordering = ("programme", "user")
        constraints = [
            models.UniqueConstraint(fields=("programme", "user"), name="membership_once_per_programme"),
            models.CheckConstraint(
                condition=models.Q(role__in=("student", "instructor", "director")), name="membership_role_exists"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user} as {self.role} of {self.programme}"
