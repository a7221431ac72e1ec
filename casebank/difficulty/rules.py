"""How a fact gives a level. Two kinds only, a number in bands and a stated word, so that an author can check a set."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from casebank.difficulty.bands import Band, Gap, require_whole_line


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
        How a number at the end of a band is read where the source leaves it open.
    gaps : tuple of Gap
        Numbers that a source leaves without a class, each within one band, and how they are read.
    source, status : str or None
        Where these bands come from when it is not where the cells come from.
    """

    fact: str
    label: str
    unit: str
    bands: tuple[Band, ...]
    decimals: int = 1
    boundary: str | None = None
    gaps: tuple[Gap, ...] = ()
    source: str | None = None
    status: str | None = None

    def __post_init__(self) -> None:
        require_whole_line(self.bands)
        for gap in self.gaps:
            if not any(_within(gap, band) for band in self.bands):
                raise ValueError(
                    f"the gap {gap.in_words(self.unit)} does not lie within one band, so it has no one level: part it"
                )

    @property
    def highest(self) -> int:
        """The highest level the rule can give."""
        return max(band.level for band in self.bands)

    def band_of(self, value: float) -> Band:
        """The band of a value, as it is printed. ValueError if the value is not finite."""
        printed = self._printed(value)
        return next(band for band in self.bands if band.holds(printed))

    def read_openly(self, value: float) -> Iterator[str]:
        """How the set reads a value that its source leaves open: one sentence each for boundary and gap."""
        printed = self._printed(value)
        if self.boundary and any(printed in (band.least, band.most) for band in self.bands):
            yield f"On a boundary: {self.boundary}."
        yield from (f"In a gap: {gap.says}." for gap in self.gaps if gap.holds(printed))

    def _printed(self, value: float) -> float:
        if not math.isfinite(value):
            raise ValueError(f"{self.fact} is {value}: give a finite number")
        return round(value, self.decimals)


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

    @property
    def highest(self) -> int:
        """The highest level the rule can give."""
        return max(self.levels.values())

    def level_of(self, value: str) -> int:
        """The level of a value. ValueError with the values there are, if it is none of them."""
        try:
            return self.levels[value]
        except KeyError:
            raise ValueError(f"{self.fact} cannot be {value!r}: use one of {', '.join(self.levels)}") from None


Rule = BandsRule | WordsRule


def _within(gap: Gap, band: Band) -> bool:
    starts = gap.least > band.least or (gap.least == band.least and (band.least_counts or not gap.least_counts))
    ends = gap.most < band.most or (gap.most == band.most and (band.most_counts or not gap.most_counts))
    return starts and ends
