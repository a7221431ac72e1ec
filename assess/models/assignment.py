"""An assignment: which cases a cohort works, from when to when, for practice or for a grade."""

import uuid
from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from casebank.models import Cohort, Edition


class Mode(models.TextChoices):
    PRACTICE = "practice", "practice"
    GRADED = "graded", "graded"


class Feedback(models.TextChoices):
    AT_ONCE = "at once", "as soon as a case is self-graded"
    AFTER_CLOSING = "after closing", "once the assignment has closed"


class Assignment(models.Model):
    """What a cohort is asked to do. Practice stays private: only its table, without names, is seen by others."""

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    cohort = models.ForeignKey(Cohort, on_delete=models.PROTECT, related_name="assignments")
    title = models.CharField(max_length=120)
    mode = models.CharField(max_length=10, choices=Mode.choices)
    feedback = models.CharField(max_length=15, choices=Feedback.choices, default=Feedback.AT_ONCE)
    opens_at = models.DateTimeField()
    closes_at = models.DateTimeField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField()

    class Meta:
        ordering = ("-opens_at", "-pk")
        constraints = [
            models.CheckConstraint(condition=Q(closes_at__gt=F("opens_at")), name="assignment_closes_after_it_opens"),
            models.CheckConstraint(condition=Q(mode__in=("practice", "graded")), name="assignment_mode_exists"),
            models.CheckConstraint(
                condition=Q(feedback__in=("at once", "after closing")), name="assignment_feedback_exists"
            ),
            models.CheckConstraint(condition=~Q(title=""), name="assignment_has_a_title"),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def is_graded(self) -> bool:
        return self.mode == Mode.GRADED

    def is_open(self, now: datetime) -> bool:
        """Whether work can be done in it; the closing moment itself is too late."""
        return self.opens_at <= now < self.closes_at

    def has_closed(self, now: datetime) -> bool:
        return now >= self.closes_at


class AssignedCase(models.Model):
    """One edition of one case in an assignment; a later edition does not change what was set."""

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="cases")
    edition = models.ForeignKey(Edition, on_delete=models.PROTECT, related_name="assigned")
    place = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ("assignment", "place")
        constraints = [
            models.UniqueConstraint(fields=("assignment", "edition"), name="edition_once_per_assignment"),
            models.UniqueConstraint(fields=("assignment", "place"), name="place_once_per_assignment"),
        ]

    def __str__(self) -> str:
        return f"{self.edition} in {self.assignment}"
