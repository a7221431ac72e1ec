"""A tooth: crown, chamber, roots and canals in one frame, checked to fit each other.

Levels named `..._mm` on chamber and furcation are depths below the reference cusp, as a clinician measures them; the
frame's height z follows as crown height minus depth.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import walls, within
from casebank.anatomy.branches import LateralCanal, Slit
from casebank.anatomy.canal import Canal
from casebank.anatomy.course import Points, Position, bearing
from casebank.anatomy.finite import evenly_spaced, require_finite
from casebank.anatomy.root import Root
from casebank.anatomy.stones import ChamberStone

FDI_NUMBERS = frozenset(quadrant * 10 + place for quadrant in (1, 2, 3, 4) for place in range(1, 9))


@dataclass(frozen=True)
class Crown:
    """The crown as it stands now, natural or restored.

    Attributes
    ----------
    height_mm : float
        Neck to reference cusp.
    mesiodistal_mm, buccolingual_mm : float
        Greatest widths.
    neck_mesiodistal_mm, neck_buccolingual_mm : float
        Widths at the neck.
    off_root_mesiodistal_deg, off_root_buccolingual_deg : float
        How far the crown's axis departs from the roots'; + = its occlusal end lies distally, or lingually, of theirs.

    Raises
    ------
    ValueError
        If a size is not above 0 or a number is not finite.
    """

    height_mm: float
    mesiodistal_mm: float
    buccolingual_mm: float
    neck_mesiodistal_mm: float
    neck_buccolingual_mm: float
    off_root_mesiodistal_deg: float = 0.0
    off_root_buccolingual_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a crown", [(field.name, getattr(self, field.name)) for field in fields(self)])
        sizes = (self.height_mm, self.mesiodistal_mm, self.buccolingual_mm)
        if not min(*sizes, self.neck_mesiodistal_mm, self.neck_buccolingual_mm) > 0:
            raise ValueError("a crown needs height and widths above 0 mm")


@dataclass(frozen=True)
class Chamber:
    """The pulp chamber.

    Attributes
    ----------
    roof_mm, floor_mm : float
        Depths below the reference cusp, the roof first.
    mesiodistal_mm, buccolingual_mm : float
        Widths at the floor.
    stones : tuple of ChamberStone

    Raises
    ------
    ValueError
        If the roof is not above the floor, a width is not above 0, a number is not finite, or a stone does not fit.
    """

    roof_mm: float
    floor_mm: float
    mesiodistal_mm: float
    buccolingual_mm: float
    stones: tuple[ChamberStone, ...] = ()

    def __post_init__(self) -> None:
        numbers = ("roof_mm", "floor_mm", "mesiodistal_mm", "buccolingual_mm")
        require_finite("a chamber", [(name, getattr(self, name)) for name in numbers])
        if not 0 < self.roof_mm < self.floor_mm:
            raise ValueError(
                f"a chamber with its roof at {self.roof_mm} mm and its floor at {self.floor_mm} mm is upside down: "
                "both are depths below the cusp, the roof first"
            )
        if not min(self.mesiodistal_mm, self.buccolingual_mm) > 0:
            raise ValueError("a chamber needs widths above 0 mm")
        for stone in self.stones:
            self._require_holds(stone)

    @property
    def height_mm(self) -> float:
        """Roof to floor."""
        return self.floor_mm - self.roof_mm

    def _require_holds(self, stone: ChamberStone) -> None:
        half = stone.height_mm / 2
        aside = abs(stone.distal_mm) + stone.mesiodistal_mm / 2 > self.mesiodistal_mm / 2
        across = abs(stone.lingual_mm) + stone.buccolingual_mm / 2 > self.buccolingual_mm / 2
        if aside or across or not self.roof_mm <= stone.depth_mm - half <= stone.depth_mm + half <= self.floor_mm:
            raise ValueError(
                f"a stone {stone.mesiodistal_mm} × {stone.buccolingual_mm} × {stone.height_mm} mm at "
                f"{stone.depth_mm} mm below the cusp does not fit the chamber of {self.mesiodistal_mm} × "
                f"{self.buccolingual_mm} mm from {self.roof_mm} to {self.floor_mm} mm: make it smaller or move it"
            )


@dataclass(frozen=True)
class Tooth:
    """One tooth.

    Attributes
    ----------
    number : int
        Two-digit designation of a permanent tooth (ISO 3950).
    crown : Crown
    chamber : Chamber
    roots, canals : tuple of Root, tuple of Canal
        At least one of each; names do not repeat.
    furcation_mm : float or None
        Depth of the furcation below the reference cusp; none for a single root.
    slits : tuple of Slit
        What joins canals into one of another section, such as a C.

    Raises
    ------
    ValueError
        If there is no such tooth, a name repeats or is missing, the furcation is not below the chamber's floor, or a
        canal's root is unknown; naming canal, root and level, if a canal leaves its root or ends off its surface, a
        lateral canal does not reach it, a resorption from outside comes too near a canal, or a slit leaves dentine.
    """

    number: int
    crown: Crown
    chamber: Chamber
    roots: tuple[Root, ...]
    canals: tuple[Canal, ...]
    furcation_mm: float | None = None
    slits: tuple[Slit, ...] = ()

    def __post_init__(self) -> None:
        if self.number not in FDI_NUMBERS:
            raise ValueError(f"{self.number} is no permanent tooth: use the two-digit designation, 11 to 48")
        require_finite(f"tooth {self.number}", [("furcation_mm", self.furcation_mm)])
        if self.furcation_mm is not None and self.furcation_mm <= self.chamber.floor_mm:
            raise ValueError(
                f"a furcation {self.furcation_mm} mm below the cusp lies in the chamber, whose floor is at "
                f"{self.chamber.floor_mm} mm: put it deeper, or leave it out for a single root"
            )
        names = [root.name for root in self.roots]
        if len(set(names)) != len(names) or not names:
            raise ValueError("a tooth needs at least one root, and each root its own name")
        if not self.canals or len({canal.name for canal in self.canals}) != len(self.canals):
            raise ValueError("a tooth needs at least one canal, and each canal its own name")
        for canal in self.canals:
            if canal.root not in names:
                raise ValueError(f"canal {canal.name} names root {canal.root}, which this tooth does not have: {names}")
            walls.require_inside(canal, self.orifice_of(canal), self.root(canal.root))
        for slit in self.slits:
            self._require_in_dentine(slit)

    @property
    def is_upper(self) -> bool:
        """Whether the tooth stands in the upper jaw."""
        return self.number // 10 in (1, 2)

    @property
    def is_molar(self) -> bool:
        """Whether the tooth is a molar, wisdom teeth included."""
        return self.number % 10 >= 6

    @property
    def length_mm(self) -> float:
        """Reference cusp to the apex furthest from it, along the tooth's axis."""
        return self.crown.height_mm - min(float(root.apex_mm[2]) for root in self.roots)

    def root(self, name: str) -> Root:
        """The root of that name. KeyError with the names there are, if it has none."""
        for root in self.roots:
            if root.name == name:
                return root
        raise KeyError(f"no root {name}: this tooth has {', '.join(root.name for root in self.roots)}")

    def canal(self, name: str) -> Canal:
        """The canal of that name. KeyError with the names there are, if it has none."""
        for canal in self.canals:
            if canal.name == name:
                return canal
        raise KeyError(f"no canal {name}: this tooth has {', '.join(canal.name for canal in self.canals)}")

    def orifice_of(self, canal: Canal) -> Position:
        """The orifice in the tooth frame, mm."""
        return (*canal.orifice_mm, self.crown.height_mm - canal.cusp_to_orifice_mm)

    def centre_line(self, canal: Canal, *, step_mm: float = 0.1) -> Points:
        """Points from orifice to foramen, shape (n, 3), tooth frame, mm."""
        return canal.centre_line(self.orifice_of(canal), step_mm=step_mm)

    def foramen_to_apex_mm(self, canal: Canal) -> float:
        """Straight distance from the foramen's centre to the tip of its root."""
        foramen = canal.course.at(self.orifice_of(canal), np.array([canal.length_mm]))[0]
        return float(np.linalg.norm(foramen - self.root(canal.root).apex_mm))

    def branch_line(self, canal: Canal, branch: LateralCanal) -> Points:
        """Both ends of a lateral canal, shape (2, 3), tooth frame, mm: in its canal and on the root's surface."""
        return within.branch_line(branch, canal, self.orifice_of(canal), self.root(canal.root))

    def slit_sections(self, slit: Slit, depths_mm: NDArray[np.float64], count: int) -> NDArray[np.float64]:
        """Middle lines of a slit's sections at depths below the cusp, shape (n, count, 3), tooth frame, mm.

        Each runs from one canal to the other on an arc. KeyError if the tooth lacks one of the canals.
        """
        heights = self.crown.height_mm - depths_mm
        ends = []
        for name in slit.canals:
            line = self.centre_line(self.canal(name))[::-1]
            ends.append(np.stack([np.interp(heights, line[:, 2], line[:, axis]) for axis in range(3)], axis=1))
        share = np.linspace(0.0, 1.0, count)[None, :, None]
        first, second = (end[:, None, :] for end in ends)
        return np.asarray(
            first + share * (second - first) + 4 * share * (1 - share) * slit.bow_mm * bearing(slit.bow_toward_deg)
        )

    def _require_in_dentine(self, slit: Slit) -> None:
        names = {canal.name for canal in self.canals}
        if not set(slit.canals) <= names:
            raise ValueError(f"a slit joins {' and '.join(slit.canals)}, and this tooth has {', '.join(sorted(names))}")
        both = [self.canal(name) for name in slit.canals]
        for canal in both:
            reach = self.crown.height_mm - self.centre_line(canal)[:, 2]
            if not reach[0] <= slit.from_mm < slit.to_mm <= reach[-1]:
                raise ValueError(
                    f"a slit from {slit.from_mm} to {slit.to_mm} mm below the cusp reaches out of canal {canal.name}, "
                    f"which runs from {reach[0]:.1f} to {reach[-1]:.1f} mm: shorten it"
                )
        depths = evenly_spaced(slit.to_mm - slit.from_mm, 0.5) + slit.from_mm
        points = self.slit_sections(slit, depths, 13)
        inside = np.zeros(points.shape[:2], dtype=bool)
        for name in {canal.root for canal in both}:
            root = self.root(name)
            place = within.in_root(points.reshape(-1, 3), root)
            deep = place.depth_mm(rounded_end=root.end == "rounded")
            inside |= (deep >= slit.thickness_mm / 2 + walls.LEAST_WALL_MM).reshape(inside.shape)
        if not inside.all():
            depth = float(depths[np.argmax(~inside.all(axis=1))])
            raise ValueError(
                f"the slit between {both[0].name} and {both[1].name} leaves root {both[0].root} {depth:.1f} mm below "
                "the cusp: bow it less, end it higher, or let both canals run in one wider root"
            )
