"""An opening into a crown, judged by what was computed of it: canals reached, tissue gone, walls and roof left.

The numbers come from whoever cut the outline into the tooth. The reference is the usual opening of the same tooth, by
the same computation: what even that one costs, because the tooth is bent, narrow or thin, costs a student nothing.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from casebank.rubric.phrases import joined, percent
from casebank.rubric.verdict import Verdict

Part = Literal["crown", "root", "furcation"]
PARTS: tuple[str, ...] = get_args(Part)

ALL = 1 - 1e-9  # shares that sum to the whole may miss it by rounding


@dataclass(frozen=True)
class Band:
    """One aspect: its share of the credit, the size up to which it is whole, and the size from which none is left.

    Where more is worse (a lean, tissue beyond need, roof) `full` lies below `none`; where less is worse (a wall) above.
    """

    share: float
    full: float
    none: float

    def credit(self, size: float) -> float:
        """1 at `full` and on its good side, 0 at `none` and beyond, a straight fall in between."""
        return min(1.0, max(0.0, (self.none - size) / (self.none - self.full)))

    def eased(self, usual: float) -> "Band":
        """The band moved to what the usual opening itself comes to, where that lies on the costly side of `full`.

        >>> Band(1, 5.0, 15.0).eased(8.0), Band(1, 1.5, 0.75).eased(1.0)
        (Band(share=1, full=8.0, none=18.0), Band(share=1, full=1.0, none=0.5))
        """
        if self.full < self.none:
            full = max(self.full, usual)
            return Band(self.share, full, self.none + full - self.full)
        full = min(self.full, usual)
        return Band(self.share, full, self.none * full / self.full)


@dataclass(frozen=True)
class OutlineRule:
    """Share and band of each aspect.

    Attributes
    ----------
    reach : Band
        Lean of a straight shaft into a canal beyond what no opening can spare, degrees; the mean over the canals.
    removed : Band
        Hard tissue beyond need over the need.
    crown_wall, root_wall : Band
        Thinnest wall left, mm; the floor over the furcation counts as a wall of the root.
    roof : Band
        Roof of the chamber left over the whole roof.
    """

    reach: Band
    removed: Band
    crown_wall: Band
    root_wall: Band
    roof: Band

    def __post_init__(self) -> None:
        bands = {"reach": self.reach, "removed": self.removed, "roof": self.roof}
        walls = {"crown_wall": self.crown_wall, "root_wall": self.root_wall}
        for name, band in (bands | walls).items():
            if not 0 < band.share < 1:
                raise ValueError(f"{name}.share: {band.share:g}: each aspect holds a share above 0 and below 1")
        for name, band in bands.items():
            if not 0 <= band.full < band.none:
                raise ValueError(f"{name}: none_beyond must lie above full_within, and that at 0 or more: correct them")
        for name, band in walls.items():
            if not 0 <= band.none < band.full:
                raise ValueError(f"{name}: full_from must lie above none_below, and that at 0 or more: correct them")
        total = sum(band.share for band in (bands | walls).values())
        if abs(total - 1) > 1 - ALL:
            raise ValueError(
                f"share: the shares of the five aspects add up to {total:g}: change them until they sum to 1"
            )


@dataclass(frozen=True)
class WallLeft:
    """The thinnest place of one part: how thick, mm, and towards which side ("mesial")."""

    part: Part
    thick_mm: float
    side: str

    def __post_init__(self) -> None:
        if self.part not in PARTS:
            raise ValueError(f"{self.part!r} is no part with a wall: write one of {', '.join(PARTS)}")
        _at_least_zero("a wall's thick_mm", self.thick_mm)

    @property
    def words(self) -> str:
        """The place in words."""
        if self.part == "furcation":
            return "floor over the furcation"
        return f"{self.side} wall of the {self.part}" if self.part == "crown" else f"{self.side} wall of the root"


@dataclass(frozen=True)
class _Opening:
    """What an opening came to.

    Attributes
    ----------
    leans_deg : mapping of canal to float
        Lean of the straightest shaft into it, beyond what no opening can spare, degrees.
    missed : frozenset of str
        Canals that no straight shaft reaches.
    need_mm3, beyond_mm3 : float
        Hard tissue that the way to the canals asks for, and what went beside it.
    roof_left_mm2, roof_mm2 : float
        Of the chamber's roof.
    walls : tuple of WallLeft
        At most one for each part; none where the cut comes near no such place.
    """

    leans_deg: Mapping[str, float]
    need_mm3: float
    beyond_mm3: float
    roof_left_mm2: float
    roof_mm2: float
    walls: tuple[WallLeft, ...] = ()
    missed: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if not self.canals:
            raise ValueError("an opening leads to canals: name each in leans_deg or among the missed")
        if both := sorted(self.missed & set(self.leans_deg)):
            raise ValueError(f"canal {both[0]} is reached and missed: keep one of the two")
        for canal, lean_deg in self.leans_deg.items():
            _at_least_zero(f"leans_deg.{canal}", lean_deg)
        for name in ("need_mm3", "beyond_mm3", "roof_left_mm2", "roof_mm2"):
            _at_least_zero(name, getattr(self, name))
        if self.need_mm3 == 0 or self.roof_mm2 == 0 or self.roof_left_mm2 > self.roof_mm2:
            raise ValueError("need_mm3 and roof_mm2 lie above 0, and no more roof is left than there was: correct them")
        if len({wall.part for wall in self.walls}) < len(self.walls):
            raise ValueError("walls: a part has one thinnest place: give one wall for each")

    @property
    def canals(self) -> frozenset[str]:
        return self.missed.union(self.leans_deg)

    @property
    def words(self) -> str:
        """Its numbers as they are read out."""
        missed = f" (not {joined(sorted(self.missed))})" if self.missed else ""
        parts = [f"{len(self.leans_deg)} of {len(self.canals)} canals reached{missed}"]
        if self.leans_deg:
            parts.append(f"shafts lean up to {max(self.leans_deg.values()):.0f}° more than they must")
        parts.append(f"{self.beyond_mm3:.1f} mm³ taken beside the {self.need_mm3:.1f} mm³ needed")
        parts += [f"{wall.words} {wall.thick_mm:.1f} mm" for wall in self.walls]
        parts.append(f"{self.roof_left_mm2:.1f} of {self.roof_mm2:.1f} mm² of roof left")
        return ", ".join(parts)


@dataclass(frozen=True)
class OutlineSaid(_Opening):
    """What the student's opening came to, and each unsafe finding in a sentence: a gouge, a perforation."""

    unsafe: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class OutlineReference(_Opening):
    """What the usual opening of the same tooth comes to."""

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.leans_deg:
            raise ValueError("the usual opening reaches at least one canal: name it in leans_deg")
        if any(wall.thick_mm == 0 for wall in self.walls):
            raise ValueError("the usual opening leaves a wall of more than 0 mm: it holes no tooth")


