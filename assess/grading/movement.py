"""What moves between two grades of one attempt: tasks by their credit, items by their outcome, and unsafe steps.

Works on stored grades as they are (`grade_record`), so that a comparison needs neither case nor log.
"""

from collections.abc import Mapping
from typing import Any, TypedDict

from assess.grading.outcomes import outcomes


class Movement(TypedDict):
    """Ready for JSON.

    `tasks` holds [points before, points after], in hundredths of the whole, of each task that moved. `items` holds
    [outcome before, outcome after] of each item whose outcome changed, none where it was not asked. `gained` and `lost`
    are rules of unsafe steps.
    """

    tasks: dict[str, list[float]]
    items: dict[str, list[str | None]]
    gained: list[str]
    lost: list[str]


def movement(before: Mapping[str, Any], after: Mapping[str, Any]) -> Movement:
    """What differs between two records of one attempt.

    >>> asked = {"id": "decision", "answered": True, "weight": 4.0}
    >>> moved = movement(
    ...     {"criteria": [asked | {"credit": 0.0, "leaning": 1}], "unsafe": [{"rule": "decision"}]},
    ...     {"criteria": [asked | {"credit": 1.0, "leaning": 0}], "unsafe": []},
    ... )
    >>> moved["tasks"], moved["items"], moved["lost"]
    ({'decision': [0.0, 4.0]}, {'decision': ['over', 'agree']}, ['decision'])
    """
    points, others = _points(before), _points(after)
    items, items_after = _outcomes(before), _outcomes(after)
    rules, rules_after = ({step["rule"] for step in one["unsafe"]} for one in (before, after))
    return Movement(
        tasks={
            task: [points.get(task, 0.0), others.get(task, 0.0)]
            for task in {**points, **others}
            if points.get(task) != others.get(task)
        },
        items={
            item: [items.get(item), items_after.get(item)]
            for item in {**items, **items_after}
            if items.get(item) != items_after.get(item)
        },
        gained=sorted(rules_after - rules),
        lost=sorted(rules - rules_after),
    )


def _outcomes(record: Mapping[str, Any]) -> dict[str, str]:
    return {item: outcome.value for item, outcome in outcomes(record["criteria"]).items()}


def _points(record: Mapping[str, Any]) -> dict[str, float]:
    return {one["id"]: one.get("credit", 0.0) * one.get("weight", 0.0) for one in record["criteria"]}
