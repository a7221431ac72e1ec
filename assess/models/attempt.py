"""An attempt: one student at work on one edition. What happened in it stands in its events."""

import hashlib
import json
import uuid
from datetime import UTC, datetime

from django.conf import settings
from django.db import models

from assess.log import AnyEvent, State, fold
from assess.models.assignment import AssignedCase
from casebank.models import Edition


class AttemptQuerySet(models.QuerySet["Attempt"]):
    def with_case(self) -> "AttemptQuerySet":
        return self.select_related("edition__case", "assigned__assignment__cohort__programme")

    def unfinished(self) -> "AttemptQuerySet":
        """Attempts that have no grade yet: their estimate, or the marks of their own words, are still to come."""
        return self.filter(grades=None)


class Attempt(models.Model):
    """One student at work on one edition. Its state is the fold over its events and is stored nowhere else."""

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    edition = models.ForeignKey(Edition, on_delete=models.PROTECT, related_name="attempts")
    student = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="attempts")
    assigned = models.ForeignKey(AssignedCase, on_delete=models.PROTECT, null=True, blank=True, related_name="attempts")
    """The assigned case it answers; none for practice of the student's own."""
    started_at = models.DateTimeField()
    seed = models.PositiveIntegerField()
    """Drawn once, for whatever may differ between two attempts at one edition."""

    objects = AttemptQuerySet.as_manager()

    class Meta:
        ordering = ("-started_at", "-pk")
        constraints = [
            models.UniqueConstraint(
                fields=("assigned", "student"),
                condition=models.Q(assigned__isnull=False),
                name="attempt_once_per_assigned_case",
            ),
        ]

    def __str__(self) -> str:
        return f"attempt {self.public_id}"

    def log(self) -> list[AnyEvent]:
        """The whole log in order."""
        return [stored.event for stored in self.events.order_by("seq")]

    def state(self) -> State:
        return fold(self.log(), case=self.edition.document.slug)

    def is_open(self, now: datetime) -> bool:
        """Whether time allows more work: always in practice of one's own, while an assignment is open otherwise."""
        return self.assigned is None or self.assigned.assignment.is_open(now)

    def first_link(self) -> str:
        """What the first event's chain begins with: the attempt's own facts, so that they cannot be changed either."""
        facts = [
            str(self.public_id),
            self.edition.sha256,
            self.student_id,
            self.started_at.astimezone(UTC).isoformat(),
            self.seed,
            *([str(self.assigned.assignment.public_id)] if self.assigned else []),
        ]
        return hashlib.sha256(json.dumps(facts).encode()).hexdigest()
