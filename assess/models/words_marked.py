"""A tutor's marks of a reason written in graded work. They stand beside its author's own and change no grade."""

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q

from assess.models.attempt import Attempt


class WordsMarkedQuerySet(models.QuerySet["WordsMarked"]):
    def standing(self) -> "WordsMarkedQuerySet":
        """The marks of each reason that count: those given last."""
        later = WordsMarked.objects.filter(
            attempt=OuterRef("attempt"), task=OuterRef("task"), turn__gt=OuterRef("turn")
        )
        return self.filter(~Exists(later))


class WordsMarked(models.Model):
    """Which lines a tutor found met in one written reason. Marks given anew are a further row, a turn later."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT, related_name="words_marked")
    task = models.CharField(max_length=80)
    turn = models.PositiveSmallIntegerField()
    met = models.JSONField(default=list, blank=True)
    marked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    marked_at = models.DateTimeField()

    objects = WordsMarkedQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "words marked"
        ordering = ("attempt", "task", "turn")
        constraints = [
            models.UniqueConstraint(fields=("attempt", "task", "turn"), name="words_marked_once_per_turn"),
            models.CheckConstraint(condition=Q(turn__gte=1), name="words_marked_turn_starts_at_1"),
        ]

    def __str__(self) -> str:
        return f"marks {self.turn} of {self.task} in {self.attempt}"
