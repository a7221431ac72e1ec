"""A stored grade: the result, beside the versions of everything it came from."""

from django.apps import apps
from django.db import models
from django.db.models import F, OuterRef, Q, Subquery

from assess.models.attempt import Attempt


class StoredGradeQuerySet(models.QuerySet["StoredGrade"]):
    def standing(self) -> "StoredGradeQuerySet":
        """The one grade of each attempt that counts: of the regrade applied last, or the first one if there is none.

        Everything that asks what an attempt came to asks here.
        """
        regraded = apps.get_model("assess", "Regraded").objects.filter(attempt=OuterRef("attempt"), grade__isnull=False)
        latest = regraded.filter(batch__state="applied").order_by("-batch__turn")
        chosen = self.annotate(by_regrade=Subquery(latest.values("grade")[:1]))
        return chosen.filter(Q(pk=F("by_regrade")) | Q(by_regrade=None, supersedes=None))


class StoredGrade(models.Model):
    """One grading of one attempt. A regrade under other versions is a further row, never a change of this one.

    Whether it counts is not written in it: see `standing`.
    """

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="grades")
    edition_sha256 = models.CharField(max_length=64)
    rubric = models.CharField(max_length=80)
    criteria = models.CharField(max_length=80)
    grader = models.PositiveSmallIntegerField()
    events = models.PositiveIntegerField()
    percent = models.FloatField()
    result = models.JSONField()
    graded_at = models.DateTimeField()
    supersedes = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    """The grade that stood when a regrade made this one; none for the grade an attempt got first."""
    regrade = models.ForeignKey(
        "assess.RegradeBatch", on_delete=models.PROTECT, null=True, blank=True, related_name="made"
    )

    objects = StoredGradeQuerySet.as_manager()

    class Meta:
        ordering = ("attempt", "graded_at", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=("attempt", "edition_sha256", "rubric", "criteria", "grader", "events"),
                name="grade_once_per_version",
            ),
            models.UniqueConstraint(
                fields=("attempt",), condition=models.Q(supersedes__isnull=True), name="first_grade_once_per_attempt"
            ),
            models.CheckConstraint(condition=models.Q(percent__gte=0, percent__lte=100), name="grade_percent_in_range"),
        ]

    def __str__(self) -> str:
        return f"grade of {self.attempt}"
