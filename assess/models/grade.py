"""A stored grade: the result, beside the versions of everything it came from."""

from django.db import models

from assess.models.attempt import Attempt


class StoredGrade(models.Model):
    """One grading of one attempt. A regrade under other versions is a further row, never a change of this one."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="grades")
    edition_sha256 = models.CharField(max_length=64)
    rubric = models.CharField(max_length=80)
    criteria = models.CharField(max_length=80)
    grader = models.PositiveSmallIntegerField()
    events = models.PositiveIntegerField()
    percent = models.FloatField()
    result = models.JSONField()
    graded_at = models.DateTimeField()

    class Meta:
        ordering = ("attempt", "graded_at", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=("attempt", "edition_sha256", "rubric", "criteria", "grader", "events"),
                name="grade_once_per_version",
            ),
            models.CheckConstraint(condition=models.Q(percent__gte=0, percent__lte=100), name="grade_percent_in_range"),
        ]

    def __str__(self) -> str:
        return f"grade of {self.attempt}"