def outline(rule: OutlineRule, said: OutlineSaid, reference: OutlineReference) -> Verdict:
    """Credit by aspects: reach and roof by themselves, what was spared only as far as the canals were reached.

    credit = reach + roof + (removed + walls) · (mean reach), each by its band and its share: an opening that is not
    made spares everything and reaches nothing. A band is moved to what the usual opening costs. Unsafe earns nothing.
    """
    if said.canals != reference.canals:
        stray = sorted(said.canals ^ reference.canals)
        raise ValueError(f"canal {stray[0]} stands on one side only: judge the opening and the usual one on one tooth")
    usual = f"The usual opening: {reference.words}."
    if said.unsafe:
        return Verdict(0.0, f"Unsafe, so nothing is earned: {' '.join(said.unsafe)} Yours: {said.words}. {usual}")
    of = {
        "reach": _reach(rule, said, reference),
        "roof": rule.roof.eased(_roof(reference)).credit(_roof(said)),
        "removed": rule.removed.eased(_removed(reference)).credit(_removed(said)),
        "crown_wall": _wall(rule.crown_wall, said, reference, ("crown",)),
        "root_wall": _wall(rule.root_wall, said, reference, ("root", "furcation")),
    }
    shares = {name: band.share for name, band in vars(rule).items()}
    met = shares["reach"] * of["reach"] + shares["roof"] * of["roof"]
    spared = sum(shares[name] * of[name] for name in SPARED)
    credit = min(1.0, met + spared * of["reach"])
    if credit > ALL:
        return Verdict(1.0, f"Your opening comes to what the usual one does: {said.words}. {usual}", leaning=0)
    lost = joined([f"{WORDS[name]} {percent(credit)}" for name, credit in of.items() if credit < ALL])
    sentences = [f"Your opening: {said.words}.", usual, f"Not whole: {lost}; together {percent(credit)} of the credit."]
    if of["reach"] < ALL:
        sentences.append("What was spared counts only as far as the canals are reached.")
    return Verdict(credit, " ".join(sentences), _leaning(of))


WORDS = {
    "reach": "reach",
    "roof": "roof",
    "removed": "tissue taken",
    "crown_wall": "walls of the crown",
    "root_wall": "walls of the root",
}
SPARED = ("removed", "crown_wall", "root_wall")


def _reach(rule: OutlineRule, said: OutlineSaid, reference: OutlineReference) -> float:
    """The mean over the canals that the usual opening reaches."""
    of_canals = [
        rule.reach.eased(usual_deg).credit(said.leans_deg[canal]) if canal in said.leans_deg else 0.0
        for canal, usual_deg in reference.leans_deg.items()
    ]
    return math.fsum(of_canals) / len(of_canals)


def _wall(band: Band, said: OutlineSaid, reference: OutlineReference, parts: tuple[Part, ...]) -> float:
    """The thinnest wall's; whole where the cut comes near none."""
    usual = {wall.part: wall.thick_mm for wall in reference.walls}
    left = [wall for wall in said.walls if wall.part in parts]
    return min((band.eased(usual.get(wall.part, band.full)).credit(wall.thick_mm) for wall in left), default=1.0)


def _removed(opening: _Opening) -> float:
    return opening.beyond_mm3 / opening.need_mm3


def _roof(opening: _Opening) -> float:
    return opening.roof_left_mm2 / opening.roof_mm2


def _leaning(of: Mapping[str, float]) -> int | None:
    """+1 where only too much was taken, -1 where only too little, none where both."""
    small = any(of[name] < ALL for name in ("reach", "roof"))
    large = any(of[name] < ALL for name in SPARED)
    return None if small == large else 1 if large else -1


def _at_least_zero(name: str, value: float) -> None:
    if isinstance(value, bool) or not math.isfinite(value) or value < 0:
        raise ValueError(f"{name}: {value} is no size: give a finite number from 0 on")
