"""The best constant answer to a task: the one that earns most, on average, over the references of many cases."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from casebank.rubric.answers import (
    ChoiceReference,
    LevelReference,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureSaid,
    Reference,
    Said,
)
from casebank.rubric.criterion import Criterion
from casebank.rubric.kinds import compare
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid
from casebank.rubric.rules import ChoiceRule, LevelRule, MarkRule, MeasureRule

STEPS = {"mm": 0.5, "deg": 1.0, "count": 1.0}  # as finely as such a number is guessed


@dataclass(frozen=True)
class Constant:
    """An answer that is always given, and its mean credit in the cases it was fitted on."""

    said: Said
    mean: float


def best_constant(criterion: Criterion, references: Sequence[Reference]) -> Constant | None:
    """The constant answer that earns most; the first of equals. None for a kind without constant answers, as
    the bench, where an answer is made by doing.

    Every option, level and number of the plausible range is tried. What takes several pins or picks is put together one
    by one, each the one that adds most, until none adds anything. For a mark each reference point is tried, and for an
    order each case's own and that in which the items are listed.

    Parameters
    ----------
    criterion : Criterion
    references : sequence of references
        One for each case, at least one; a case that stands twice weighs twice.

    Raises
    ------
    ValueError
        If there is no reference.
    """
    if not references:
        raise ValueError(f"{criterion.id}: a constant answer is fitted on cases: give at least one reference")
    told_apart = _counted(references)

    def mean(said: Said) -> float:
        earned = sum(times * compare(criterion, said, reference).credit for reference, times in told_apart)
        return round(earned / len(references), 9)

    constants = CONSTANTS.get(criterion.kind)
    if constants is None:
        return None
    best = max(constants(criterion.rule, [reference for reference, _ in told_apart], mean), key=mean)
    return Constant(best, mean(best))


Mean = Callable[[Said], float]


def _levels(rule: LevelRule, references: Sequence[LevelReference], mean: Mean) -> Iterable[Said]:
    pins = sorted(set().union(*(reference.evidence for reference in references)))
    for one in rule.levels:
        yield LevelSaid(one, frozenset(_grown(pins, rule.most_pins, partial(_mean_of_level, mean, one))))


def _mean_of_level(mean: Mean, one: int, pins: tuple[str, ...]) -> float:
    return mean(LevelSaid(one, frozenset(pins)))


def _choices(rule: ChoiceRule, references: Sequence[ChoiceReference], mean: Mean) -> Iterable[Said]:
    named = sorted({option for reference in references for option in (*reference.best, *reference.partly)})
    options = named if rule.options == "case" else list(rule.options)
    yield from ((option,) for option in options)
    yield _grown(options, rule.most, mean)


def _numbers(rule: MeasureRule, references: Sequence[MeasureReference], _: Mean) -> Iterable[Said]:
    step = STEPS[rule.unit]
    names: Sequence[str | None] = sorted(set().union(*(reference.of for reference in references))) or [None]
    for value in np.arange(rule.plausible_from, rule.plausible_to + step / 2, step):
        yield from (MeasureSaid(float(value), name) for name in names)


def _marks(_rule: MarkRule, references: Sequence[MarkReference], _: Mean) -> Iterable[Said]:
    for reference in references:
        yield from (MarkSaid((_tenths(point),)) for point in reference.points_mm)


def _orders(rule: OrderRule, references: Sequence[OrderReference], _: Mean) -> Iterable[Said]:
    """As the file lists the items, and as each case has them."""
    yield OrderSaid(tuple(rule.items))
    for reference in references:
        yield OrderSaid(tuple(item for group in reference.groups for item in sorted(group)))


CONSTANTS: Mapping[str, Callable[..., Iterable[Said]]] = {
    "level": _levels,
    "choice": _choices,
    "measure": _numbers,
    "mark": _marks,
    "order": _orders,
    "rank": _orders,
}


def _grown(parts: Sequence[str], most: int, mean: Callable[[tuple[str, ...]], float]) -> tuple[str, ...]:
    """Up to so many parts, each time the one that adds most, until none adds anything."""
    chosen: tuple[str, ...] = ()
    reached = mean(chosen)
    while len(chosen) < most and (left := [part for part in parts if part not in chosen]):
        added = max(left, key=lambda part: mean((*chosen, part)))
        if (now := mean((*chosen, added))) <= reached:
            break
        chosen, reached = (*chosen, added), now
    return chosen


def _counted(references: Sequence[Reference]) -> list[tuple[Reference, int]]:
    """Equal references once each, with how often they stand: those of a school's rule are the same in many cases."""
    told_apart: list[tuple[Reference, int]] = []
    for reference in references:
        place = next((i for i, (other, _) in enumerate(told_apart) if other == reference), None)
        if place is None:
            told_apart.append((reference, 1))
        else:
            told_apart[place] = (reference, told_apart[place][1] + 1)
    return told_apart


def _tenths(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], 1), round(point[1], 1)
