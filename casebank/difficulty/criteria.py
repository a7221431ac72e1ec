"""A criteria set: factors, the cells that word their levels, the rules that give a level, and the rule for the case.

Levels are whole numbers from 1 up; the set supplies their words. Rules come in two kinds only, a number in bands and a
stated word, so that an author can read a set and check it against its source.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

STATUSES = ("verified", "from memory", "teaching choice")


@dataclass(frozen=True)
class Cell:
    """How one level of a factor reads, where that comes from, and how sure it is (one of STATUSES)."""

    wording: str
    source: str
    status: str


@dataclass(frozen=True)
class Band:
    """A stretch of numbers that gives a level; `..._counts` says whether the end itself belongs to it."""

    level: int
    least: float = -math.inf
    least_counts: bool = False
    most: float = math.inf
    most_counts: bool = False

    def holds(self, value: float) -> bool:
        above = value > self.least or (self.least_counts and value == self.least)
        return above and (value < self.most or (self.most_counts and value == self.most))

    def in_words(self, unit: str) -> str:
        """The stretch as a reader says it.

        >>> Band(2, 10, True, 30, True).in_words("deg"), Band(1, most=10).in_words("deg"), Band(3, 25).in_words("mm")
        ('10 to 30°', 'below 10°', 'above 25 mm')
        """
        if math.isinf(self.least):
            return f"{'up to' if self.most_counts else 'below'} {with_unit(f'{self.most:g}', unit)}"
        if math.isinf(self.most):
            least = with_unit(f"{self.least:g}", unit)
            return f"{least} or more" if self.least_counts else f"above {least}"
        start = f"{self.least:g}" if self.least_counts else f"above {self.least:g}"
        return f"{start} {'to' if self.most_counts else 'to below'} {with_unit(f'{self.most:g}', unit)}"


@dataclass(frozen=True)
class BandsRule:
    """A measured number gives a level.

    Attributes
    ----------
    fact, label, unit : str
        Name of the fact, what a reader calls it, and "deg", "mm" or another unit.
    bands : tuple of Band
        From the smallest numbers to the largest, without overlap or gap.
    decimals : int
        A value is judged as it is printed, with this many decimals.
    boundary : str or None
        How a boundary that the source leaves open is read.
    source, status : str or None
        Where these bands come from when it is not where the cells come from.
    """

    fact: str
    label: str
    unit: str
    bands: tuple[Band, ...]
    decimals: int = 1
    boundary: str | None = None
    source: str | None = None
    status: str | None = None

    def __post_init__(self) -> None:
        if len(self.bands) < 2:
            raise ValueError("one band tells nothing apart: give bands for at least two levels")
        if not (math.isinf(self.bands[0].least) and math.isinf(self.bands[-1].most)):
            raise ValueError(
                "the bands leave the smallest or largest numbers without a level: leave those two ends open"
            )
        for lower, upper in zip(self.bands, self.bands[1:], strict=False):
            if lower.most > upper.least or (lower.most == upper.least and lower.most_counts and upper.least_counts):
                raise ValueError(f"two bands overlap at {lower.most:g}: let each number belong to one level")
            if lower.most < upper.least or not (lower.most_counts or upper.least_counts):
                raise ValueError(f"no band holds {lower.most:g}: use from or to for the level it belongs to")

    def band_of(self, value: float) -> Band:
        """The band of a value, as it is printed. ValueError if the value is not finite."""
        if not math.isfinite(value):
            raise ValueError(f"{self.fact} is {value}: give a finite number")
        printed = round(value, self.decimals)
        return next(band for band in self.bands if band.holds(printed))


@dataclass(frozen=True)
class WordsRule:
    """A stated value gives a level; `levels` maps each value that may be stated."""

    fact: str
    label: str
    levels: Mapping[str, int]
    source: str | None = None
    status: str | None = None

    def __post_init__(self) -> None:
        if 1 not in self.levels.values():
            raise ValueError("no value gives the lowest level: add one, so that an author can say so")

    def level_of(self, value: str) -> int:
        """The level of a value. ValueError with the values there are, if it is none of them."""
        try:
            return self.levels[value]
        except KeyError:
            raise ValueError(f"{self.fact} cannot be {value!r}: use one of {', '.join(self.levels)}") from None


Rule = BandsRule | WordsRule


@dataclass(frozen=True)
class Factor:
    """One thing that can make a case hard: `cells[0]` words level 1; the worst rule met gives the level."""

    id: str
    label: str
    group: str
    cells: tuple[Cell, ...]
    rules: tuple[Rule, ...]


@dataclass(frozen=True)
class CaseStep:
    """The case has level `gives` when at least so many factors stand at `at_or_above` or higher."""

    gives: int
    at_least: int
    at_or_above: int


@dataclass(frozen=True)
class CaseRule:
    """From the factors' levels to the case's: the highest step met, or the lowest level."""

    steps: tuple[CaseStep, ...]
    source: str
    status: str

    def level_of(self, levels: Sequence[int]) -> int:
        """The case's level.

        >>> rule = CaseRule((CaseStep(3, 1, 3), CaseStep(3, 3, 2), CaseStep(2, 1, 2)), "a source", "verified")
        >>> rule.level_of([1, 1, 1]), rule.level_of([2, 2, 1]), rule.level_of([2, 2, 2])
        (1, 2, 3)
        """
        met = (step for step in self.steps if sum(level >= step.at_or_above for level in levels) >= step.at_least)
        return max((step.gives for step in met), default=1)


@dataclass(frozen=True)
class Angle:
    """How the curvature these criteria ask for is measured, and on which canal and film."""

    method: str
    construction: str
    taken_on: str
    source: str
    status: str


@dataclass(frozen=True)
class Criteria:
    """One body's published difficulty criteria in one edition; sources are spelt out wherever one is named."""

    name: str
    title: str
    body: str
    edition: str
    levels: tuple[str, ...]
    groups: tuple[str, ...]
    angle: Angle
    case_rule: CaseRule
    factors: tuple[Factor, ...]

    def word(self, level: int) -> str:
        """The set's word for a level from 1 up."""
        return self.levels[level - 1]

    def factor(self, factor_id: str) -> Factor:
        """The factor of that id. KeyError with the ids there are, if it has none."""
        for factor in self.factors:
            if factor.id == factor_id:
                return factor
        raise KeyError(f"no factor {factor_id}: this set has {', '.join(factor.id for factor in self.factors)}")

    @property
    def rules(self) -> dict[str, Rule]:
        """Every rule by the fact it reads: what can be stated, and in which words."""
        return {rule.fact: rule for factor in self.factors for rule in factor.rules}


def with_unit(number: str, unit: str) -> str:
    """A number and its unit as a reader writes them."""
    return f"{number}°" if unit == "deg" else f"{number} {unit}"
