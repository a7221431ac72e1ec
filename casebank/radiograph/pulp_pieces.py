"""Chamber and canals: where the pulp is or was."""

import numpy as np

from casebank.anatomy import Canal, Tooth
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Frame, Piece, chain, frustum, round_cone

LINK_MM = 0.6
ROOF_SHARE = 0.86  # width of the chamber at its roof over that at its floor: a teaching choice
HORN_SHARE = 0.5  # height of a horn over that of the chamber: a teaching choice


def pulp(tooth: Tooth, frame: Frame) -> list[Piece]:
    """Chamber with its horns, and every canal from the chamber to its foramen."""
    pieces = _chamber(tooth, frame)
    for canal in tooth.canals:
        pieces += _lumen(tooth, canal, frame)
        pieces += _entrance(tooth, canal, frame)
    return pieces


def _lumen(tooth: Tooth, canal: Canal, frame: Frame) -> list[Piece]:
    line = tooth.centre_line(canal, step_mm=LINK_MM)
    levels = canal.levels(step_mm=LINK_MM)
    narrow, wide = canal.narrow_mm(levels), canal.wide_mm(levels)
    return chain(Material.PULP, priority.PULP, line, narrow / 2, frame, flattening=wide / narrow)


def _entrance(tooth: Tooth, canal: Canal, frame: Frame) -> list[Piece]:
    """A funnel from the orifice up into the chamber."""
    orifice = np.array(tooth.orifice_of(canal))
    floor_z = tooth.crown.height_mm - tooth.chamber.floor_mm
    centre = np.array([0.0, 0.0, floor_z + 0.3 * tooth.chamber.height_mm])
    above = orifice + 0.22 * (centre - orifice)
    above[2] = max(orifice[2], floor_z) + 0.3 * tooth.chamber.height_mm
    narrow = canal.orifice.narrow_mm / 2
    mouth = min(1.5 * narrow, 0.45 * tooth.chamber.mesiodistal_mm)
    flattening = canal.orifice.wide_mm / canal.orifice.narrow_mm
    ends = (orifice, above)
    return [round_cone(Material.PULP, priority.PULP, ends, (narrow, mouth), frame, flattening=flattening)]


def _chamber(tooth: Tooth, frame: Frame) -> list[Piece]:
    chamber, height = tooth.chamber, tooth.crown.height_mm
    floor_z, roof_z = height - chamber.floor_mm, height - chamber.roof_mm
    orifices = np.array([canal.orifice_mm for canal in tooth.canals])
    middle = (orifices.min(axis=0) + orifices.max(axis=0)) / 2
    flattening = chamber.buccolingual_mm / chamber.mesiodistal_mm
    half = chamber.mesiodistal_mm / 2
    # widest just above the floor and rounded to floor and roof, so that neither ends in a sharp rim
    heights = np.array([0.0, 0.03, 0.08, 0.16, 0.60, 0.86, 0.95, 1.0])
    shares = np.array([0.76, 0.91, 0.98, 1.0, 0.98, 0.89, 0.75, 0.5]) * np.interp(heights, [0.3, 1], [1, ROOF_SHARE])
    pieces = []
    for low in range(len(heights) - 1):
        ends = tuple((*middle, floor_z + heights[k] * (roof_z - floor_z)) for k in (low, low + 1))
        radii = (float(half * shares[low]), float(half * shares[low + 1]))
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
