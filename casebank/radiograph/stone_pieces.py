"""Pulp stones: ellipsoids of hard tissue in chamber and canals."""

from collections.abc import Sequence

import numpy as np

from casebank.anatomy import Canal, CanalStone, Tooth, bearing
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Frame, Piece, ellipsoid

STONE = Material.DENTINE  # as dense as dentine: a teaching choice


def stones(tooth: Tooth, canals: Sequence[Canal], frame: Frame) -> list[Piece]:
    """Every stone of a tooth's chamber and of the canals that are drawn."""
    middle = chamber_middle(tooth)
    pieces = []
    for stone in tooth.chamber.stones:
        at = (middle[0] + stone.distal_mm, middle[1] + stone.lingual_mm, tooth.crown.height_mm - stone.depth_mm)
        half = np.array([stone.mesiodistal_mm, stone.buccolingual_mm, stone.height_mm]) / 2
        pieces.append(ellipsoid(STONE, priority.STONE, at, half, frame))
    return pieces + [_in_canal(tooth, canal, stone, frame) for canal in canals for stone in canal.stones]


def chamber_middle(tooth: Tooth) -> tuple[float, float]:
    """Where the chamber's axis stands: half-way between the outermost orifices, x and y, tooth frame, mm."""
    orifices = np.array([canal.orifice_mm for canal in tooth.canals])
    x, y = ((orifices.min(axis=0) + orifices.max(axis=0)) / 2).tolist()
    return x, y


def _in_canal(tooth: Tooth, canal: Canal, stone: CanalStone, frame: Frame) -> Piece:
    """A stone against the canal's wall on the side it lies on."""
    level = np.array([stone.at_mm])
    along = canal.course.directions(level)[0]
    out = bearing(stone.toward_deg)
    mesiodistal, buccolingual = (float(width[0]) / 2 for width in canal.across_mm(level))
    wall_mm = 1 / np.hypot(out[0] / mesiodistal, out[1] / buccolingual)
    out = out - (out @ along) * along
    out /= np.linalg.norm(out)
    centre = canal.course.at(tooth.orifice_of(canal), level)[0] + (wall_mm - stone.diameter_mm / 2) * out
    own = Frame(frame.axes @ np.stack([out, np.cross(along, out), along], axis=1), frame.to_jaw(centre))
    half = (stone.diameter_mm / 2, stone.diameter_mm / 2, stone.length_mm / 2)
    return ellipsoid(STONE, priority.STONE, (0.0, 0.0, 0.0), half, own)
