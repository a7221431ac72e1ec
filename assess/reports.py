"""What cohorts' tallies come to, as plain values, in a few queries whatever the number of students.

A group is whoever settled one assigned case. Nothing of a group below the least that may be shown is ever put into a
figure, so that no total minus what is shown beside it can give it away.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache

from django.db.models import Count, Q

from assess.grading.outcomes import ASKED_BY_FACTOR
from assess.grading.unsafe import AT_FIRST
from assess.models import AssignedCase, Assignment, Attempt, Mode, Tally, UnsafeTally
from assess.stats import Counts, shown, total_over
from casebank.difficulty import criteria_named
from casebank.models import Cohort, Edition, Programme, Role
from casebank.rubric import bundled as bundled_rubric


@dataclass(frozen=True)
class Asked:
    """One item that a case asks: a factor of its difficulty, with the group it stands in, or another criterion."""

    item: str
    label: str
    stage: str
    group: str


@dataclass(frozen=True)
class ItemFigures:
    asked: Asked
    counts: Counts


@dataclass(frozen=True)
class RuleFigures:
    """An unsafe step: its rule, what the rubric calls it if it is a choice, and in how many attempts it was made."""

    rule: str
    label: str
    attempts: int


@dataclass(frozen=True)
class CaseFigures:
    """One edition of a case. `finished` counts the attempts in the figures; it is 0, and all else empty, if too few.

    `left_out` counts the groups that were too small to be put in.
    """

    slug: str
    title: str
    tooth: int
    edition: int
    finished: int
    left_out: int
    items: tuple[ItemFigures, ...] = ()
    unsafe: tuple[RuleFigures, ...] = ()


@dataclass
class _Group:
    """What is stored of one assigned case."""

    items: dict[str, Counts] = field(default_factory=dict)
    rules: Counter[str] = field(default_factory=Counter)

    @property
    def finished(self) -> int:
        return max((counts.n for counts in self.items.values()), default=0)


def assignment_figures(assignment: Assignment) -> list[CaseFigures]:
    """The figures of one assignment, a case each, in the order in which its cases were set."""
    assigned = list(assignment.cases.select_related("edition__case").order_by("place"))
    return _figures(assigned)


def programme_figures(programme: Programme, mode: Mode, *, now: datetime) -> list[CaseFigures]:
    """The figures of everything set in one mode in a programme, taken together by edition; practice once it closed."""
    wanted = Q(assignment__cohort__programme=programme, assignment__mode=mode)
    if mode is Mode.PRACTICE:
        wanted &= Q(assignment__closes_at__lte=now)
    assigned = AssignedCase.objects.filter(wanted).select_related("edition__case")
    return _figures(list(assigned.order_by("edition__case__slug", "edition__number", "pk")))


def practised_before(cohort: Cohort) -> dict[int, int]:
    """How many students of a cohort have finished each case in practice, set or of their own, by the case's key."""
    students = cohort.seats.filter(membership__role=Role.STUDENT).values("membership__user")
    practice = Q(assigned=None) | Q(assigned__assignment__mode=Mode.PRACTICE)
    finished = Attempt.objects.filter(practice, student__in=students, grades__isnull=False)
    return dict(finished.order_by().values_list("edition__case").annotate(Count("student", distinct=True)))


def _figures(assigned: Sequence[AssignedCase]) -> list[CaseFigures]:
    groups = _groups(assigned)
    editions: dict[int, list[_Group]] = {}
    for one in assigned:
        editions.setdefault(one.edition_id, []).append(groups[one.pk])
    by_key = {one.edition_id: one.edition for one in assigned}
    return [_case(by_key[key], of_edition) for key, of_edition in editions.items()]


def _groups(assigned: Sequence[AssignedCase]) -> dict[int, _Group]:
    keys = [one.pk for one in assigned]
    groups = {key: _Group() for key in keys}
    tallies = Tally.objects.filter(assigned__in=keys)
    for key, item, *counts in tallies.values_list(
        "assigned_id", "item", "agree", "over", "under", "other", "silent"
    ).order_by():
        groups[key].items[item] = Counts(*counts)
    for key, rule, attempts in UnsafeTally.objects.filter(assigned__in=keys).values_list(
        "assigned_id", "rule", "attempts"
    ):
        groups[key].rules[rule] += attempts
    return groups


def _case(edition: Edition, groups: Sequence[_Group]) -> CaseFigures:
    sizes = {place: group.finished for place, group in enumerate(groups)}
    large = [groups[place] for place in sorted(shown(sizes))]
    document = edition.document
    asked = asked_of(document.rubric, document.criteria)
    labels = {one.item: one.label for one in asked}
    items = [ItemFigures(one, _item(one.item, large)) for one in asked]
    rules: Counter[str] = sum((group.rules for group in large), Counter())
    return CaseFigures(
        slug=edition.case.slug,
        title=edition.title,
        tooth=edition.tooth,
        edition=edition.number,
        finished=total_over(sizes),
        left_out=len(groups) - len(large),
        items=tuple(one for one in items if one.counts.n),
        unsafe=tuple(
            RuleFigures(rule, labels.get(rule.removesuffix(AT_FIRST), ""), count)
            for rule, count in sorted(rules.items(), key=lambda one: (-one[1], one[0]))
        ),
    )


def _item(item: str, groups: Sequence[_Group]) -> Counts:
    """One item over groups that may be shown, leaving out those of which too few were asked it."""
    counted = {place: group.items[item] for place, group in enumerate(groups) if item in group.items}
    enough = shown({place: counts.n for place, counts in counted.items()})
    return sum((counted[place] for place in sorted(enough)), Counts())


@lru_cache(maxsize=32)
def asked_of(rubric: str, criteria: str) -> tuple[Asked, ...]:
    """Every item a case asks: the factors of its difficulty by group, then the other criteria by stage."""
    whole, factors = bundled_rubric(rubric), criteria_named(criteria)
    weighed = next((one for one in whole.criteria if one.id == ASKED_BY_FACTOR), None)
    return (
        *(
            Asked(f"{ASKED_BY_FACTOR}.{factor.id}", factor.label, weighed.stage, group)
            for group in factors.groups
            for factor in factors.factors
            if weighed and factor.group == group
        ),
        *(Asked(one.id, one.label, one.stage, "") for one in whole.criteria if one.id != ASKED_BY_FACTOR),
    )
