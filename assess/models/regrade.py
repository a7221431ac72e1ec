"""Regrades: finished attempts at a case graded once more, together, and made to stand or taken back together."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from assess.models.attempt import Attempt
from assess.models.grade import StoredGrade
from casebank.models import Case, Edition, Programme


class RegradeState(models.TextChoices):
    DRAFTED = "drafted", "waits to be worked out"
    COMPUTING = "computing", "is being worked out"
    READY = "ready", "can be looked at and applied"
    APPLIED = "applied", "applied"
    UNDONE = "undone", "undone"
    CANCELLED = "cancelled", "cancelled"
    FAILED = "failed", "failed"


OPEN_STATES = (RegradeState.DRAFTED, RegradeState.COMPUTING, RegradeState.READY)


class RegradeBatch(models.Model):
    """One regrade of a programme's finished attempts at a case, under one edition and one grader.

    Its grades count nowhere until it is applied, and no longer once it is undone: a change of `state` moves them all.
    """

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="regrades")
    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="regrades")
    edition = models.ForeignKey(Edition, on_delete=models.PROTECT, related_name="regrades")
    """The edition graded under; never an earlier one than an attempt was worked on."""
    newest = models.PositiveSmallIntegerField()
    """The case's newest edition when this was drafted: a further one makes the preview out of date."""
    grader = models.PositiveSmallIntegerField()
    cut = models.FloatField(null=True, blank=True)
    """A line in percent; the preview says who crosses it. It decides nothing."""
    state = models.CharField(max_length=10, choices=RegradeState.choices, default=RegradeState.DRAFTED)
    whole = models.PositiveIntegerField()
    done = models.PositiveIntegerField(default=0)
    worker = models.CharField(max_length=36, blank=True, default="")
    beat_at = models.DateTimeField(null=True, blank=True)
    """When its worker last showed that it is alive."""
    failure = models.TextField(blank=True, default="")
    drafted_at = models.DateTimeField()
    drafted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    turn = models.PositiveIntegerField(null=True, blank=True)
    """Its place in the order in which the case's regrades were applied: of two applied, the later one stands."""
    reason = models.TextField(blank=True, default="")
    applied_at = models.DateTimeField(null=True, blank=True)
    applied_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    undo_reason = models.TextField(blank=True, default="")
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("-drafted_at", "-pk")
        verbose_name_plural = "regrade batches"
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=("drafted", "computing", "ready", "applied", "undone", "cancelled", "failed")),
                name="regrade_state_exists",
            ),
            models.CheckConstraint(
                condition=Q(
                    ~Q(reason=""), state__in=("applied", "undone"), turn__isnull=False, applied_at__isnull=False
                )
                | Q(~Q(state__in=("applied", "undone")), reason="", turn__isnull=True, applied_at__isnull=True),
                name="regrade_is_applied_with_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(~Q(undo_reason=""), state="undone", undone_at__isnull=False)
                | Q(~Q(state="undone"), undo_reason="", undone_at__isnull=True),
                name="regrade_is_undone_with_a_reason",
            ),
            models.CheckConstraint(condition=Q(done__lte=F("whole")), name="regrade_does_no_more_than_the_whole"),
            models.CheckConstraint(
                condition=Q(cut__isnull=True) | Q(cut__gte=0, cut__lte=100), name="regrade_cut_in_range"
            ),
            models.UniqueConstraint(
                fields=("case", "programme"),
                condition=Q(state__in=("drafted", "computing", "ready")),
                name="regrade_open_once_per_case_and_programme",
            ),
            models.UniqueConstraint(fields=("case", "turn"), name="regrade_turn_once_per_case"),
        ]

    def __str__(self) -> str:
        return f"regrade {self.public_id}"

    @property
    def is_open(self) -> bool:
        return self.state in OPEN_STATES


class Regraded(models.Model):
    """One attempt in a regrade: the grade it had, and the one it gets or the sentence why it keeps the former."""

    batch = models.ForeignKey(RegradeBatch, on_delete=models.PROTECT, related_name="regraded")
    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="regraded")
    former = models.ForeignKey(StoredGrade, on_delete=models.PROTECT, related_name="+")
    grade = models.ForeignKey(StoredGrade, on_delete=models.PROTECT, null=True, related_name="+")
    trouble = models.TextField(blank=True, default="")
    moved = models.JSONField(default=dict)
    """What differs between the two grades, as `movement` gives it."""

    class Meta:
        ordering = ("pk",)
        verbose_name_plural = "regraded attempts"
        constraints = [
            models.UniqueConstraint(fields=("batch", "attempt"), name="regraded_once_per_batch"),
            models.CheckConstraint(
                condition=Q(grade__isnull=False, trouble="") | Q(~Q(trouble=""), grade__isnull=True),
                name="regraded_or_said_why_not",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.attempt} in {self.batch}"
