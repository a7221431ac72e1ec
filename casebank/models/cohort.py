"""A cohort of a programme, and who has a seat in it."""

from django.db import models

from casebank.models.programme import Membership, Programme


class Cohort(models.Model):
    """Students who are taught together, and their tutors. The slug is what a roster calls it.

    `year` is their year of study, where they are all of one; it says which licence to treat they hold.
    """

    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="cohorts")
    slug = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    year = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ("programme", "slug")
        constraints = [
            models.UniqueConstraint(fields=("programme", "slug"), name="cohort_slug_once_per_programme"),
            models.CheckConstraint(condition=~models.Q(slug="") & ~models.Q(name=""), name="cohort_is_named"),
            models.CheckConstraint(
                condition=models.Q(year__isnull=True) | models.Q(year__gte=1, year__lte=7), name="cohort_year_exists"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Seat(models.Model):
    """A place in a cohort. Whoever leaves the programme loses it; the membership says whether they learn or teach."""

    cohort = models.ForeignKey(Cohort, on_delete=models.CASCADE, related_name="seats")
    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="seats")

    class Meta:
        ordering = ("cohort", "membership")
        constraints = [
            models.UniqueConstraint(fields=("cohort", "membership"), name="seat_once_per_cohort"),
        ]

    def __str__(self) -> str:
        return f"{self.membership.user} in {self.cohort}"
