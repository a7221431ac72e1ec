"""Stretches of numbers: bands that part the whole line between them, and the places a source leaves open."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True)
class Stretch:
    """Some numbers in a row; `..._counts` says whether the end itself belongs to them."""

    least: float = -math.inf
    least_counts: bool = False
    most: float = math.inf
    most_counts: bool = False

    def holds(self, value: float) -> bool:
        above = value > self.least or (self.least_counts and value == self.least)
        return above and (value < self.most or (self.most_counts and value == self.most))

    def in_words(self, unit: str) -> str:
        """The stretch as a reader says it.

        >>> Stretch(10, True, 30, True).in_words("deg"), Stretch(most=10).in_words("deg"), Stretch(25).in_words("mm")
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
class Band(Stretch):
    """A stretch of numbers that gives a level, from 1 up."""

    level: int = 1


@dataclass(frozen=True)
class Gap(Stretch):
    """Numbers to which a source gives no class; `says` is how they are read here."""

    says: str = ""


def require_whole_line(stretches: Sequence[Stretch]) -> None:
    """Refuse, in a ValueError, stretches that do not part the line between them, from the smallest numbers up."""
    if len(stretches) < 2:
        raise ValueError("one band tells nothing apart: give bands for at least two levels")
    if not (math.isinf(stretches[0].least) and math.isinf(stretches[-1].most)):
        raise ValueError("the bands leave the smallest or largest numbers without a level: leave those two ends open")
    for lower, upper in pairwise(stretches):
        if lower.most > upper.least or (lower.most == upper.least and lower.most_counts and upper.least_counts):
            raise ValueError(f"two bands overlap at {lower.most:g}: let each number belong to one level")
        if lower.most < upper.least or not (lower.most_counts or upper.least_counts):
            raise ValueError(f"no band holds {lower.most:g}: use from or to for the level it belongs to")


def with_unit(number: str, unit: str) -> str:
    """A number and its unit as a reader writes them."""
    return f"{number}°" if unit == "deg" else f"{number} {unit}"
