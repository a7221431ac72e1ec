"""What of a block can be worked out before any outline is drawn: once for a tooth and an axis of the bur."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.anatomy.access_block import HARD, AccessBlock, Tissue
from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_rim import may_be_opened
from casebank.anatomy.access_ways import CanalWays, canal_ways

WATCHED_MM = 4.0  # thicker walls are of no interest
FORK_MM = 2.0  # how far from its stated height the arch of a furcation is looked for

Column = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Lattice:
    """Hard cells near an outer surface: column, depth of the middle, height over the neck, walls to the outer surface
    and to the furcation, each shape (n,), mm."""

    column: NDArray[np.int32]
    depth_mm: NDArray[np.float32]
    height_mm: NDArray[np.float32]
    wall_mm: NDArray[np.float32]
    fork_mm: NDArray[np.float32]


class Prepared:
    """A block with all that a verdict looks up, worked out on first use and kept in the least room that holds it.

    What only leads to something kept is worked out again instead: a server holds several teeth at a time.
    """

    def __init__(self, block: AccessBlock) -> None:
        self.block = block
        p, q, n = block.tissue.shape
        self.tissue = block.tissue.reshape(p * q, n)

    def warmed(self) -> "Prepared":
        """The same, with everything a verdict needs worked out."""
        _ = self.met, self.lattice, self.ways, self.bottom_mm, self.fork_cells
        return self

    @property
    def hard(self) -> NDArray[np.bool_]:
        """Cells of hard tissue, shape (columns, n)."""
        return np.isin(self.tissue, HARD)

    @cached_property
    def chamber(self) -> NDArray[np.bool_]:
        """Cells of the chamber: pulp above the floor's level, shape (columns, n)."""
        floor_z = self.block.tooth.crown.height_mm - self.block.tooth.chamber.floor_mm
        return np.asarray((self.tissue == Tissue.PULP) & (self.block.heights_mm >= floor_z))

    @cached_property
    def over(self) -> NDArray[np.bool_]:
        """Columns through the chamber."""
        return np.asarray(self.chamber.any(axis=1))

    @cached_property
    def roof_mm(self) -> Column:
        """Depth of the chamber's roof per column; infinite beside it."""
        return np.where(self.over, self._begins(self.chamber), np.inf)

    @cached_property
    def openable(self) -> NDArray[np.bool_]:
        """Columns that may be opened: clear of the crown's ridges and of a front tooth's edge."""
        return may_be_opened(self.block.frame, self.block.on_map(self.block.middles))

    @cached_property
    def roof(self) -> NDArray[np.bool_]:
        """Columns over the chamber whose roof an opening can be asked to lift: all, unless a ridge is to be kept."""
        clear = self.over & self.openable
        return clear if clear.any() else self.over

    @cached_property
    def floor_mm(self) -> float:
        """Depth of the chamber's floor along the bur: the median of its columns."""
        last = self.tissue.shape[1] - self.chamber[self.over][:, ::-1].argmax(axis=1)
        return float(np.median(self.block.first_mm + self.block.pitch_mm * last))

    @cached_property
    def top_mm(self) -> Column:
        """Depth of the outermost surface per column; infinite where there is no tooth."""
        return np.where(self.tissue.any(axis=1), self._begins(self.tissue > 0), np.inf)

    @cached_property
    def bottom_mm(self) -> Column:
        """Depth at which a bur first comes out of the tooth again, per column; infinite if it does not in the block."""
        below = (self.tissue == Tissue.NOTHING) & (self.block.depths_mm[None, :] > self.top_mm[:, None])
        return np.where(below.any(axis=1), self._begins(below), np.inf)

    @cached_property
    def mouth_mm(self) -> float:
        """Depth from which walls are measured; none above it, and of a front tooth the whole cut."""
        if self.block.frame.seen_from != "above":
            return -np.inf
        return self._level_mm + ACCESS.mouth_mm

    @cached_property
    def entry_mm(self) -> Column:
        """Depth per column from which a cut's walls close in: the level the outline is drawn on, or the surface."""
        if self.block.frame.seen_from == "above":
            return np.full(len(self.tissue), self._level_mm)
        return np.where(np.isfinite(self.top_mm), self.top_mm, 0.0)

    @cached_property
    def _level_mm(self) -> float:
        """Depth of a back tooth's fossa."""
        fossa = self.block.frame.to_tooth(np.array([[0.0, 0.0, float(self.block.facing.heights_mm[0])]]))
        return float(self.block.in_columns(fossa)[0, 2])

    @cached_property
    def needed(self) -> NDArray[np.bool_]:
        """Hard cells that have to go, over the chamber and round the straight way to each canal, shape (columns, n)."""
        block = self.block
        p, q, _ = block.tissue.shape
        grid = self.roof.reshape(p, q)
        apart, nearest = ndimage.distance_transform_edt(~grid, return_indices=True)
        roof = self.roof_mm.reshape(p, q)[tuple(nearest)].ravel()
        above = roof[:, None] - np.maximum(block.depths_mm[None, :], self.entry_mm[:, None])
        spare = ACCESS.margin_mm + np.tan(np.radians(ACCESS.flare_deg)) * np.maximum(above, 0.0)
        need = ((apart * block.pitch_mm).ravel()[:, None] <= spare) & (block.depths_mm[None, :] <= roof[:, None])
        reach = ACCESS.shaft_mm + ACCESS.margin_mm
        for way in self.ways:
            shift = np.outer(block.depths_mm - way.orifice[2], way.slope)
            there = block.depths_mm <= way.orifice[2]
            for cell in np.flatnonzero(there):
                at = way.orifice[:2] + shift[cell]
                need[((block.middles - at) ** 2).sum(axis=1) <= reach**2, cell] = True
        return np.asarray(need & self.hard & self.openable[:, None])

    @cached_property
    def need_mm3(self) -> float:
        """Hard tissue that has to go."""
        return float(self.needed.sum()) * self.block.pitch_mm**3

    @cached_property
    def met(self) -> dict[str, NDArray[np.uint16]]:
        """Cells of a tissue above each boundary of cells, by its name, each shape (columns, n + 1)."""
        kinds = {
            "enamel": self.tissue == Tissue.ENAMEL,
            "dentine": self.tissue == Tissue.DENTINE,
            "prosthesis": self.tissue == Tissue.PROSTHESIS,
            "filling": self.tissue == Tissue.FILLING,
            "caries": self.tissue == Tissue.CARIES,
            "needed": self.needed,
        }
        out = {}
        for name, cells in kinds.items():
            if cells.any():
                summed = np.zeros((cells.shape[0], cells.shape[1] + 1), dtype=np.uint16)
                np.cumsum(cells, axis=1, dtype=np.uint16, out=summed[:, 1:])
                out[name] = summed
        return out

    @property
    def outside(self) -> NDArray[np.bool_]:
        """Cells beyond the tooth's sides and roots, shape (p, q, n); not the air over the chewing surface."""
        over = self.block.depths_mm[None, :] < self.top_mm[:, None]
        if np.isfinite(self.mouth_mm):
            over &= (self.block.depths_mm < self.mouth_mm)[None, :]
        beside = (self.tissue == Tissue.NOTHING) & ~(over & np.isfinite(self.top_mm)[:, None])
        return np.asarray(beside.reshape(self.block.tissue.shape))

    @property
    def wall_mm(self) -> NDArray[np.float16]:
        """Distance from each cell's middle to what is outside, shape (p, q, n), mm, to 0.004."""
        return self._near_surfaces[1]

    @cached_property
    def fork_cells(self) -> NDArray[np.bool_]:
        """Cells right under the arch of the furcation, shape (p, q, n); none where the roots do not part."""
        tooth, block = self.block.tooth, self.block
        cells = np.zeros(self.tissue.shape, dtype=bool)
        if tooth.furcation_mm is None:
            return cells.reshape(block.tissue.shape)
        cells[:, 1:] = (self.tissue[:, 1:] == Tissue.NOTHING) & (self.tissue[:, :-1] != Tissue.NOTHING)
        heights = block.heights_mm - (tooth.crown.height_mm - tooth.furcation_mm)
        starts = np.array([root.start_mm for root in tooth.roots])
        low, high = (block.in_columns(starts)[:, :2].min(axis=0), block.in_columns(starts)[:, :2].max(axis=0))
        depth = np.maximum(block.depths_mm - self.floor_mm, 0.0)[None, :]
        lean = (block.axes[:2, 2] / block.axes[2, 2])[:, None]
        # between the roots, which below the floor shift sideways against a bur that leans off them
        for side in (0, 1):
            place = block.middles[:, side][:, None] + lean[side] * depth
            cells &= (place >= low[side] - 0.5) & (place <= high[side] + 0.5)
        cells &= np.abs(heights) <= FORK_MM
        return cells.reshape(block.tissue.shape)

    @property
    def lattice(self) -> Lattice:
        """Hard cells within `WATCHED_MM` of an outer surface or the furcation."""
        return self._near_surfaces[0]

    @cached_property
    def _near_surfaces(self) -> tuple[Lattice, NDArray[np.float16]]:
        depths, pitch, shape = self.block.depths_mm, self.block.pitch_mm, self.tissue.shape
        wall, fork = (_apart_mm(cells, pitch) for cells in (self.outside, self.fork_cells))
        wide, arch = wall.reshape(shape), fork.reshape(shape)
        near = self.hard & ((wide <= WATCHED_MM) | (arch <= WATCHED_MM)) & (depths >= self.mouth_mm)[None, :]
        column, cell = np.nonzero(near)
        lattice = Lattice(
            column.astype(np.int32),
            depths[cell].astype(np.float32),
            self.block.heights_mm[near],
            wide[near],
            arch[near],
        )
        return lattice, wall.astype(np.float16)

    @cached_property
    def ways(self) -> tuple[CanalWays, ...]:
        """Straight ways into each canal, in the tooth's order of canals."""
        return tuple(canal_ways(self.block, self.tissue, self.top_mm, canal) for canal in self.block.tooth.canals)

    @cached_property
    def natural_fork_mm(self) -> float | None:
        """From the chamber's floor to the furcation in the uncut tooth; none where the roots do not part."""
        if not self.fork_cells.any():
            return None
        below = self.chamber[:, :-1] & ~self.chamber[:, 1:]
        column, cell = np.nonzero(below)
        place = np.stack([*self.block.middles[column].T, self.block.depths_mm[cell]], axis=1)
        p, q, n = np.nonzero(self.fork_cells)
        arch = np.stack([*self.block.middles[p * self.block.tissue.shape[1] + q].T, self.block.depths_mm[n]], axis=1)
        gaps = np.linalg.norm(place[::7, None] - arch[None, ::3], axis=2)
        return float(gaps.min()) - self.block.pitch_mm

    def _begins(self, cells: NDArray[np.bool_]) -> Column:
        return np.asarray(self.block.first_mm + self.block.pitch_mm * cells.argmax(axis=1))


def _apart_mm(cells: NDArray[np.bool_], pitch_mm: float) -> NDArray[np.float32]:
    """From every cell's middle to the nearest of some cells, mm, of the same shape; infinite if there is none."""
    if not cells.any():
        return np.full(cells.shape, np.inf, dtype=np.float32)
    return np.asarray((ndimage.distance_transform_edt(~cells) - 0.5) * pitch_mm, dtype=np.float32)
