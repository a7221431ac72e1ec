"""What became of each item of a grade, so that a cohort can be counted: agreeing, over, under, otherwise, or silent.

Works on stored grades as they are (`grade_record`), so that a count needs neither case nor log.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from typing import Any

ASKED_BY_FACTOR = "difficulty-levels"
"""The criterion whose factors are items of their own; the canals of any other criterion are taken together."""


class Outcome(StrEnum):
    """How the answers to one item stand to their references."""

    AGREE = "agree"
    OVER = "over"
    UNDER = "under"
    OTHER = "other"
    SILENT = "silent"


def item_of(task: str) -> str:
    """The item a task counts for: its criterion, or the factor of the difficulty.

    >>> item_of("gauge.MB"), item_of("difficulty-levels.crown"), item_of("decision")
    ('gauge', 'difficulty-levels.crown', 'decision')
    """
    criterion = task.partition(".")[0]
    return task if criterion == ASKED_BY_FACTOR else criterion


def outcomes(criteria: Iterable[Mapping[str, Any]]) -> dict[str, Outcome]:
    """The outcome of each item, in the order in which the items are first asked.

    An item agrees if every one of its tasks does: with full credit, or, for a level, with the same level whatever was
    cited for it. It is silent if none of its tasks was answered; it lies over or under if some of its tasks do and none
    lies the other way. All else is other.

    Parameters
    ----------
    criteria : iterable of mapping
        `grade_record(…)["criteria"]`: of each task its "id", "answered" and "leaning" are used.

    Raises
    ------
    ValueError
        If a task does not say which way it leans: a grade by a grader before version 2.
    """
    items: dict[str, list[Mapping[str, Any]]] = {}
    for one in criteria:
        if not {"answered", "leaning"} <= set(one):
            raise ValueError(
                f"the grade of {one['id']} does not say which way its answer leans: grade the attempt again"
            )
        items.setdefault(item_of(one["id"]), []).append(one)
    return {item: _outcome(tasks) for item, tasks in items.items()}


def _outcome(tasks: Sequence[Mapping[str, Any]]) -> Outcome:
    leanings = [one["leaning"] for one in tasks if one["answered"]]
    if not leanings:
        return Outcome.SILENT
    if len(leanings) == len(tasks) and all(leaning == 0 for leaning in leanings):
        return Outcome.AGREE
    over, under = 1 in leanings, -1 in leanings
    if over == under:
        return Outcome.OTHER
    return Outcome.OVER if over else Outcome.UNDER
