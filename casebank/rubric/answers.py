"""What a student said and what it is compared with: one pair of values per kind.

The pairs of an order, an opening and a reason stand with what compares them.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from casebank.rubric.opening import OutlineReference, OutlineSaid
from casebank.rubric.ordering import OrderReference, OrderSaid
from casebank.rubric.reason import WrittenReference, WrittenSaid

Point = tuple[float, float]

LEVELS = (1, 2, 3)


@dataclass(frozen=True)
class LevelSaid:
    """A level, 1 to 3, and the pins cited for it: letters of findings, or "film" and its number."""

    level: int
    evidence: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _is_level(self.level)


@dataclass(frozen=True)
class LevelReference:
    """The level, and the pins of which any one supports it; no pins means that nothing has to be cited."""

    level: int
    evidence: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _is_level(self.level)


ChoiceSaid = str | tuple[str, ...]


@dataclass(frozen=True)
class ChoiceReference:
    """The options that agree fully, and those that agree in part with the share (0 to 1) each earns."""

    best: frozenset[str]
    partly: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.best:
            raise ValueError("a choice needs at least one best option: name it in the reference")
        for option, share in self.partly.items():
            if option in self.best:
                raise ValueError(f"option {option} cannot be best and partly right: keep one of the two")
            if not 0 <= share <= 1:
                raise ValueError(f"option {option} earns a share between 0 and 1, not {share}: correct it")


@dataclass(frozen=True)
class MeasureSaid:
    """A number in the rule's unit, and the name of what was measured (a canal, say) where the task leaves it open."""

    value: float
    of: str | None = None

    def __post_init__(self) -> None:
        _is_finite(self.value, "a reading")


@dataclass(frozen=True)
class MeasureReference:
    """The number in the rule's unit, and the names that may be measured; no names means there was nothing to pick."""

    value: float
    of: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _is_finite(self.value, "a reference")


@dataclass(frozen=True)
class MarkSaid:
    """Points marked on a film, in millimetres on the film's plane."""

    points_mm: tuple[Point, ...]

    def __post_init__(self) -> None:
        _are_points(self.points_mm, "a mark")


@dataclass(frozen=True)
class MarkReference:
    """The points meant, in millimetres on the film's plane, in the same frame as the marks."""

    points_mm: tuple[Point, ...]

    def __post_init__(self) -> None:
        _are_points(self.points_mm, "a reference point")
        if not self.points_mm:
            raise ValueError("a mark has nothing to be compared with: give at least one reference point")


@dataclass(frozen=True)
class BenchSaid:
    """What the bench recorded: how much of what was to be met was met, and notes that name the places."""

    met: float
    of: float
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _is_finite(self.met, "what was met at the bench")
        _is_finite(self.of, "what was to be met at the bench")
        if not 0 <= self.met <= self.of:
            raise ValueError(f"{self.met:g} of {self.of:g} cannot be met: give a number from 0 to the whole")


@dataclass(frozen=True)
class BenchReference:
    """What was to be expected at the bench, in words."""

    expected: str

    def __post_init__(self) -> None:
        if not self.expected.strip():
            raise ValueError("a bench reference says in words what was expected: fill it in")


Said = LevelSaid | ChoiceSaid | MeasureSaid | MarkSaid | BenchSaid | OrderSaid | OutlineSaid | WrittenSaid
Reference = (
    LevelReference
    | ChoiceReference
    | MeasureReference
    | MarkReference
    | BenchReference
    | OrderReference
    | OutlineReference
    | WrittenReference
)


def _is_level(level: int) -> None:
    if isinstance(level, bool) or level not in LEVELS:
        raise ValueError(f"level {level} does not exist: give 1, 2 or 3")


def _is_finite(value: float, what: str) -> None:
    if isinstance(value, bool) or not math.isfinite(value):
        raise ValueError(f"{what} of {value} is not a finite number: give one")


def _are_points(points_mm: tuple[Point, ...], what: str) -> None:
    for point in points_mm:
        if len(point) != 2:
            raise ValueError(f"{what} has two coordinates in mm, not {len(point)}: give x and y")
        for coordinate in point:
            _is_finite(coordinate, f"{what}'s coordinate")
