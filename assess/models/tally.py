"""Tallies: whole numbers per item from which every figure of a cohort follows. They hold no person."""

from django.db import models

from assess.models.assignment import AssignedCase


class Tally(models.Model):
    """How the settled attempts at one assigned case stand to the reference in one item."""

    assigned = models.ForeignKey(AssignedCase, on_delete=models.CASCADE, related_name="tallies")
    item = models.CharField(max_length=80)
    agree = models.PositiveIntegerField(default=0)
    over = models.PositiveIntegerField(default=0)
    under = models.PositiveIntegerField(default=0)
    other = models.PositiveIntegerField(default=0)
    silent = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("assigned", "item")
        verbose_name_plural = "tallies"
        constraints = [
            models.UniqueConstraint(fields=("assigned", "item"), name="tally_once_per_item"),
        ]

    def __str__(self) -> str:
        return f"{self.item} in {self.assigned}"


class UnsafeTally(models.Model):
    """In how many settled attempts at one assigned case an unsafe step of one rule was made, at least once."""

    assigned = models.ForeignKey(AssignedCase, on_delete=models.CASCADE, related_name="unsafe_tallies")
    rule = models.CharField(max_length=80)
    attempts = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("assigned", "rule")
        verbose_name_plural = "unsafe tallies"
        constraints = [
            models.UniqueConstraint(fields=("assigned", "rule"), name="unsafe_tally_once_per_rule"),
        ]

    def __str__(self) -> str:
        return f"{self.rule} in {self.assigned}"
