"""A programme's licence to treat: what each year may plan at the most, and which year each cohort is in."""

from collections.abc import Mapping

from django.db import transaction
from pydantic import ValidationError

from casebank import policies
from casebank.actions.refusals import Refused
from casebank.models import Cohort, Licence, Programme, User
from casebank.rubric.licence import LIMITS, YEARS
from casebank.rubric.licence import Licence as Value

Limits = tuple[str, str, str]
"""The most that may be planned for a case of low, of moderate and of high difficulty."""
DIRECTORS_ONLY = "Only the programme's director can state what its students may plan."


def state_licence(*, programme: Programme, years: Mapping[int, Limits], by: User) -> tuple[Licence, ...]:
    """State the licence of every year that is given; a year that is not given has none any more.

    What students answered before keeps the licence it was given under. Refused, and nothing stored, if a year or a
    limit does not exist or caution falls as cases get harder.
    """
    policies.require(policies.may_state_licence(by, programme), DIRECTORS_ONLY)
    values = [_value(year, limits) for year, limits in sorted(years.items())]
    with transaction.atomic():
        programme = Programme.objects.select_for_update().get(
            pk=programme.pk
        )  # two statements wait for each other here
        Licence.objects.filter(programme=programme).exclude(year__in=years).delete()
        for value in values:
            limits = {"low": value.low, "moderate": value.moderate, "high": value.high}
            Licence.objects.update_or_create(programme=programme, year=value.year, defaults=limits)
        return tuple(Licence.objects.filter(programme=programme))


def place_cohorts(*, programme: Programme, years: Mapping[str, int | None], by: User) -> None:
    """Say which year of study each cohort, by its slug, is in; none where its students are of several.

    Refused, and nothing stored, if a year does not exist or the programme has no such cohort.
    """
    policies.require(policies.may_state_licence(by, programme), DIRECTORS_ONLY)
    with transaction.atomic():
        cohorts = {cohort.slug: cohort for cohort in programme.cohorts.select_for_update()}
        for slug, year in years.items():
            if slug not in cohorts:
                raise Refused(f"There is no cohort {slug} in this programme: reload the page.")
            if year is not None and year not in YEARS:
                raise Refused(f"{slug}: year {year} does not exist: choose one from {YEARS[0]} to {YEARS[-1]}.")
            cohorts[slug].year = year
        Cohort.objects.bulk_update([cohorts[slug] for slug in years], ["year"])


def _value(year: int, limits: Limits) -> Value:
    if year not in YEARS:
        raise Refused(f"Year {year} does not exist: a licence is stated for years {YEARS[0]} to {YEARS[-1]}.")
    if len(limits) != len(LIMITS) or not set(limits) <= set(LIMITS):
        raise Refused(f"Year {year}: give one of {', '.join(LIMITS)} for low, moderate and high.")
    low, moderate, high = limits
    try:
        return Value.model_validate({"year": year, "low": low, "moderate": moderate, "high": high})
    except ValidationError as trouble:
        raise Refused(
            f"Year {year}: a harder case would be left to the student and an easier one not. Let caution stay or rise "
            "from low to high."
        ) from trouble
