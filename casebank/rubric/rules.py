"""The numbers a comparison works with: one rule per kind, filled from the rubric's file.

The rules of an order, an opening and a reason stand with what compares them.
"""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from casebank.rubric.opening import OutlineRule
from casebank.rubric.ordering import OrderRule
from casebank.rubric.reason import WrittenRule

Unit = Literal["mm", "deg", "count"]
UNITS: tuple[str, ...] = get_args(Unit)

MOST_MARKS = 12
"""More marks than this cannot be paired quickly, and no task needs them."""


@dataclass(frozen=True)
class LevelRule:
    """Credit by the distance between two levels, and the share that stands without evidence.

    Attributes
    ----------
    words : tuple of two or three str
        What levels 1, 2 and 3 are called; two where the criteria of a case know two levels.
    one_over, one_under, two_steps : float
        Credit for a level one step too high, one too low, two steps off. Calling a hard case easier than it is costs
        more, so one_under lies below one_over.
    without_evidence : float
        Share of the credit that stands when no pin of the reference is cited.
    most_pins : int
        With more pins than this nothing is singled out, so it counts as no evidence.
    """

    words: tuple[str, ...]
    one_over: float
    one_under: float
    two_steps: float
    without_evidence: float
    most_pins: int

    def __post_init__(self) -> None:
        if not 2 <= len(self.words) <= 3:
            raise ValueError(f"{len(self.words)} words for levels: give two or three, from low to high")
        if not 0 <= self.two_steps <= self.one_under < self.one_over < 1:
            raise ValueError(
                "two_steps, one_under and one_over must rise from 0 to below 1, with one_under below one_over: "
                "calling a case easier than it is costs more"
            )
        _is_share("without_evidence", self.without_evidence)
        _is_at_least_one("most_pins", self.most_pins)

    @property
    def levels(self) -> range:
        """The levels there are, from 1."""
        return range(1, len(self.words) + 1)


@dataclass(frozen=True)
class ChoiceRule:
    """The options of a choice and how many may be picked.

    Attributes
    ----------
    options : mapping of value to wording, or "case"
        In the order shown; "case" where every case brings its own.
    most : int
        How many may be picked.
    partly : mapping of best option to mapping of picked option to share
        Shares that hold in every case. Where a pair is stated here, a case cannot change it.
    ordered : tuple of str
        Options from the least to the most cautious, where caution orders them; those left out have no place in it.
    """

    options: Mapping[str, str] | Literal["case"]
    most: int = 1
    partly: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    ordered: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _is_at_least_one("most", self.most)
        for best, shares in self.partly.items():
            for option, share in shares.items():
                _is_share(f"partly.{best}.{option}", share)
                if option == best:
                    raise ValueError(f"partly.{best}.{option}: the best option earns everything: remove this line")
        if self.ordered and (self.most > 1 or len(set(self.ordered)) != len(self.ordered) or len(self.ordered) < 2):
            raise ValueError("ordered: list at least two options, each once, of a task that takes one pick")
        if self.options == "case":
            if self.ordered:
                raise ValueError("ordered: the case brings the options, so the rubric cannot order them: remove it")
            return
        if len(self.options) < 2:
            raise ValueError('options: a choice needs at least two: add one, or write options = "case"')
        for option in itertools.chain(self.partly, *self.partly.values()):
            if option not in self.options:
                raise ValueError(f"partly names {option}, which is no option: correct it or add the option")
        for option in self.ordered:
            if option not in self.options:
                raise ValueError(f"ordered names {option}, which is no option: correct it or add the option")

    def wording(self, option: str) -> str:
        """The option as the student reads it; its value where the case brings the options."""
        return option if self.options == "case" else self.options[option]


@dataclass(frozen=True)
class MeasureRule:
    """Tolerance of a number: full credit within one distance, none from another on, straight in between.

    Attributes
    ----------
    unit : "mm", "deg" or "count"
    full_within, none_beyond : float
        Distances from the reference, in the unit; the file writes the unit into the key (full_within_deg).
    plausible_from, plausible_to : float
        Range in which a reading of this kind can lie at all, in the unit; the guess rate is taken over it.
    method : str
        The construction behind an angle, printed with every angle.
    counted : str
        What a count counts, in the plural.
    """

    unit: Unit
    full_within: float
    none_beyond: float
    plausible_from: float
    plausible_to: float
    method: str = ""
    counted: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.full_within < self.none_beyond:
            raise ValueError("none_beyond must lie above full_within, and full_within at 0 or more: correct the two")
        if not self.plausible_from < self.plausible_to:
            raise ValueError("plausible_to must lie above plausible_from: correct the two")
        if self.unit == "deg" and not self.method:
            raise ValueError("method: one bend reads differently by construction: name the one that is meant")
        if self.unit == "count" and not self.counted:
            raise ValueError('counted: say what is counted, in the plural ("canals")')

    def credit(self, distance: float) -> float:
        """Credit for a reading this far from the reference, in the unit."""
        return _falling(distance, self.full_within, self.none_beyond)


@dataclass(frozen=True)
class MarkRule:
    """Tolerance of a mark on a film, what a false mark costs, and how many marks are allowed.

    Attributes
    ----------
    full_within_mm, none_beyond_mm : float
        Distances on the film's plane: full credit within the first, none from the second on, straight in between.
    false_mark_cost : float
        Taken off for each mark that earns nothing. Below 0.5 a second guess would pay: with cost c the better of two
        guesses earns max - c, which stays at or below their mean for every outcome only from c = 0.5 on.
    most_marks : int
        How many marks may be set.
    plausible_area_mm2 : float
        Area in which a sensible guess would land; the guess rate is taken over it.
    """

    full_within_mm: float
    none_beyond_mm: float
    false_mark_cost: float
    most_marks: int
    plausible_area_mm2: float

    def __post_init__(self) -> None:
        if not 0 <= self.full_within_mm < self.none_beyond_mm:
            raise ValueError("none_beyond_mm must lie above full_within_mm, and that at 0 or more: correct the two")
        if not 0.5 <= self.false_mark_cost <= 1:
            raise ValueError("false_mark_cost lies between 0.5 and 1: below 0.5 a second guess would pay")
        if not 1 <= self.most_marks <= MOST_MARKS:
            raise ValueError(f"most_marks lies between 1 and {MOST_MARKS}: correct it")
        if not self.plausible_area_mm2 > 0:
            raise ValueError("plausible_area_mm2 must be above 0: give the area a guess would land in")

    def credit(self, distance_mm: float) -> float:
        """Credit for a mark this far from its reference point."""
        return _falling(distance_mm, self.full_within_mm, self.none_beyond_mm)


@dataclass(frozen=True)
class BenchRule:
    """What the bench counts, worded so that "3 of 4" can stand before it."""

    counts: str

    def __post_init__(self) -> None:
        if not self.counts.strip():
            raise ValueError('counts: say what is counted, so that "3 of 4" can stand before it')


Rule = LevelRule | ChoiceRule | MeasureRule | MarkRule | BenchRule | OrderRule | OutlineRule | WrittenRule


def _falling(distance: float, full_within: float, none_beyond: float) -> float:
    return min(1.0, max(0.0, (none_beyond - distance) / (none_beyond - full_within)))


def _is_share(name: str, share: float) -> None:
    if not 0 <= share <= 1:
        raise ValueError(f"{name}: a share lies between 0 and 1, not at {share}: correct it")


def _is_at_least_one(name: str, number: int) -> None:
    if number < 1:
        raise ValueError(f"{name}: at least 1 must be allowed, not {number}: correct it")
