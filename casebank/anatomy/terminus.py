"""The end of the canal: what the literature measured there, and whether a canal of ours could be such a one.

`terminus.toml` holds the figures with their sources, and the ranges, which are teaching choices.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from casebank.anatomy.canal import Canal
from casebank.anatomy.finite import require_finite
from casebank.anatomy.tooth import Tooth

Status = Literal["verified", "from memory", "our reading"]
STATUSES: tuple[Status, ...] = ("verified", "from memory", "our reading")
ROUNDING_MM = 1e-9  # a value typed as the end of a range lies inside it


@dataclass(frozen=True)
class Figure:
    """One published mean.

    Attributes
    ----------
    quantity, group : str
        What was measured, and in whom or in which root.
    value_mm : float
    source : str
    status : str
        "verified" in a stored source, "from memory", or "our reading" of an ambiguous one.
    note : str

    Raises
    ------
    ValueError
        If the value is not above 0 or not finite, the source is missing, or the status unknown.
    """

    quantity: str
    group: str
    value_mm: float
    source: str
    status: Status
    note: str = ""

    def __post_init__(self) -> None:
        require_finite(f"{self.quantity}, {self.group}", [("value_mm", self.value_mm)])
        if not self.value_mm > 0:
            raise ValueError(f"{self.quantity}, {self.group}: {self.value_mm} mm cannot be, give a value above 0 mm")
        if not self.source:
            raise ValueError(f"{self.quantity}, {self.group}: a published figure needs its source")
        if self.status not in STATUSES:
            raise ValueError(f"{self.quantity}, {self.group}: {self.status!r} is none of {', '.join(STATUSES)}")


@dataclass(frozen=True)
class Range:
    """What a fully formed tooth of ours should show: a teaching choice, with its reason.

    Attributes
    ----------
    quantity : str
    low_mm, high_mm : float
        Both ends lie inside.
    because : str

    Raises
    ------
    ValueError
        If the ends are out of order or not finite, or the reason is missing.
    """

    quantity: str
    low_mm: float
    high_mm: float
    because: str

    def __post_init__(self) -> None:
        require_finite(f"range of {self.quantity}", [("low_mm", self.low_mm), ("high_mm", self.high_mm)])
        if not 0 <= self.low_mm < self.high_mm:
            raise ValueError(f"range of {self.quantity}: {self.low_mm} to {self.high_mm} mm is out of order")
        if not self.because:
            raise ValueError(f"range of {self.quantity}: a teaching choice needs its reason")

    def holds(self, value_mm: float) -> bool:
        """Whether the value lies inside; a value that is not a number does not."""
        return self.low_mm - ROUNDING_MM <= value_mm <= self.high_mm + ROUNDING_MM


@dataclass(frozen=True)
class Literature:
    """All figures, and all ranges. ValueError if two figures or two ranges say the same thing twice."""

    figures: tuple[Figure, ...]
    ranges: tuple[Range, ...]

    def __post_init__(self) -> None:
        measured = {(figure.quantity, figure.group) for figure in self.figures}
        if len(measured) != len(self.figures) or len({chosen.quantity for chosen in self.ranges}) != len(self.ranges):
            raise ValueError("a quantity of a group, or the range of a quantity, stands there twice: leave one out")

    def figure(self, quantity: str, group: str) -> Figure:
        """The figure of that quantity and group. KeyError if there is none.

        >>> literature().figure("foramen to apex", "over 55").value_mm
        0.607
        """
        for figure in self.figures:
            if (figure.quantity, figure.group) == (quantity, group):
                return figure
        raise KeyError(f"no figure for {quantity}, {group}: name one that is in the table")

    def range_of(self, quantity: str) -> Range:
        """The range of a quantity. KeyError if there is none."""
        for chosen in self.ranges:
            if chosen.quantity == quantity:
                return chosen
        raise KeyError(f"no range for {quantity}: there are {', '.join(chosen.quantity for chosen in self.ranges)}")


@cache
def literature() -> Literature:
    """The table beside this module. ValueError or TypeError if it is malformed."""
    table: dict[str, Any] = tomllib.loads(Path(__file__).with_name("terminus.toml").read_text(encoding="utf-8"))
    return Literature(
        figures=tuple(Figure(**entry) for entry in table["figures"]),
        ranges=tuple(Range(**entry) for entry in table["ranges"]),
    )


def departures(tooth: Tooth, canal: Canal) -> tuple[str, ...]:
    """Sentences on what of a canal's end lies outside its range; none if the end is that of a fully formed tooth."""
    measured = (
        ("constriction diameter", "narrow", canal.constriction.narrow_mm),
        ("constriction diameter", "wide", canal.constriction.wide_mm),
        ("foramen diameter", "narrow", canal.foramen.narrow_mm),
        ("foramen diameter", "wide", canal.foramen.wide_mm),
        ("foramen to constriction", "", canal.constriction_to_foramen_mm),
        ("foramen to apex", "", tooth.foramen_to_apex_mm(canal)),
    )
    sentences = []
    for quantity, side, value_mm in measured:
        chosen = literature().range_of(quantity)
        if not chosen.holds(value_mm):
            what = f"{side} {quantity}" if side else quantity
            sentences.append(
                f"canal {canal.name}: {what} of {value_mm:.2f} mm lies outside "
                f"{chosen.low_mm:g} to {chosen.high_mm:g} mm ({chosen.because})"
            )
    return tuple(sentences)


def is_plausible(tooth: Tooth, canal: Canal) -> bool:
    """Whether constriction, foramen and their distances lie inside the ranges for a fully formed tooth."""
    return not departures(tooth, canal)
