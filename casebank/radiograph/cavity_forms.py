"""The shapes of what is cut, eaten or broken out of a crown, following the crown's own surface.

Each is a stack of frustums with an oval section between two heights, in the crown's frame. Distal is + along x, lingual
+ along y.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from casebank.anatomy import Tooth
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Frame, Piece, frustum
from casebank.radiograph.solids import Outline, inside, outline

STEP_MM = 0.25
LOWEST_MM = -6.0  # of outlines, below the neck
LAST_FRONT = 3  # place of the canine
LEAST_HALF_MM = 0.04  # thinner sections are not drawn


@dataclass(frozen=True, eq=False)
class CrownSurface:
    """A crown's outline as found in its own solids.

    Attributes
    ----------
    frame : Frame
        Of the crown.
    sideways, across : Outline
        Mesio-distally through the middle of its depth, and bucco-lingually through its axis.
    top_mm : float
        Height of the surface on its axis: the groove, or the edge.
    height_mm, neck_mm : float
        Neck to reference cusp, and how wide the neck is mesio-distally.
    back : bool
        Whether it has an occlusal surface rather than an edge.
    """

    frame: Frame
    sideways: Outline
    across: Outline
    top_mm: float
    height_mm: float
    neck_mm: float
    back: bool

    @classmethod
    def of(cls, pieces: Sequence[Piece], frame: Frame, tooth: Tooth) -> "CrownSurface":
        """Read from the pieces of a tooth's roots and crown."""
        height = tooth.crown.height_mm
        heights = np.arange(LOWEST_MM, height + STEP_MM, STEP_MM)
        across = outline(pieces, frame, 1, heights)
        middle_y = np.interp(heights, across.heights_mm, (across.low_mm + across.high_mm) / 2)
        if tooth.number % 10 > LAST_FRONT:  # between cusps the section has no one middle
            middle_y = np.full_like(heights, np.interp(0.3 * height, heights, middle_y))
        sideways = outline(pieces, frame, 0, heights, other_mm=middle_y)
        fine = np.arange(0.0, height, 0.05)
        axis = np.stack([np.zeros_like(fine), np.interp(fine, heights, middle_y), fine], axis=1)
        held = inside(pieces, frame.to_jaw(axis))
        top = float(fine[held].max()) if held.any() else 0.8 * height
        return cls(
            frame, sideways, across, top, height, tooth.crown.neck_mesiodistal_mm, tooth.number % 10 > LAST_FRONT
        )

    def middle_y_mm(self, heights_mm: Array) -> Array:
        """Middle of the section bucco-lingually."""
        low, high = self.across.at(heights_mm)
        return (low + high) / 2

    def half_y_mm(self, heights_mm: Array) -> Array:
        """Half its depth bucco-lingually."""
        low, high = self.across.at(heights_mm)
        return (high - low) / 2


def heights_between(low_mm: float, high_mm: float) -> Array:
    """Heights of a stack's sections, shape (n,), mm, at least three."""
    return np.linspace(low_mm, high_mm, max(3, int(np.ceil((high_mm - low_mm) / STEP_MM)) + 1))


def stack(
    material: Material, rank: float, frame: Frame, heights_mm: Array, sideways: tuple[Array, Array], across: Array
) -> list[Piece]:
    """A solid between heights, its ends mesio-distally (low, high) and bucco-lingually, shape (n, 2), given at each.

    Sections thinner than nothing are skipped, and so are two at the same height.
    """
    low, high = sideways
    middle_x, half_x = (low + high) / 2, (high - low) / 2
    middle_y, half_y = across.mean(axis=1), np.maximum((across[:, 1] - across[:, 0]) / 2, 1e-3)
    pieces = []
    for k, m in pairwise(range(len(heights_mm))):
        if (
            heights_mm[m] - heights_mm[k] < 1e-6
            or min(half_x[k] + half_x[m], half_y[k] + half_y[m]) < 2 * LEAST_HALF_MM
        ):
            continue
        ends = tuple(np.array([middle_x[n], middle_y[n], heights_mm[n]]) for n in (k, m))
        radii = (max(float(half_x[k]), LEAST_HALF_MM), max(float(half_x[m]), LEAST_HALF_MM))
        # one frustum has one ratio of depth to width: the lesser of its ends', so that it never stands out
        flattening = float(min(half_y[k] / radii[0], half_y[m] / radii[1]))
        pieces.append(frustum(material, rank, (ends[0], ends[1]), radii, frame, flattening=flattening))
    return pieces
