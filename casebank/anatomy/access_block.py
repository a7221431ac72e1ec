"""A tooth as columns along a bur's axis: which tissue lies at which depth, and how its map lies over them.

Columns stand on an even grid square to the bur; depth runs along it, from the crown's highest point down. Lengths mm.
"""

from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_plan import BurAxis
from casebank.anatomy.access_polygon import Plane
from casebank.anatomy.course import Points
from casebank.anatomy.occlusal import MapFrame, map_frame
from casebank.anatomy.tooth import Tooth

LEAST_FALL = 0.15  # of a front tooth's surface as a bur sees it, mm per mm: what falls away more steeply is not seen


class Tissue(IntEnum):
    """What a column passes; what stands in chamber or canals counts as pulp."""

    NOTHING = 0
    ENAMEL = 1
    DENTINE = 2
    PULP = 3
    PROSTHESIS = 4
    FILLING = 5
    CARIES = 6


HARD = (Tissue.ENAMEL, Tissue.DENTINE, Tissue.PROSTHESIS, Tissue.FILLING, Tissue.CARIES)


@dataclass(frozen=True, eq=False)
class Facing:
    """The surface an outline is drawn on, along the map's second coordinate.

    Attributes
    ----------
    along_mm, heights_mm : arrays, shape (n,), mm
        Second crown coordinate, ascending, and height of the surface toward the eye; one value for a level surface.
    """

    along_mm: NDArray[np.float64]
    heights_mm: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class AccessBlock:
    """One tooth in columns, for one axis of the bur.

    Attributes
    ----------
    tooth : Tooth
    axis : BurAxis
    tissue : array of uint8, shape (p, q, n)
        `Tissue` of each cell, distally, lingually and down.
    pitch_mm : float
        Edge of a cell.
    corner_mm : tuple of two floats
        Distal and lingual place of the first column's middle.
    top_mm : float
        Height along the bur, in the tooth frame, at which the first cells begin.
    facing : Facing
    first_mm : float
        Depth at which the first cells begin, 0 being the crown's highest point.
    prosthesis : str
        "crown" or "bridge" if the tooth carries one, else "".
    """

    tooth: Tooth
    axis: BurAxis
    tissue: NDArray[np.uint8]
    pitch_mm: float
    corner_mm: tuple[float, float]
    top_mm: float
    facing: Facing
    first_mm: float = 0.0
    prosthesis: str = ""

    def __post_init__(self) -> None:
        if self.tissue.ndim != 3 or self.tissue.dtype != np.uint8:
            raise ValueError("a block needs its tissue as whole numbers in three directions: give an array of uint8")
        if not (self.tissue > 0).any():
            raise ValueError("a block without any tissue holds no tooth: cut its columns through the crown")

    @cached_property
    def frame(self) -> MapFrame:
        """The map the outline is drawn on."""
        return map_frame(self.tooth)

    @cached_property
    def axes(self) -> NDArray[np.float64]:
        """Unit vectors distally, lingually and out of the tooth along the bur, as rows, shape (3, 3), tooth frame."""
        return bur_axes(self.tooth, self.axis)

    @cached_property
    def middles(self) -> Plane:
        """Places of the columns' middles, shape (p * q, 2), mm."""
        p, q, _ = self.tissue.shape
        first, second = (start + self.pitch_mm * np.arange(n) for start, n in zip(self.corner_mm, (p, q), strict=True))
        return np.stack([each.ravel() for each in np.meshgrid(first, second, indexing="ij")], axis=1)

    @cached_property
    def depths_mm(self) -> NDArray[np.float64]:
        """Depths of the cells' middles, shape (n,)."""
        return np.asarray(self.first_mm + self.pitch_mm * (np.arange(self.tissue.shape[2]) + 0.5), dtype=np.float64)

    @property
    def heights_mm(self) -> NDArray[np.float32]:
        """Heights of all cells' middles over the neck, tooth frame, shape (p * q, n)."""
        columns = self.middles @ self.axes[:2, 2]
        along = (self.top_mm + self.first_mm - self.depths_mm) * self.axes[2, 2]
        return np.asarray(columns[:, None] + along[None, :], dtype=np.float32)

    def height_mm(self, column: int, depth_mm: float) -> float:
        """Height over the neck of a place in a column, tooth frame."""
        along = (self.top_mm + self.first_mm - depth_mm) * self.axes[2, 2]
        return float(self.middles[column] @ self.axes[:2, 2] + along)

    def in_columns(self, points_mm: Points) -> Points:
        """Points of the tooth frame, shape (n, 3), as distal, lingual and depth, mm."""
        local = np.asarray(points_mm) @ self.axes.T
        local[:, 2] = self.top_mm + self.first_mm - local[:, 2]
        return np.asarray(local)

    def cell_of(self, places: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Column and cell, nearest inside the block, of places (distal, lingual, depth), shape (..., 3)."""
        p, q, n = self.tissue.shape
        across = np.rint((places[..., :2] - self.corner_mm) / self.pitch_mm).astype(np.int64)
        down = np.floor((places[..., 2] - self.first_mm) / self.pitch_mm + 1e-9).astype(np.int64)
        column = np.clip(across[..., 0], 0, p - 1) * q + np.clip(across[..., 1], 0, q - 1)
        return column, np.clip(down, 0, n - 1)

    def laid(self, outline: Plane) -> Plane:
        """An outline on the map, shape (n, 2), laid on the crown and seen along the bur, shape (m, 2), mm.

        Its sides are divided wherever the surface bends, so that one outline within another stays within it.
        """
        crown = outline * [self.frame.x_right, self.frame.along_down]
        if len(self._knots[0]) > 1:
            crown = _divided(crown, self._knots[0])
        return self._seen(crown)

    def on_map(self, places: Plane) -> Plane:
        """Places among the columns, shape (n, 2), back on the map, shape (n, 2), mm."""
        knots, heights = self._knots
        distal, lingual = self._cross
        # along the columns' lingual axis a place is x * distal[1] + height and along * lingual[1]: solved for both
        line = knots * lingual[1] + heights * self._rise[1]
        if len(knots) == 1:
            matrix = np.array([distal, lingual])
            crown = (places - heights[0] * self._rise) @ np.linalg.inv(matrix)
        else:
            order = np.argsort(line)
            x = places[:, 0].copy()
            along = np.zeros(len(places))
            for _ in range(8):  # the first coordinate leans but little on the second
                along = _beyond(places[:, 1] - x * distal[1], line[order], knots[order])
                height = _beyond(along, knots, heights)
                x = (places[:, 0] - along * lingual[0] - height * self._rise[0]) / distal[0]
            crown = np.stack([x, along], axis=1)
        return np.asarray(crown * [self.frame.x_right, self.frame.along_down])

    @cached_property
    def _cross(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """One mm distally and one mm along the map's second coordinate, as seen along the bur, each shape (2,)."""
        across = self.axes[:2] @ self.frame.axes
        return across[:, 0], across @ self.frame.along

    @cached_property
    def _rise(self) -> NDArray[np.float64]:
        """One mm toward the eye, as seen along the bur, shape (2,)."""
        return np.asarray(self.axes[:2] @ self.frame.axes @ self.frame.toward_eye)

    @cached_property
    def _knots(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The facing surface, its heights raised where it would turn away from the bur and fold over itself."""
        along, heights = self.facing.along_mm, self.facing.heights_mm.copy()
        if len(along) == 1:
            return along, heights
        line = along * self._cross[1][1] + heights * self._rise[1]
        for k in range(len(along) - 2, -1, -1):  # from the edge towards the neck a bur sees ever more lingual places
            line[k] = max(line[k], line[k + 1] + LEAST_FALL * (along[k + 1] - along[k]))
        return along, (line - along * self._cross[1][1]) / self._rise[1]

    def _seen(self, crown: Plane) -> Plane:
        knots, heights = self._knots
        height = np.full(len(crown), heights[0]) if len(knots) == 1 else _beyond(crown[:, 1], knots, heights)
        distal, lingual = self._cross
        return np.asarray(np.outer(crown[:, 0], distal) + np.outer(crown[:, 1], lingual) + np.outer(height, self._rise))


def bur_axes(tooth: Tooth, axis: BurAxis) -> NDArray[np.float64]:
    """Unit vectors distally, lingually and out of the tooth along a bur, as rows, shape (3, 3), tooth frame."""
    out = axis.out_of(tooth)
    distal = map_frame(tooth).axes[:, 0]
    distal = distal - (distal @ out) * out
    distal /= np.linalg.norm(distal)
    return np.stack([distal, np.cross(out, distal), out])


def _divided(line: Plane, knots: NDArray[np.float64]) -> Plane:
    """A closed line with a point more wherever its second coordinate passes a knot."""
    parts = []
    for begin, end in zip(line, np.roll(line, -1, axis=0), strict=True):
        rise = end[1] - begin[1]
        shares = (knots - begin[1]) / rise if abs(rise) > 1e-12 else np.zeros(0)
        shares = np.sort(shares[(shares > 1e-9) & (shares < 1 - 1e-9)])
        parts.append(begin + np.r_[0.0, shares][:, None] * (end - begin))
    return np.concatenate(parts)


def _beyond(at: NDArray[np.float64], knots: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Between knots, and beyond them along the last stretch."""
    inner = np.interp(at, knots, values)
    low = (values[1] - values[0]) / (knots[1] - knots[0])
    high = (values[-1] - values[-2]) / (knots[-1] - knots[-2])
    below, above = np.minimum(at - knots[0], 0.0), np.maximum(at - knots[-1], 0.0)
    return np.asarray(inner + low * below + high * above)
