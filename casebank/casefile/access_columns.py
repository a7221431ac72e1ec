"""A tooth of a case made ready for the access verdict: its pieces, those the film is computed from, as columns.

Kept for the last few teeth and axes asked for; an anatomy is a value, so two equal ones share what was worked out.
"""

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, Placement
from casebank.anatomy.access_block import AccessBlock, Facing, Tissue, bur_axes
from casebank.anatomy.access_plan import AccessPlan, BurAxis, Prosthetic
from casebank.anatomy.access_prepared import Prepared
from casebank.anatomy.occlusal import MapFrame, map_frame
from casebank.radiograph import Material, priority
from casebank.radiograph.columns import column_labels
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.sections import Grid, seen_surface
from casebank.radiograph.shapes import Piece

PITCH_MM = 0.15
ROUND_MM = 0.9  # left free round the crown
BELOW_FLOOR_MM = 5.5  # how far below the chamber's floor columns are cut
FACING_MM = 0.5  # between the knots of a front tooth's surface
KEPT = 3  # prepared teeth; each takes 8 to 16 MB
OF_THE_TOOTH = {
    Material.ENAMEL: Tissue.ENAMEL,
    Material.DENTINE: Tissue.DENTINE,
    Material.CERAMIC: Tissue.PROSTHESIS,
    Material.METAL: Tissue.PROSTHESIS,
    Material.AMALGAM: Tissue.FILLING,
    Material.COMPOSITE: Tissue.FILLING,
    Material.GLASS_IONOMER: Tissue.FILLING,
    Material.CARIES: Tissue.CARIES,
    Material.AIR: Tissue.NOTHING,
    Material.SOFT: Tissue.NOTHING,
}


def prepared_for(anatomy: Anatomy, plan: AccessPlan) -> Prepared:
    """The tooth ready for a plan: along its axis, with its crown or bridge on or off."""
    return prepare(anatomy, plan.axis, plan.prosthesis)


def prepare(anatomy: Anatomy, axis: BurAxis, prosthesis: Prosthetic = "through") -> Prepared:
    """The tooth ready for any plan with this axis of the bur.

    Parameters
    ----------
    prosthesis : str
        "removed" takes a crown or bridge off first; without one it changes nothing.

    Raises
    ------
    ValueError
        If a canal lies square to the bur.
    """
    alone = Anatomy(
        anatomy.tooth, restorations=anatomy.restorations, damage=anatomy.damage, prosthesis=anatomy.prosthesis
    )
    return _prepared(alone, axis, "through" if anatomy.prosthesis is None else prosthesis)


@lru_cache(maxsize=KEPT)
def _prepared(anatomy: Anatomy, axis: BurAxis, prosthesis: Prosthetic) -> Prepared:
    tooth = anatomy.tooth
    pieces = _own_pieces(anatomy)
    axes = bur_axes(tooth, axis)
    low, high = _extent(anatomy, axes)
    counts = np.ceil((high - low) / PITCH_MM).astype(np.int64).tolist()
    corner = low @ axes + PITCH_MM / 2 * axes.sum(axis=0)
    corner = corner + (counts[2] - 1) * PITCH_MM * axes[2]  # columns run down from the top
    down = axes * np.array([1.0, 1.0, -1.0])[:, None]
    shape = (counts[0], counts[1], counts[2])
    cells = column_labels(pieces, _tissue, corner, down, shape, PITCH_MM)
    first = int(np.argmax((cells > 0).any(axis=(0, 1))))
    if prosthesis == "removed":
        bare = [piece for piece in pieces if not priority.CROWN <= piece.priority <= priority.COPING]
        cells = column_labels(bare, _tissue, corner, down, shape, PITCH_MM)
    facing = _facing(anatomy, map_frame(tooth), pieces)
    block = AccessBlock(
        tooth,
        axis,
        cells,
        PITCH_MM,
        (float(low[0]) + PITCH_MM / 2, float(low[1]) + PITCH_MM / 2),
        float(corner @ axes[2]) + PITCH_MM / 2,
        facing,
        first_mm=-first * PITCH_MM,
        prosthesis="" if anatomy.prosthesis is None or prosthesis == "removed" else anatomy.prosthesis.kind,
    )
    return Prepared(block).warmed()


def _own_pieces(anatomy: Anatomy) -> tuple[Piece, ...]:
    """Pieces of the tooth alone, in its own frame."""
    alone = replace(anatomy, placement=Placement(), neighbours=(), lesions=())
    return tuple(piece for piece in pieces_of(alone) if piece.priority >= priority.ENAMEL)


def _tissue(piece: Piece) -> int:
    """What a piece is to a bur."""
    return int(Tissue.PULP if piece.priority >= priority.PULP else OF_THE_TOOTH[piece.material])


def _extent(anatomy: Anatomy, axes: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest coordinates of the block along its axes, mm: the crown, and roots a little below the floor."""
    tooth, crown = anatomy.tooth, anatomy.tooth.crown
    deep = crown.height_mm - tooth.chamber.floor_mm - BELOW_FLOOR_MM
    half = np.array([crown.mesiodistal_mm, crown.buccolingual_mm]) / 2
    corners = np.array([[i, j, 1.0] for i in (-1, 1) for j in (-1, 1)]) * [*half, crown.height_mm]
    box = map_frame(tooth).to_tooth(np.vstack([corners, corners * [1, 1, 0]]))
    roots = np.array([[i, j, 1.0] for i in (-1, 1) for j in (-1, 1)]) * [*(0.9 * half), deep]
    local = np.vstack([box, roots]) @ axes.T
    return local.min(axis=0) - ROUND_MM, local.max(axis=0) + ROUND_MM


def _facing(anatomy: Anatomy, frame: MapFrame, pieces: tuple[Piece, ...]) -> Facing:
    """The surface the outline is drawn on: the level of the fossa, or the profile of a front tooth's tongue side."""
    crown = anatomy.tooth.crown
    toward, along = frame.axes @ frame.toward_eye, frame.axes @ frame.along
    across = frame.axes[:, 0]
    if frame.seen_from == "above":
        grid = Grid(np.zeros(3), across, along, 7, 7, 0.3)
        heights, _ = seen_surface(pieces, grid, toward)
        return Facing(np.zeros(1), np.array([float(np.nanmedian(heights))]))
    knots = np.arange(FACING_MM / 2, crown.height_mm, FACING_MM)
    grid = Grid(float(knots.mean()) * along, across, along, len(knots), 5, FACING_MM)
    heights = np.nanmedian(seen_surface(pieces, grid, toward)[0], axis=1)
    met = np.isfinite(heights)
    return Facing(knots[met], heights[met])
