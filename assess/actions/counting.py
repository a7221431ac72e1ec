"""Tallies: kept in step with every grade that is stored, and counted anew from the grades to prove it."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db import models, transaction
from django.db.models import F

from assess.grading.outcomes import outcomes
from assess.models import AssignedCase, StoredGrade, Tally, UnsafeTally

OUTCOMES = ("agree", "over", "under", "other", "silent")
Figures = tuple[dict[str, Counter[str]], Counter[str]]
"""Outcomes by item, and attempts by rule of an unsafe step."""


def count_settled(grade: StoredGrade) -> None:
    """Count the grade of an assigned attempt; the caller holds the transaction. Other attempts count nowhere."""
    assigned = grade.attempt.assigned
    if assigned is None:
        return
    # One at a time for each assigned case: two that touch the same rows in another order would wait for each other.
    AssignedCase.objects.select_for_update().get(pk=assigned.pk)
    items, rules = figures_of([grade.result])
    known = set(assigned.tallies.values_list("item", flat=True))
    Tally.objects.bulk_create(Tally(assigned=assigned, item=item) for item in sorted(set(items) - known))
    for outcome in OUTCOMES:
        counted = [item for item, counts in items.items() if counts[outcome]]
        if counted:
            assigned.tallies.filter(item__in=counted).update(**{outcome: F(outcome) + 1})
    listed = set(assigned.unsafe_tallies.values_list("rule", flat=True))
    UnsafeTally.objects.bulk_create(UnsafeTally(assigned=assigned, rule=rule) for rule in sorted(set(rules) - listed))
    assigned.unsafe_tallies.filter(rule__in=list(rules)).update(attempts=F("attempts") + 1)


def figures_of(results: Iterable[Mapping[str, Any]]) -> Figures:
    """What some grades' records come to."""
    items: dict[str, Counter[str]] = {}
    rules: Counter[str] = Counter()
    for result in results:
        for item, outcome in outcomes(result["criteria"]).items():
            items.setdefault(item, Counter())[str(outcome)] += 1
        rules.update({step["rule"] for step in result["unsafe"]})
    return items, rules


def shift(assigned: AssignedCase, items: Mapping[tuple[str, str], int], rules: Mapping[str, int]) -> None:
    """Move an assigned case's tallies as its attempts' standing grades have moved; the caller holds the transaction.

    `items` holds what is added to each item and outcome, `rules` to each rule of an unsafe step; less than nought takes
    away. What comes to nought goes, so that the same shift back leaves what there was.
    """
    AssignedCase.objects.select_for_update().get(pk=assigned.pk)
    tallies = {tally.item: tally for tally in assigned.tallies.all()}
    for (item, outcome), change in items.items():
        tally = tallies.setdefault(item, Tally(assigned=assigned, item=item))
        setattr(tally, outcome, getattr(tally, outcome) + change)
    listed = {tally.rule: tally for tally in assigned.unsafe_tallies.all()}
    for rule, change in rules.items():
        unsafe = listed.setdefault(rule, UnsafeTally(assigned=assigned, rule=rule))
        unsafe.attempts += change
    _keep(Tally.objects, list(tallies.values()), OUTCOMES)
    _keep(UnsafeTally.objects, list(listed.values()), ("attempts",))


def _keep(stored: models.Manager[Any], rows: Sequence[Any], counts: Sequence[str]) -> None:
    """Rows as they count now: new ones made, those that count nothing removed."""
    empty = [row for row in rows if not any(getattr(row, count) for count in counts)]
    kept = [row for row in rows if row not in empty]
    stored.filter(pk__in=[row.pk for row in empty if row.pk]).delete()
    stored.bulk_update([row for row in kept if row.pk], counts)
    stored.bulk_create([row for row in kept if not row.pk])


def recount(assigned: AssignedCase) -> bool:
    """Count an assigned case anew from its attempts' standing grades; whether the tallies were right as they stood."""
    with transaction.atomic():
        AssignedCase.objects.select_for_update().get(pk=assigned.pk)
        standing = StoredGrade.objects.standing().filter(attempt__assigned=assigned)
        items, rules = figures_of(standing.values_list("result", flat=True).iterator())
        right = (items, rules) == _as_stored(assigned)
        if not right:
            assigned.tallies.all().delete()
            assigned.unsafe_tallies.all().delete()
            Tally.objects.bulk_create(Tally(assigned=assigned, item=item, **counts) for item, counts in items.items())
            UnsafeTally.objects.bulk_create(
                UnsafeTally(assigned=assigned, rule=rule, attempts=attempts) for rule, attempts in rules.items()
            )
        return right


def _as_stored(assigned: AssignedCase) -> Figures:
    items = {
        tally.item: +Counter(
            agree=tally.agree, over=tally.over, under=tally.under, other=tally.other, silent=tally.silent
        )
        for tally in assigned.tallies.all()
    }
    return items, Counter({tally.rule: tally.attempts for tally in assigned.unsafe_tallies.all()})
