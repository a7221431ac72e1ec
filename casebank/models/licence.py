"""What a programme lets the students of each year plan at the most, by how hard a case is."""

from django.db import models
from django.db.models import Q

from casebank.models.programme import Programme
from casebank.rubric import licence as value


class Limit(models.TextChoices):
    """The most that may be planned; the longer words stand in the rubric's options."""

    TREAT = "treat", "treat, with the usual check"
    SUPERVISED = "supervised", "treat, with a supervisor at the chair"
    REFER = "refer", "refer"


def _rises(easier: str, harder: str) -> Q:
    """Condition that caution stays or rises from one column to another."""
    return (
        Q((easier, "treat"))
        | Q((easier, "supervised"), (f"{harder}__in", ("supervised", "refer")))
        | Q((easier, "refer"), (harder, "refer"))
    )


class Licence(models.Model):
    """One year's licence to treat, as it stands now; what it was when a student answered stands in that answer."""

    programme = models.ForeignKey(Programme, on_delete=models.CASCADE, related_name="licences")
    year = models.PositiveSmallIntegerField()
    low = models.CharField(max_length=10, choices=Limit.choices)
    moderate = models.CharField(max_length=10, choices=Limit.choices)
    high = models.CharField(max_length=10, choices=Limit.choices)

    class Meta:
        ordering = ("programme", "year")
        constraints = [
            models.UniqueConstraint(fields=("programme", "year"), name="licence_once_per_programme_and_year"),
            models.CheckConstraint(condition=Q(year__gte=1, year__lte=7), name="licence_year_exists"),
            models.CheckConstraint(
                condition=Q(low__in=("treat", "supervised", "refer"))
                & Q(moderate__in=("treat", "supervised", "refer"))
                & Q(high__in=("treat", "supervised", "refer")),
                name="licence_limits_exist",
            ),
            models.CheckConstraint(
                condition=_rises("low", "moderate") & _rises("moderate", "high"), name="licence_caution_never_falls"
            ),
        ]

    def __str__(self) -> str:
        return f"year {self.year} of {self.programme}"

    @property
    def value(self) -> value.Licence:
        """The row as the pure value that answers and grades know."""
        limits = {"low": self.low, "moderate": self.moderate, "high": self.high}
        return value.Licence.model_validate({"year": self.year, **limits})
