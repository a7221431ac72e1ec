"""What an outline, swept along the bur to a depth, takes out of a prepared tooth.

The walls of the cut close in towards its floor by the plan's flare, from the level the outline is drawn on; its floor
is square to the bur. Once the bur has come into the chamber, the chamber's roof is lifted from inside wherever it lies
within those walls. So a cut is one depth for each column. Where an outline passes through a column it takes the share
of it that a straight side would.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_plan import AccessPlan
from casebank.anatomy.access_polygon import within_mm
from casebank.anatomy.access_prepared import Column, Prepared
from casebank.anatomy.access_rim import on_crown

LEAST_FLARE_DEG = 0.01  # less closes by a few micrometres over the deepest cut: walls run straight
LEAST_ROOF_MM2 = 0.15  # smaller rests of a roof have no name of their own


@dataclass(frozen=True, eq=False)
class Cut:
    """A cut: how deep the bur's stop is, how steeply its walls close in, and how far each column lies in the outline.

    Attributes
    ----------
    depth_mm : float
    slope : float
        Sideways mm per mm of depth.
    within_mm : array, shape (columns,)
        Below 0 outside the outline.
    """

    prepared: Prepared
    depth_mm: float
    slope: float
    within_mm: Column

    @cached_property
    def inside(self) -> NDArray[np.bool_]:
        """Columns whose middle lies within the outline."""
        return self.within_mm >= 0

    @cached_property
    def share(self) -> Column:
        """Share of each column that is cut, 0 to 1."""
        return np.clip(self.within_mm / self.prepared.block.pitch_mm + 0.5, 0.0, 1.0)

    @cached_property
    def wall_depth_mm(self) -> Column:
        """Depth at which the closing walls meet each column, of one on the rim that of its cut part's middle."""
        if self.slope == 0:
            return np.full(len(self.within_mm), np.inf)
        half = self.prepared.block.pitch_mm / 2
        within = np.where(self.within_mm < half, np.maximum(self.within_mm + half, 0.0) / 2, self.within_mm)
        return self.prepared.entry_mm + within / self.slope

    @cached_property
    def opened(self) -> bool:
        """Whether the bur comes into the chamber."""
        roof = self.prepared.roof_mm
        return bool((self.inside & (roof <= self.depth_mm) & (roof <= self.wall_depth_mm)).any())

    @cached_property
    def limit_mm(self) -> Column:
        """How deep each column is cut."""
        stop = np.full(len(self.within_mm), self.depth_mm)
        if self.opened:
            stop = np.where(self.prepared.over, np.maximum(self.depth_mm, self.prepared.roof_mm), stop)
        return np.asarray(np.minimum(stop, self.wall_depth_mm))

    def room_mm(self, column: NDArray[np.integer[Any]], depth_mm: NDArray[np.floating[Any]]) -> NDArray[np.float64]:
        """How far places at some depth of some columns lie within the cut's walls; below 0 outside."""
        below = np.maximum(depth_mm - self.prepared.entry_mm[column], 0.0)
        return np.asarray(self.within_mm[column] - self.slope * below)

    @cached_property
    def volumes_mm3(self) -> dict[str, float]:
        """Tissue cut, by name: enamel, dentine, prosthesis, filling, caries; and of it all what was needed."""
        block = self.prepared.block
        rows = np.flatnonzero(self.share > 0)
        steps = np.clip((self.limit_mm[rows] - block.first_mm) / block.pitch_mm, 0, self.prepared.tissue.shape[1])
        low = np.minimum(steps.astype(np.int64), self.prepared.tissue.shape[1] - 1)
        part, share = steps - low, self.share[rows]
        got = dict.fromkeys(("enamel", "dentine", "prosthesis", "filling", "caries", "needed"), 0.0)
        for name, summed in self.prepared.met.items():
            above = summed[rows, low]
            cells = above + part * (summed[rows, low + 1] - above)
            got[name] = float(cells @ share) * block.pitch_mm**3
        return got

    @cached_property
    def roof_left(self) -> NDArray[np.bool_]:
        """Columns over the chamber whose roof still stands and could be lifted."""
        lifted = self.inside & (self.limit_mm >= self.prepared.roof_mm - 1e-6)
        return self.prepared.roof & ~lifted

    @cached_property
    def roof_rests(self) -> tuple[tuple[float, tuple[float, float]], ...]:
        """Rests of the roof, the largest first: area, mm², and the middle of each."""
        p, q, _ = self.prepared.block.tissue.shape
        named, count = ndimage.label(self.roof_left.reshape(p, q))
        rests = []
        for number in range(1, count + 1):
            columns = np.flatnonzero(named.ravel() == number)
            area = len(columns) * self.prepared.block.pitch_mm**2
            if area >= LEAST_ROOF_MM2:
                first, second = self.prepared.block.middles[columns].mean(axis=0).tolist()
                rests.append((area, (first, second)))
        return tuple(sorted(rests, reverse=True))

    @cached_property
    def perforations(self) -> tuple[tuple[float, tuple[float, float, float], bool], ...]:
        """Places where the bur has come out of the tooth: area, mm², place (distal, lingual, depth), and whether that
        is the furcation; the largest first."""
        prepared, block = self.prepared, self.prepared.block
        p, q, n = block.tissue.shape
        through = self.inside & (self.limit_mm > prepared.bottom_mm)
        named, count = ndimage.label(through.reshape(p, q))
        found = []
        for number in range(1, count + 1):
            columns = np.flatnonzero(named.ravel() == number)
            area = len(columns) * block.pitch_mm**2
            if area >= ACCESS.perforated_mm2 - 1e-9:
                first = columns[prepared.bottom_mm[columns].argmin()]
                depth = float(prepared.bottom_mm[first])
                arch = prepared.fork_cells.reshape(p * q, n)[columns].any() and block.height_mm(int(first), depth) < 0
                distal, lingual = block.middles[columns].mean(axis=0).tolist()
                found.append((area, (distal, lingual, depth), bool(arch)))
        return tuple(sorted(found, key=lambda one: -one[0]))


def cut_by(prepared: Prepared, plan: AccessPlan) -> Cut:
    """The cut of a plan.

    Raises
    ------
    ValueError
        If the plan's axis is not the block's, or a point of the outline does not lie on the crown.
    """
    block = prepared.block
    if plan.axis != block.axis:
        raise ValueError("the tooth was prepared for another axis of the bur: prepare it for the plan's own")
    _require_on_crown(prepared, plan)
    within = within_mm(block.middles, block.laid(plan.points))
    flare_deg = plan.flare_deg if plan.flare_deg >= LEAST_FLARE_DEG else 0.0
    return Cut(prepared, plan.depth_mm, float(np.tan(np.radians(flare_deg))), within)


def _require_on_crown(prepared: Prepared, plan: AccessPlan) -> None:
    off = on_crown(prepared.block.frame, plan.points)
    if (off > 1).any():
        number = int(np.argmax(off)) + 1
        right, down = plan.points[number - 1]
        raise ValueError(
            f"point {number} of the outline, {right:.1f} mm right and {down:.1f} mm down, lies off the crown: "
            "move it onto the crown"
        )
