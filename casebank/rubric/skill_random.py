"""What a random answer earns, on average, against one reference: worked out exactly, not drawn."""

import itertools
import math
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from casebank.rubric.answers import (
    BenchReference,
    ChoiceReference,
    LevelReference,
    LevelSaid,
    MarkReference,
    MeasureReference,
    Reference,
)
from casebank.rubric.chance import guess_rate, random_rate
from casebank.rubric.criterion import Criterion
from casebank.rubric.kinds import choice, level
from casebank.rubric.ordering import OrderReference, OrderRule, random_order_credit
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule, MarkRule, MeasureRule

WRONG = -1.0  # a pick that neither the rubric nor the case gives anything is taken off again


@dataclass(frozen=True)
class Setting:
    """What a case lets somebody pick from who guesses.

    Attributes
    ----------
    pins : int
        Findings and films that could be cited.
    canals : int
        Canals that could be named.
    """

    pins: int
    canals: int


def random_credit(criterion: Criterion, reference: Reference, setting: Setting) -> float | None:
    """Mean credit of a random answer to a task with this reference; None where nobody has worked it out for the kind.

    One option of those there are; a level of three, with as many pins as may be cited, drawn from those there are; a
    number anywhere in the plausible range, of a canal drawn from those there are; one mark anywhere in the plausible
    area. At the bench nothing is drawn here: where nothing is done, nothing is earned.
    """
    credit = RANDOM.get(criterion.kind)
    return None if credit is None else credit(criterion.rule, reference, setting)


def _level(rule: LevelRule, reference: LevelReference, setting: Setting) -> float:
    cited = min(rule.most_pins, setting.pins)
    missed = math.comb(max(0, setting.pins - len(reference.evidence)), cited) / math.comb(setting.pins, cited)
    with_pin, without = (
        sum(level(rule, LevelSaid(one, evidence), reference).credit for one in rule.levels) / len(rule.levels)
        for evidence in (frozenset(sorted(reference.evidence)[:1]), frozenset[str]())
    )
    return with_pin * (1 - missed) + without * missed


def _choice(rule: ChoiceRule, reference: ChoiceReference, setting: Setting) -> float:
    """The mean over all picks of one size, for the size that pays best."""
    known = tuple(dict.fromkeys([*sorted(reference.best), *reference.partly]))
    options = known if rule.options == "case" else tuple(rule.options)
    blanks = max(0, setting.pins - len(known)) if rule.options == "case" else 0
    shares = Counter(_share(rule, option, reference) for option in options)
    shares[WRONG] += blanks
    needed = min(len(reference.best), rule.most)
    return max(_mean(shares, picks, needed) for picks in range(1, min(rule.most, sum(shares.values())) + 1))


def _share(rule: ChoiceRule, option: str, reference: ChoiceReference) -> float:
    """What one pick adds: as much as it earns alone, or one off where neither rubric nor case gives it anything."""
    named = {*reference.best, *reference.partly}.union(*(rule.partly.get(best, {}) for best in reference.best))
    return choice(replace(rule, most=1), (option,), reference).credit if option in named else WRONG


def _mean(shares: Mapping[float, int], picks: int, needed: int) -> float:
    """Mean of (sum of the shares picked) / needed, held between 0 and 1, over all picks of that many options."""
    kinds, total = tuple(shares), sum(shares.values())
    mean = 0.0
    for counts in itertools.product(*(range(min(picks, shares[share]) + 1) for share in kinds)):
        if sum(counts) != picks:
            continue
        ways = math.prod(math.comb(shares[share], count) for share, count in zip(kinds, counts, strict=True))
        earned = sum(share * count for share, count in zip(kinds, counts, strict=True)) / needed
        mean += ways * min(1.0, max(0.0, earned))
    return mean / math.comb(total, picks)


def _measure(rule: MeasureRule, reference: MeasureReference, setting: Setting) -> float:
    named = min(1.0, len(reference.of) / max(1, setting.canals)) if reference.of else 1.0
    return named * random_rate(rule, reference.value)


def _mark(rule: MarkRule, reference: MarkReference, _: Setting) -> float:
    return guess_rate(rule) / len(reference.points_mm)


def _bench(_rule: BenchRule, _reference: BenchReference, _setting: Setting) -> float:
    return 0.0


def _order(rule: OrderRule, reference: OrderReference, _: Setting) -> float:
    return random_order_credit(rule, reference)


RANDOM: Mapping[str, Callable[..., float]] = {
    "level": _level,
    "choice": _choice,
    "measure": _measure,
    "mark": _mark,
    "bench": _bench,
    "order": _order,
    "rank": _order,
}
LEFT_OUT: Mapping[str, str] = {
    "outline": "what the outline that is always drawn alike removes and reaches has not been measured over teeth",
    "written": "a text counts once somebody has marked it, and what is marked is no guess",
}
"""Kinds whose tasks are outside the set that skill is worked out over, each with the reason."""
