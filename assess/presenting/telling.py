"""What a student tells: things to put in order, shown in an order of the attempt's own, and a reason in words."""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from assess.log import Answer, Chose, Wrote
from casebank.rubric import OrderRule, WrittenRule

PLACE = "place-"
"""What the name of an item's field begins with."""
MOST_LETTERS = 2000
"""What an event of a log can hold; a rubric's own limit may lie below."""


@dataclass(frozen=True)
class Item:
    """One thing to put in order, and the place it has so far, as text; empty where it has none."""

    value: str
    words: str
    place: str = ""

    @property
    def field(self) -> str:
        return f"{PLACE}{self.value}"


def items_shown(rule: OrderRule, task: str, seed: int, answer: Answer | None) -> tuple[Item, ...]:
    """Every item, shuffled for the attempt and the task, the same at every load; no order is one to begin with."""
    shuffled = random.Random(f"{seed} {task}").sample(sorted(rule.items), len(rule.items))
    said = answer.values if isinstance(answer, Chose) else ()
    return tuple(
        Item(value, rule.items[value], str(said.index(value) + 1) if value in said else "") for value in shuffled
    )


def places_sent(items: Sequence[Item], sent: Mapping[str, str]) -> tuple[Item, ...]:
    """The same items with the places that a page sent, so that what was refused need not be given again."""
    return tuple(replace(item, place=sent[item.field]) if item.field in sent else item for item in items)


def most_letters(rule: WrittenRule) -> int:
    return min(rule.most_letters, MOST_LETTERS)


def telling(rule: OrderRule | WrittenRule, task: str, seed: int, answer: Answer | None) -> dict[str, Any]:
    """What a question about an order or a reason shows."""
    if isinstance(rule, WrittenRule):
        return {"text": answer.text if isinstance(answer, Wrote) else "", "most": most_letters(rule)}
    items = items_shown(rule, task, seed, answer)
    in_order = sorted((item for item in items if item.place), key=lambda item: int(item.place))
    return {
        "items": items,
        "in_order": tuple(item.words for item in in_order),
        "places": tuple(str(number) for number in range(1, len(items) + 1)),
        "ends": (rule.first, rule.last),
    }
