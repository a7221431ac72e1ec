"""What a roster changes, by cohort: who joins, stays and leaves, and which accounts are new."""

from dataclasses import dataclass

from casebank.models import Programme
from casebank.rosters import Plan


@dataclass(frozen=True)
class CohortChange:
    """One cohort; `pk` leads to its page."""

    pk: int
    slug: str
    name: str
    joining: tuple[str, ...]
    staying: tuple[str, ...]
    leaving: tuple[str, ...]


@dataclass(frozen=True)
class Planned:
    """Counts of everything, the new accounts, and the changes of every cohort the roster names."""

    joining: int
    staying: int
    leaving: int
    new_accounts: tuple[str, ...]
    changes_nothing: bool
    cohorts: tuple[CohortChange, ...]


def planned(plan: Plan, programme: Programme) -> Planned:
    named = {one.cohort for one in (*plan.joining, *plan.staying)} | {one.cohort for one in plan.leaving}
    return Planned(
        joining=len(plan.joining),
        staying=len(plan.staying),
        leaving=len(plan.leaving),
        new_accounts=plan.new_accounts,
        changes_nothing=plan.changes_nothing,
        cohorts=tuple(
            CohortChange(
                pk=cohort.pk,
                slug=cohort.slug,
                name=cohort.name,
                joining=tuple(one.account for one in plan.joining if one.cohort == cohort.slug),
                staying=tuple(one.account for one in plan.staying if one.cohort == cohort.slug),
                leaving=tuple(one.account for one in plan.leaving if one.cohort == cohort.slug),
            )
            for cohort in programme.cohorts.order_by("slug")
            if cohort.slug in named
        ),
    )
