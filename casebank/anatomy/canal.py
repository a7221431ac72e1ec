"""A canal: its course from orifice to foramen and how wide it is on the way.

Three points near the end are kept apart: the constriction (narrowest), the foramen (where the canal leaves the root)
and the apex (the root's own tip). Lengths are along the canal; "short" is counted from the foramen.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.branches import LateralCanal
from casebank.anatomy.course import Course, Points, Position
from casebank.anatomy.finite import evenly_spaced, finite_array, require_finite
from casebank.anatomy.resorption import InternalResorption
from casebank.anatomy.stones import LEAST_PASSAGE_MM, CanalStone

Profile = NDArray[np.float64]


@dataclass(frozen=True)
class Section:
    """A cross-section of a canal: its narrow and its wide diameter, mm.

    Which way the wide one lies is the canal's own (`Canal.wide_side`): bucco-lingually in most oval canals,
    mesio-distally in some, as palatal ones of upper molars can be (Wu et al., Oral Surg 2000;89:739, from memory).

    Attributes
    ----------
    narrow_mm, wide_mm : float
        Both above 0, the narrow one first.

    Raises
    ------
    ValueError
        If the diameters are out of order, not above 0 or not finite.
    """

    narrow_mm: float
    wide_mm: float

    def __post_init__(self) -> None:
        if not 0 < self.narrow_mm <= self.wide_mm < np.inf:
            raise ValueError(
                f"a section {self.narrow_mm} mm narrow and {self.wide_mm} mm wide cannot be: "
                "give two diameters above 0 mm, the narrow one first"
            )


@dataclass(frozen=True)
class Narrowing:
    """A place where hard tissue has narrowed the canal. It takes from the narrow diameter and leaves the wide one.

    Attributes
    ----------
    at_mm : float
        Level of the tightest point below the orifice, along the canal.
    narrow_mm : float
        Narrow diameter there. Where the canal is no wider by itself, the narrowing changes nothing.
    spread_mm : float
        Length above and below over which the canal returns to its own width.

    Raises
    ------
    ValueError
        If the level is below 0, the width or spread not above 0, or one of them not finite.
    """

    at_mm: float
    narrow_mm: float
    spread_mm: float = 2.0

    def __post_init__(self) -> None:
        require_finite("a narrowing", [(name, getattr(self, name)) for name in ("at_mm", "narrow_mm", "spread_mm")])
        if not (self.at_mm >= 0 and self.narrow_mm > 0 and self.spread_mm > 0):
            raise ValueError("a narrowing needs a level of 0 mm or more, and a width and a spread above 0 mm")


@dataclass(frozen=True)
class Canal:
    """One canal.

    Attributes
    ----------
    name : str
        Short name, such as "MB".
    root : str
        Name of the root it runs in.
    cusp_to_orifice_mm : float
        From the reference cusp or edge to the orifice, along a file.
    orifice_mm : tuple of two floats
        Orifice in the tooth frame: x (distal), y (lingual); its height follows from the cusp.
    course : Course
        From orifice to foramen.
    orifice, constriction, foramen : Section
        Diameters at the three named levels; between them the canal widens evenly.
    constriction_to_foramen_mm : float
        Along the canal.
    narrowings : tuple of Narrowing
        Places narrowed by hard tissue, above the constriction; where two overlap, the tighter counts.
    wide_side : str
        The way the wide diameter lies, at every level.
    stones : tuple of CanalStone
    resorptions : tuple of InternalResorption
    lateral_canals : tuple of LateralCanal

    Raises
    ------
    ValueError
        Naming the canal, if a number is not finite, the orifice is not below the cusp, the constriction lies outside
        the canal or is wider than the foramen, a narrowing lies at the constriction or below it, a bulge or a side
        branch lies off the canal, or stones leave no passage beside them.
    """

    name: str
    root: str
    cusp_to_orifice_mm: float
    orifice_mm: tuple[float, float]
    course: Course
    orifice: Section
    constriction: Section
    foramen: Section
    constriction_to_foramen_mm: float = 0.5
    narrowings: tuple[Narrowing, ...] = ()
    wide_side: Literal["buccolingual", "mesiodistal"] = "buccolingual"
    stones: tuple[CanalStone, ...] = ()
    resorptions: tuple[InternalResorption, ...] = ()
    lateral_canals: tuple[LateralCanal, ...] = ()

    def __post_init__(self) -> None:
        if not self.name:
            raise ValueError("a canal needs a name, such as MB")
        require_finite(
            f"canal {self.name}",
            [
                ("cusp_to_orifice_mm", self.cusp_to_orifice_mm),
                ("constriction_to_foramen_mm", self.constriction_to_foramen_mm),
                *(("orifice_mm", coordinate) for coordinate in self.orifice_mm),
            ],
        )
        if self.cusp_to_orifice_mm <= 0:
            raise ValueError(f"canal {self.name}: the orifice lies below the cusp, so its distance must be above 0 mm")
        if not 0 < self.constriction_to_foramen_mm < self.length_mm:
            raise ValueError(f"canal {self.name}: the constriction must lie between orifice and foramen")
        if self.constriction.narrow_mm > self.foramen.narrow_mm:
            raise ValueError(
                f"canal {self.name}: a constriction of {self.constriction.narrow_mm} mm is wider than its foramen of "
                f"{self.foramen.narrow_mm} mm: widen the foramen or narrow the constriction"
            )
        for place in self.narrowings:
            if place.at_mm >= self.length_mm - self.constriction_to_foramen_mm:
                raise ValueError(f"canal {self.name}: a narrowing must lie above the constriction")
        self._require_on_it()

    @property
    def length_mm(self) -> float:
        """Orifice to foramen, along the canal."""
        return self.course.length_mm

    @property
    def total_mm(self) -> float:
        """Reference cusp to foramen: what a file to the foramen measures."""
        return self.cusp_to_orifice_mm + self.length_mm

    def levels(self, *, step_mm: float = 0.1) -> Profile:
        """Depths below the orifice, shape (n,), mm, evenly spaced within `step_mm`; first 0, last the foramen.

        ValueError if the step is not above 0 mm.
        """
        return evenly_spaced(self.length_mm, step_mm)

    def narrow_mm(self, levels_mm: Profile) -> Profile:
        """What a file can pass: the narrow diameter less the stones, shape (n,), mm, at depths below the orifice.

        In any order; beyond the ends that of the end. Never above the wide diameter, never 0. ValueError if a depth is
        not finite.
        """
        levels = finite_array("a level of a canal", levels_mm)
        width = self.walled_mm(levels)
        for stone in self.stones:
            width = width - stone.diameter_mm * _round(levels, stone.at_mm, stone.length_mm)
        return width

    def walled_mm(self, levels_mm: Profile) -> Profile:
        """Narrow diameter from wall to wall, as if no stone lay in it, shape (n,), mm. ValueError as `narrow_mm`."""
        levels = finite_array("a level of a canal", levels_mm)
        own = self._own_narrow_mm(levels)
        width = own
        for place in self.narrowings:
            lost = max(0.0, float(self._own_narrow_mm(np.array(place.at_mm))) - place.narrow_mm)
            narrowed = own - lost * np.clip(1 - np.abs(levels - place.at_mm) / place.spread_mm, 0, 1)
            # an own width that falls apically must not make the canal tighter than the narrowing's tightest point
            width = np.minimum(width, np.maximum(narrowed, np.minimum(own, place.narrow_mm)))
        return np.maximum(width, self._bulge_mm(levels))

    def wide_mm(self, levels_mm: Profile) -> Profile:
        """Wide diameter, shape (n,), mm, at depths below the orifice. ValueError if a depth is not finite."""
        levels = finite_array("a level of a canal", levels_mm)
        own = self._between(levels, self.orifice.wide_mm, self.constriction.wide_mm, self.foramen.wide_mm)
        return np.maximum(own, self._bulge_mm(levels))

    def across_mm(self, levels_mm: Profile) -> tuple[Profile, Profile]:
        """Diameters from wall to wall, mesio-distal and bucco-lingual, each shape (n,), mm. ValueError as `wide_mm`."""
        narrow, wide = self.walled_mm(levels_mm), self.wide_mm(levels_mm)
        return (narrow, wide) if self.wide_side == "buccolingual" else (wide, narrow)

    def centre_line(self, start_mm: Position, *, step_mm: float = 0.1) -> Points:
        """Points from orifice to foramen, shape (n, 3), mm, in the frame of `start_mm`, the orifice."""
        return self.course.points(start_mm, step_mm=step_mm)

    def _bulge_mm(self, levels: Profile) -> Profile:
        """Diameter of the internal resorptions, 0 beside them."""
        bulge = np.zeros_like(levels)
        for place in self.resorptions:
            bulge = np.maximum(bulge, place.diameter_mm * _round(levels, place.at_mm, place.length_mm))
        return bulge

    def _require_on_it(self) -> None:
        """Check that what widens, fills or leaves the canal does so within its length."""
        for bulge in self.resorptions:
            if not bulge.length_mm / 2 <= bulge.at_mm <= self.length_mm - bulge.length_mm / 2:
                raise ValueError(
                    f"canal {self.name}: an internal resorption {bulge.length_mm} mm long at {bulge.at_mm} mm reaches "
                    f"out of a canal of {self.length_mm:.1f} mm: move it or shorten it"
                )
        for branch in self.lateral_canals:
            if branch.at_mm > self.length_mm:
                raise ValueError(
                    f"canal {self.name}: a lateral canal at {branch.at_mm} mm leaves below its end at "
                    f"{self.length_mm:.1f} mm: move it up"
                )
        for stone in self.stones:
            ends = np.linspace(stone.at_mm - stone.length_mm / 2, stone.at_mm + stone.length_mm / 2, 21)
            if not (ends[0] >= 0 and ends[-1] <= self.length_mm):
                raise ValueError(
                    f"canal {self.name}: a stone {stone.length_mm} mm long at {stone.at_mm} mm reaches out of a canal "
                    f"of {self.length_mm:.1f} mm: move it or shorten it"
                )
            left_mm = float(self.narrow_mm(ends).min())
            if left_mm < LEAST_PASSAGE_MM - 1e-9:
                raise ValueError(
                    f"canal {self.name}: the stone at {stone.at_mm} mm leaves {max(left_mm, 0.0):.2f} mm beside it, "
                    f"and the thinnest file needs {LEAST_PASSAGE_MM}: make it thinner"
                )

    def _own_narrow_mm(self, levels: Profile) -> Profile:
        """Narrow diameter without the narrowings."""
        return self._between(levels, self.orifice.narrow_mm, self.constriction.narrow_mm, self.foramen.narrow_mm)

    def _between(self, levels: Profile, orifice: float, constriction: float, foramen: float) -> Profile:
        at = [0.0, self.length_mm - self.constriction_to_foramen_mm, self.length_mm]
        return np.asarray(np.interp(levels, at, [orifice, constriction, foramen]))


def _round(levels: Profile, at_mm: float, length_mm: float) -> Profile:
    """Outline of something round that lies at a level: 1 in its middle, 0 at its ends and beyond."""
    return np.asarray(np.sqrt(np.clip(1 - ((levels - at_mm) / (length_mm / 2)) ** 2, 0, None)))
