"""What a cut leaves standing: the thinnest outer wall of crown and root, and the floor over the furcation.

A cell of the cut lies some way within the cut's own wall, so what is left outside that wall is the cell's distance to
the outer surface less that way. The least over all cells is the wall. It can only fall when an outline grows, since
then more cells are cut and each lies further within.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_cut import Cut
from casebank.anatomy.access_reach import side_of


@dataclass(frozen=True)
class Wall:
    """The thinnest place: how thick, mm, not below 0; toward which side; where (distal, lingual, depth)."""

    thick_mm: float
    side: str
    at_mm: tuple[float, float, float]


@dataclass(frozen=True)
class WallsLeft:
    """Thinnest walls of crown and root, least floor over the furcation; none where a cut comes near no such place."""

    crown: Wall | None
    root: Wall | None
    furcation: Wall | None


def walls_left(cut: Cut) -> WallsLeft:
    """The thinnest places a cut leaves."""
    lattice = cut.prepared.lattice
    met = np.flatnonzero(cut.inside[lattice.column] & (lattice.depth_mm <= cut.limit_mm[lattice.column]))
    if not met.size:
        return WallsLeft(None, None, None)
    column, depth = lattice.column[met], lattice.depth_mm[met]
    steep = float(np.cos(np.arctan(cut.slope)))
    within = np.clip(np.minimum(steep * cut.room_mm(column, depth), cut.depth_mm - depth), 0.0, None)
    wall, fork = lattice.wall_mm[met] - within, lattice.fork_mm[met] - within
    # the arch of the furcation is told apart from the root's other surface
    above, below = lattice.height_mm[met] >= 0, (lattice.height_mm[met] < 0) & (wall + 1e-6 < fork)
    return WallsLeft(
        _thinnest(cut, met, np.where(above, wall, np.inf)),
        _thinnest(cut, met, np.where(below, wall, np.inf)),
        _thinnest(cut, met, fork, furcation=True),
    )


def _thinnest(cut: Cut, met: NDArray[np.int64], thick: NDArray[np.float64], *, furcation: bool = False) -> Wall | None:
    least = int(thick.argmin())
    if not np.isfinite(thick[least]):
        return None
    lattice, block = cut.prepared.lattice, cut.prepared.block
    column, depth = int(lattice.column[met[least]]), float(lattice.depth_mm[met[least]])
    distal, lingual = block.middles[column].tolist()
    side = "furcation" if furcation else side_of(_towards_surface(cut, column, depth), upper=block.frame.is_upper)
    return Wall(max(0.0, float(thick[least])), side, (distal, lingual, depth))


def _towards_surface(cut: Cut, column: int, depth_mm: float) -> NDArray[np.float64]:
    """The way across the tooth in which the outer surface comes nearer, shape (2,)."""
    block, wall = cut.prepared.block, cut.prepared.wall_mm
    p, q, _ = block.tissue.shape
    i, j = divmod(column, q)
    k = int(np.clip((depth_mm - block.first_mm) / block.pitch_mm, 0, wall.shape[2] - 1))
    i, j = int(np.clip(i, 1, p - 2)), int(np.clip(j, 1, q - 2))
    return np.array([wall[i - 1, j, k] - wall[i + 1, j, k], wall[i, j - 1, k] - wall[i, j + 1, k]], dtype=np.float64)
