"""Chamber and canals: where the pulp is or was."""

import numpy as np

from casebank.anatomy import Canal, Tooth
from casebank.radiograph import priority
from casebank.radiograph.branch_pieces import branches
from casebank.radiograph.features import Feature, is_left_out, widened
from casebank.radiograph.materials import Material
from casebank.radiograph.resorption_pieces import end_slab
from casebank.radiograph.root_pieces import link_slabs
from casebank.radiograph.shapes import NO_SLAB, Array, Frame, Piece, chain, frustum, round_cone
from casebank.radiograph.stone_pieces import chamber_middle, stones

LINK_MM = 0.6
BULGE_STEPS = 11
ROOF_SHARE = 0.86  # width of the chamber at its roof over that at its floor: a teaching choice
HORN_SHARE = 0.5  # height of a horn over that of the chamber: a teaching choice
# Outlines of the chamber from floor (0) to roof (1), as shares of its widths: teaching choices, drawn by eye.
HEIGHTS = np.array([0.0, 0.06, 0.16, 0.32, 0.55, 0.74, 0.88, 0.96, 1.0])
ROOM_ALONG = np.array([0.80, 0.95, 1.0, 1.0, 0.99, 0.95, 0.86, 0.74, 0.55])
ROOM_ACROSS = np.array([0.60, 0.99, 1.0, 1.0, 0.99, 0.88, 0.66, 0.44, 0.24])
FUNNEL = np.array([0.0, 0.05, 0.18, 0.50, 0.90, 1.0, 1.0, 1.0, 1.0])
FUNNEL_TOP = np.array([1.0, 1.0, 1.0, 1.0, 1.0, 0.96, 0.80, 0.58, 0.32])


def pulp(tooth: Tooth, frame: Frame, without: Feature | None = None) -> list[Piece]:
    """Chamber with its horns, every canal from the chamber to its foramen with what leaves it, and the stones in them.

    One canal or narrowing may be left out.
    """
    drawn = [canal for canal in tooth.canals if not is_left_out(canal, without)]
    pieces = chamber(tooth, frame)
    for canal in drawn:
        pieces += _lumen(tooth, widened(canal, without), frame)
        pieces += _entrance(tooth, canal, frame)
    return pieces + branches(tooth, drawn, frame) + stones(tooth, drawn, frame)


def _lumen(tooth: Tooth, canal: Canal, frame: Frame) -> list[Piece]:
    levels = drawn_levels(canal)
    line = canal.course.at(tooth.orifice_of(canal), levels)
    mesiodistal, buccolingual = canal.across_mm(levels)
    flattening = buccolingual / mesiodistal
    links = chain(Material.PULP, priority.PULP, line, mesiodistal / 2, frame, flattening=flattening)
    root = tooth.root(canal.root)
    return link_slabs(links, root, line, mesiodistal / 2, end_slab(root, frame), NO_SLAB)


def drawn_levels(canal: Canal) -> Array:
    """Levels at which a canal is drawn, shape (n,), mm: evenly, and closer where it narrows or bulges."""
    special = [place.at_mm for place in canal.narrowings]
    for bulge in canal.resorptions:
        special += (
            bulge.at_mm + bulge.length_mm / 2 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, BULGE_STEPS))
        ).tolist()
    return np.unique(np.round(np.concatenate([canal.levels(step_mm=LINK_MM), special]), 6))


def _entrance(tooth: Tooth, canal: Canal, frame: Frame) -> list[Piece]:
    """A funnel from the orifice up into the chamber."""
    orifice = np.array(tooth.orifice_of(canal))
    floor_z = tooth.crown.height_mm - tooth.chamber.floor_mm
    centre = np.array([0.0, 0.0, floor_z + 0.3 * tooth.chamber.height_mm])
    above = orifice + 0.22 * (centre - orifice)
    above[2] = max(orifice[2], floor_z) + 0.3 * tooth.chamber.height_mm
    mesiodistal, buccolingual = (float(width[0]) for width in canal.across_mm(np.zeros(1)))
    narrow = mesiodistal / 2
    mouth = min(1.5 * narrow, 0.45 * tooth.chamber.mesiodistal_mm)
    flattening = buccolingual / mesiodistal
    ends = (orifice, above)
    return [round_cone(Material.PULP, priority.PULP, ends, (narrow, mouth), frame, flattening=flattening)]


def chamber(tooth: Tooth, frame: Frame) -> list[Piece]:
    """The pulp chamber with its horns: a stack that thins towards floor and roof, so that neither has a hard edge.

    In a molar or over several canals it is a room; elsewhere it runs into the only canal as a funnel.
    """
    room, height = tooth.chamber, tooth.crown.height_mm
    floor_z, roof_z = height - room.floor_mm, height - room.roof_mm
    middle = np.array(chamber_middle(tooth))
    mesiodistal = room.mesiodistal_mm * np.interp(HEIGHTS, [0.3, 1.0], [1.0, ROOF_SHARE])
    buccolingual = room.buccolingual_mm * np.interp(HEIGHTS, [0.3, 1.0], [1.0, ROOF_SHARE])
    if len(tooth.canals) == 1 and not tooth.is_molar:
        narrow, wide = (float(width[0]) for width in tooth.canals[0].across_mm(np.zeros(1)))
        mesiodistal = FUNNEL_TOP * (narrow + FUNNEL * np.maximum(mesiodistal - narrow, 0.0))
        buccolingual = FUNNEL_TOP * (wide + FUNNEL * np.maximum(buccolingual - wide, 0.0))
    else:
        mesiodistal, buccolingual = mesiodistal * ROOM_ALONG, buccolingual * ROOM_ACROSS
    pieces = []
    for low in range(len(HEIGHTS) - 1):
        ends = tuple((*middle, floor_z + HEIGHTS[k] * (roof_z - floor_z)) for k in (low, low + 1))
        radii = (float(mesiodistal[low] / 2), float(mesiodistal[low + 1] / 2))
        flattening = float(buccolingual[low : low + 2].sum() / mesiodistal[low : low + 2].sum())
        pieces.append(frustum(Material.PULP, priority.PULP, (ends[0], ends[1]), radii, frame, flattening=flattening))
    return pieces + _horns(tooth, frame, middle, roof_z)


def _horns(tooth: Tooth, frame: Frame, middle: np.ndarray, roof_z: float) -> list[Piece]:
    """A pointed horn over each canal; a chamber lowered to a slit has lost them."""
    tall = HORN_SHARE * (tooth.chamber.height_mm - 1.5)
    if tall <= 0.2:
        return []
    thick = 0.16 * min(tooth.chamber.mesiodistal_mm, tooth.chamber.buccolingual_mm)
    pieces = []
    for canal in tooth.canals:
        away = 0.62 * ROOF_SHARE * (np.array(canal.orifice_mm) - middle)
        foot = np.array([*(middle + away), roof_z - 0.4])
        tip = np.array([*(middle + 1.15 * away), roof_z + tall])
        pieces.append(round_cone(Material.PULP, priority.PULP, (foot, tip), (thick, 0.12), frame))
    return pieces
