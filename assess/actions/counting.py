"""Tallies: kept in step with every grade that is stored, and counted anew from the grades to prove it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from django.db import transaction
from django.db.models import F

from assess.grading.outcomes import outcomes
from assess.models import AssignedCase, StoredGrade, Tally, UnsafeTally

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
    for outcome in ("agree", "over", "under", "other", "silent"):
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


def recount(assigned: AssignedCase) -> bool:
    """Count an assigned case anew from its attempts' first grades; whether the tallies were right as they stood."""
    with transaction.atomic():
        AssignedCase.objects.select_for_update().get(pk=assigned.pk)
        first: dict[int, Any] = {}
        for grade in StoredGrade.objects.filter(attempt__assigned=assigned).order_by("-graded_at", "-pk").iterator():
            first[grade.attempt_id] = grade.result
        items, rules = figures_of(first.values())
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
