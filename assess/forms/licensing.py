"""What a director's licence page sends: a limit for each year and level, and the year each cohort is in."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from assess.forms.fields import pick
from assess.presenting.licensing import LEVELS, field_name
from casebank.actions import Limits
from casebank.models import Cohort
from casebank.rubric import LIMITS, never_falls
from casebank.rubric.licence import YEARS


class LicenceForm(forms.Form):
    """Three limits a year; a year with none has no licence. What is wrong with a year is said at its row."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for year in YEARS:
            for level in LEVELS:
                self.fields[field_name(year, level)] = pick(*LIMITS, required=False)

    def clean(self) -> dict[str, Any]:
        for year in YEARS:
            said = self._said(year)
            if any(said) and not all(said):
                self.add_error(field_name(year, "low"), _("Choose for low, moderate and high, or for none of them."))
            elif all(said) and not never_falls(*said):
                self.add_error(
                    field_name(year, "low"),
                    _("A harder case would be left to the student and an easier one not: let caution stay or rise."),
                )
        return self.cleaned_data

    def wanted(self) -> dict[int, Limits]:
        """The limits of every year that has some, as the action takes them."""
        return {year: self._said(year) for year in YEARS if all(self._said(year))}

    def troubles(self) -> Mapping[int, str]:
        """What is wrong, by year."""
        return {
            year: " ".join(str(error) for level in LEVELS for error in self.errors.get(field_name(year, level), ()))
            for year in YEARS
        }

    def _said(self, year: int) -> Limits:
        low, moderate, high = (self.cleaned_data.get(field_name(year, level), "") for level in LEVELS)
        return low, moderate, high


class CohortYearsForm(forms.Form):
    """The year of study of each cohort; none where its students are of several."""

    def __init__(self, *args: Any, cohorts: Sequence[Cohort], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for cohort in cohorts:
            self.fields[cohort.slug] = year_field()

    def wanted(self) -> dict[str, int | None]:
        """The years, as the action takes them."""
        return {slug: int(said) if said else None for slug, said in self.cleaned_data.items()}


def year_field() -> forms.ChoiceField:
    """A year of study, or none."""
    return pick(*(str(year) for year in YEARS), required=False)
