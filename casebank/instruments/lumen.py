"""A canal at the bench: its natural shape, and the state of its lumen while it is shaped.

Depths `..._mm` along the canal count from the orifice, apically. Both values are immutable, arrays included; a move
makes a new `Lumen`. Widths are the narrow diameter, because that is where an instrument binds.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Tooth, around, facing_furcation
from casebank.instruments import advance
from casebank.instruments.contents import EMPTY, Contents
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.teaching import TEACHING

Levels = NDArray[np.float64]

STRAIGHT_PER_MM = 0.02  # a bend gentler than 50 mm in radius counts as straight
SHORTEST_SPAN_MM = 1.0
PRECURVED_PASSES_LEDGE_SIZE = 10


@dataclass(frozen=True, eq=False)
class Shape:
    """The natural canal, shape (n,) arrays at evenly spaced levels.

    Attributes
    ----------
    name : str
    levels_mm, width_mm : array
        Depth below the orifice and narrow diameter there; the last level is the foramen.
    bend_furcation_per_mm, bend_across_per_mm : array
        Curvature, 1/mm, in the plane of the furcation (+ = centre of the bend on that side) and out of it.
    furcation_mm, outer_mm : array
        Dentine towards the furcation and away from it, whichever side of the root that is.
    cusp_to_orifice_mm, constriction_at_mm : float
        Reference cusp to orifice, and the constriction's depth.
    foramen_to_apex_mm : float
        How far the root's own tip lies beyond the foramen, in the direction in which the canal ends.
    """

    name: str
    levels_mm: Levels
    width_mm: Levels
    bend_furcation_per_mm: Levels
    bend_across_per_mm: Levels
    furcation_mm: Levels
    outer_mm: Levels
    cusp_to_orifice_mm: float
    constriction_at_mm: float
    foramen_to_apex_mm: float = 0.0

    def __post_init__(self) -> None:
        _freeze(self.levels_mm, self.width_mm, self.bend_furcation_per_mm, self.bend_across_per_mm)
        _freeze(self.furcation_mm, self.outer_mm)
        if self.levels_mm.size < 3 or not (self.width_mm > 0).all():
            raise ValueError(f"canal {self.name}: the bench needs three levels or more, each wider than 0 mm")

    @property
    def length_mm(self) -> float:
        """Depth of the foramen."""
        return float(self.levels_mm[-1])

    @cached_property
    def step_mm(self) -> float:
        return float(self.levels_mm[1] - self.levels_mm[0])

    @cached_property
    def cells_mm(self) -> Levels:
        """Length of canal each level stands for: one step, half a step at either end."""
        cells = np.full_like(self.levels_mm, self.step_mm)
        cells[[0, -1]] /= 2
        return cells

    @property
    def working_depth_mm(self) -> float:
        """Depth of the working length: the published distance short of the foramen."""
        return self.length_mm - TEACHING.terminus_mm

    @cached_property
    def bend_per_mm(self) -> Levels:
        """Magnitude of the curvature, 1/mm."""
        return np.hypot(self.bend_furcation_per_mm, self.bend_across_per_mm)

    @cached_property
    def toward_furcation(self) -> Levels:
        """Share of the bend that lies towards the furcation, -1 to 1; 0 where straight."""
        return np.divide(
            self.bend_furcation_per_mm, self.bend_per_mm, out=np.zeros_like(self.levels_mm), where=self.bend_per_mm > 0
        )

    @cached_property
    def bent(self) -> NDArray[np.intp]:
        """Indices of the levels that lie in a bend."""
        return np.flatnonzero(self.span_mm)

    @cached_property
    def bends(self) -> Levels:
        """Rows (4, b) for the bent levels: index, curvature, the span a file leans on, and what 1 mm of play undoes.

        A file cannot bend over less than 1 mm. Play c across a span l lies straight in a bend of 8 c / l² (the height
        of an arc).
        """
        span = np.maximum(self.span_mm[self.bent], SHORTEST_SPAN_MM)
        return np.stack([self.bent, self.bend_per_mm[self.bent], span, 8 / (span * span)])

    @cached_property
    def span_mm(self) -> Levels:
        """Length of the bend each level belongs to; 0 where straight. A bend ends where its direction turns back."""
        bent = self.bend_per_mm > STRAIGHT_PER_MM
        along = self.bend_furcation_per_mm, self.bend_across_per_mm
        turns_back = sum(part[1:] * part[:-1] for part in along) < 0
        starts = np.flatnonzero(np.r_[True, (bent[1:] != bent[:-1]) | turns_back])
        ends = np.r_[starts[1:], bent.size]
        lengths = (ends - starts) * self.step_mm
        return np.where(bent, np.repeat(lengths, ends - starts), 0.0)


@dataclass(frozen=True)
class Notch:
    """A dent in the wall made by a tip that would not follow the canal."""

    at_mm: float
    depth_mm: float


@dataclass(frozen=True)
class Fragment:
    """A separated piece: where its coronal end lies and what it came from."""

    top_mm: float
    instrument: str


@dataclass(frozen=True)
class Terminus:
    """The prepared end: how deep the largest instrument worked to its length has been, and which it was."""

    at_mm: float
    size: int
    taper: float


@dataclass(frozen=True, eq=False)
class Lumen:
    """A canal's state.

    Attributes
    ----------
    width_mm, furcation_mm, outer_mm : array, shape (n,)
        Diameter and walls now. Their sum never changes: the root's width where the root faces the furcation
        mesio-distally. In one that faces it bucco-lingually it is less by what the canal is wider that way, and a cut
        takes from those walls from its start, so they are never shown thicker than they are.
    loose_mm3, packed_mm3 : array, shape (n,)
        Loose chips and packed mud at each level.
    wet : float
        0 dry to 1 flooded.
    stirred_mm : float
        Depth to which a small file has just stirred the chips.
    notches, life, terminus, fragment
        Damage to the wall, share of each instrument's life used in this canal (a fresh set for each canal is assumed),
        prepared end, separated piece.
    extruded_mm3 : float
        Chips pushed through the foramen.
    contents : Contents
        Gel, blood, medicament, sealer, filling.
    """

    shape: Shape
    width_mm: Levels
    furcation_mm: Levels
    outer_mm: Levels
    loose_mm3: Levels
    packed_mm3: Levels
    wet: float = 0.0
    stirred_mm: float = 0.0
    notches: tuple[Notch, ...] = ()
    life: tuple[tuple[str, float], ...] = ()
    terminus: Terminus | None = None
    fragment: Fragment | None = None
    extruded_mm3: float = 0.0
    contents: Contents = EMPTY

    def __post_init__(self) -> None:
        _freeze(self.width_mm, self.furcation_mm, self.outer_mm, self.loose_mm3, self.packed_mm3)

    @cached_property
    def cell_mm3(self) -> Levels:
        """Volume of the lumen at each level."""
        return np.pi / 4 * self.width_mm**2 * self.shape.cells_mm

    @cached_property
    def open_mm(self) -> Levels:
        """Width an instrument meets: packed mud takes up section beyond what a file pushes through."""
        return np.asarray(self.way[advance.OPEN])

    @cached_property
    def loose_share(self) -> Levels:
        """Loose chips from the orifice down to each level, as a share of the lumen there, 0 to 1."""
        return np.asarray(self.way[advance.LOOSE])

    @cached_property
    def way(self) -> Levels:
        """Rows (5, n) of this lumen for the compiled laws."""
        shape = self.shape
        way = advance.way_of(
            shape.levels_mm, shape.cells_mm, self.width_mm, self.packed_mm3, self.loose_mm3, TEACHING.mud_share
        )
        return np.asarray(way)

    @property
    def ledge_mm(self) -> float | None:
        """Depth of the first notch deep enough to be a ledge."""
        return min((notch.at_mm for notch in self.notches if notch.depth_mm >= TEACHING.ledge_mm), default=None)

    def barrier_mm(self, instrument: Instrument, precurve_per_mm: float = 0.0) -> float:
        """Depth no tip passes: a fragment, or a ledge unless a small pre-curved file finds the canal beyond it."""
        finds_the_way = precurve_per_mm > 0 and instrument.size <= PRECURVED_PASSES_LEDGE_SIZE
        ledge = None if finds_the_way else self.ledge_mm
        fragment = self.fragment.top_mm if self.fragment else None
        return min((at for at in (ledge, fragment) if at is not None), default=np.inf)

    def count_to(self, depth_mm: float) -> int:
        """Number of levels at or above a depth."""
        steps = int(np.floor(depth_mm / self.shape.step_mm + 1e-6)) + 1
        return min(self.width_mm.size, max(0, steps))

    @cached_property
    def slack_mm(self) -> float:
        """Length by which a size 10, hugging the bends of the widened canal, runs short of the first centre line."""
        shape = self.shape
        clearance = self.width_mm - Instrument(10).diameters_mm(shape.length_mm - shape.levels_mm)
        return float(np.sum(shape.bend_per_mm * np.maximum(0.0, clearance) / 2) * shape.step_mm)

    def depth_of(self, to_mm: float) -> float:
        """Depth below the orifice of a tip whose stop stands `to_mm` from the reference cusp."""
        return to_mm - self.shape.cusp_to_orifice_mm + self.slack_mm

    def reading_of(self, depth_mm: float) -> float:
        """Length from the reference cusp at which a tip lies at a depth: the inverse of `depth_of`."""
        return depth_mm + self.shape.cusp_to_orifice_mm - self.slack_mm


@lru_cache(maxsize=128)
def shape_of(tooth: Tooth, canal_name: str) -> Shape:
    """The natural shape of one of a tooth's canals.

    Raises
    ------
    ValueError
        If the tooth has no canal of that name.
    """
    names = [canal.name for canal in tooth.canals]
    if canal_name not in names:
        raise ValueError(f"there is no canal {canal_name}: this tooth has {', '.join(names)}")
    canal = tooth.canal(canal_name)
    root = tooth.root(canal.root)
    levels = canal.levels(step_mm=0.1)
    walls = around(canal, tooth.orifice_of(canal), root, tooth.roots, step_mm=0.1)
    bends, tangents = canal.course.bends(levels), canal.course.directions(levels)
    facing = facing_furcation(root, tooth.roots)
    toward = facing - (tangents @ facing)[:, None] * tangents
    toward /= np.linalg.norm(toward, axis=1)[:, None]
    foramen_mm = canal.course.at(tooth.orifice_of(canal), levels[-1:])[0]
    return Shape(
        name=canal.name,
        levels_mm=levels,
        width_mm=canal.narrow_mm(levels),
        bend_furcation_per_mm=(bends * toward).sum(axis=1),
        bend_across_per_mm=(bends * np.cross(tangents, toward)).sum(axis=1),
        furcation_mm=walls.furcation_mm,
        outer_mm=walls.outer_mm,
        cusp_to_orifice_mm=canal.cusp_to_orifice_mm,
        constriction_at_mm=canal.length_mm - canal.constriction_to_foramen_mm,
        foramen_to_apex_mm=max(0.0, float((root.apex_mm - foramen_mm) @ tangents[-1])),
    )


def untouched(shape: Shape) -> Lumen:
    """The lumen before the first instrument: dry, empty, of its natural width."""
    empty = np.zeros_like(shape.levels_mm)
    return Lumen(shape, shape.width_mm, shape.furcation_mm, shape.outer_mm, empty, empty)


def _freeze(*arrays: Levels) -> None:
    for array in arrays:
        array.flags.writeable = False
