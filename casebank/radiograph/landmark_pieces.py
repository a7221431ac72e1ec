"""What runs through the jaw or lies over it on a film: sinus, cheekbone, nose, palate, nerve canal, foramen, ridges.

What has no sharp edge in life is drawn as thin layers of growing width, one behind the other, so that its shadow fades.
"""

from itertools import pairwise

import numpy as np

from casebank.anatomy import (
    Anatomy,
    MentalForamen,
    NasalFloor,
    NerveCanal,
    ObliqueRidge,
    Sinus,
    Zygoma,
)
from casebank.radiograph import priority
from casebank.radiograph.jaw_sections import MIDDLE_Y_MM, REACH_MM, Section, section_of
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Piece, chain, ellipsoid

SINUS_WALL_MM, NASAL_WALL_MM = 0.35, 0.5
SINUS_TALL_MM = 8.0
LAYERS = 5  # of what fades
UNEVEN = ((0.0, 1.0), (1.3, 0.86), (0.5, 1.12), (1.8, 0.94))  # of a sinus' bays: mm above the lowest, share of width


def landmarks(anatomy: Anatomy) -> list[Piece]:
    """All that the anatomy's jaw shows near the tooth."""
    tips = anatomy.placement.to_jaw(np.array([root.apex_mm for root in anatomy.tooth.roots]))
    apex_z = float(tips[:, 2].min())
    jaw, section = anatomy.jaw_here, section_of(anatomy.tooth.number)
    pieces: list[Piece] = []
    if jaw.sinus is not None:
        pieces += _sinus(jaw.sinus, apex_z, section)
    if jaw.zygoma is not None:
        pieces += _zygoma(jaw.zygoma, apex_z, section)
    if jaw.nasal_floor is not None:
        pieces += _nose(jaw.nasal_floor, apex_z, section)
    if jaw.palate_beyond_apex_mm is not None:
        pieces += _palate(apex_z - jaw.palate_beyond_apex_mm, section)
    if jaw.nerve_canal is not None:
        pieces += _nerve(jaw.nerve_canal, apex_z)
    if jaw.mental_foramen is not None:
        pieces += _foramen(jaw.mental_foramen, apex_z, section)
    if jaw.external_ridge is not None:
        pieces += _ridge(jaw.external_ridge, -1.0, section)
    if jaw.internal_ridge is not None:
        pieces += _ridge(jaw.internal_ridge, 1.0, section)
    return pieces


def _cavity(centre: Array, half_axes: Array, wall_mm: float) -> list[Piece]:
    """A hollow of air with a thin wall of cortex."""
    return [
        ellipsoid(Material.CORTICAL, priority.CAVITY_WALL, centre, half_axes + wall_mm),
        ellipsoid(Material.AIR, priority.CAVITY, centre, half_axes),
    ]


def _sinus(sinus: Sinus, apex_z: float, section: Section) -> list[Piece]:
    """Bays of uneven depth and width under one wide hollow; it leaves the outer plates whole."""
    floor = apex_z - sinus.beyond_apex_mm
    deep = section.apical_mm - section.apical_plate_mm - 0.1
    shares = np.array([UNEVEN[k][1] for k in range(sinus.bays)])
    edges = sinus.begins_mm + (sinus.ends_mm - sinus.begins_mm) * np.append(0.0, np.cumsum(shares) / shares.sum())
    pieces: list[Piece] = []
    for k, (start, end) in enumerate(pairwise(edges.tolist())):
        wide = (0.5 if sinus.bays == 1 else 0.53) * (end - start)
        centre = np.array([(start + end) / 2, MIDDLE_Y_MM, floor - UNEVEN[k][0] - SINUS_TALL_MM])
        pieces += _cavity(centre, np.array([wide, deep, SINUS_TALL_MM]), SINUS_WALL_MM)
    middle, half = (sinus.begins_mm + sinus.ends_mm) / 2, (sinus.ends_mm - sinus.begins_mm) / 2
    above = (middle, MIDDLE_Y_MM, floor - SINUS_TALL_MM - 6.0)
    return [*pieces, ellipsoid(Material.AIR, priority.CAVITY, above, (0.95 * half, deep, 8.5))]


def _zygoma(zygoma: Zygoma, apex_z: float, section: Section) -> list[Piece]:
    """An arch open upwards with a veil of bone inside it, on the buccal side."""
    u = np.linspace(-1.0, 1.0, 8)
    half, lowest = zygoma.width_mm / 2, apex_z - zygoma.beyond_apex_mm
    y = -section.apical_mm - 2.6
    pieces: list[Piece] = []
    for layer, radius in enumerate((0.45, 0.8, 1.25)):
        z = lowest - 0.45 - 11.0 * np.abs(u) ** 2.4
        line = np.stack([zygoma.at_mm + half * np.sin(u * np.pi / 2), np.full_like(u, y - 1.1 * layer), z], axis=1)
        pieces += chain(Material.CORTICAL, priority.RIDGE, line, radius, flattening=0.5 / radius)
    for layer in range(3):
        half_axes = (half * (0.95 - 0.12 * layer), 0.22, 10.0 - 1.2 * layer)
        at = (zygoma.at_mm, y + 0.75 + 0.45 * layer, lowest - 11.0)
        pieces.append(ellipsoid(Material.CORTICAL, priority.RIDGE, at, half_axes))
    return pieces


def _nose(floor: NasalFloor, apex_z: float, section: Section) -> list[Piece]:
    """The two halves of the nose beside their septum, and the incisive foramen."""
    deep = section.apical_mm - section.apical_plate_mm
    pieces: list[Piece] = []
    for side in (-1.0, 1.0):
        centre = np.array([floor.midline_mm + side * 8.2, MIDDLE_Y_MM, apex_z - floor.beyond_apex_mm - 8.0])
        pieces += _cavity(centre, np.array([7.2, deep, 8.0]), NASAL_WALL_MM)
    if floor.foramen_mm > 0:
        at = (floor.midline_mm, MIDDLE_Y_MM + 0.35 * section.apical_mm, apex_z + 2.5)
        half_axes = (floor.foramen_mm / 2, 2.2, 0.75 * floor.foramen_mm)
        pieces.append(ellipsoid(Material.SOFT, priority.CAVITY, at, half_axes))
    return pieces


def _palate(z: float, section: Section) -> list[Piece]:
    """The hard palate, edge on: a thin bright line."""
    line = np.array([[x, section.apical_mm + 3.0, z + 0.02 * x] for x in (-REACH_MM, 0.0, REACH_MM)])
    return chain(Material.CORTICAL, priority.RIDGE, line, 0.35, flattening=4.0)


def _nerve(canal: NerveCanal, apex_z: float) -> list[Piece]:
    """A gently winding tube with a wall of cortex."""
    x = np.linspace(canal.begins_mm, REACH_MM, 15)
    radius = canal.lumen_mm / 2
    at_tooth = apex_z - canal.beyond_apex_mm - radius - canal.wall_mm
    z = at_tooth + np.tan(np.radians(canal.rise_deg)) * x + 1.2 * (np.sin((x + 6) / 17) - np.sin(6 / 17))
    line = np.stack([x, np.full_like(x, 1.3), z], axis=1)
    wall = chain(Material.CORTICAL, priority.CAVITY_WALL, line, radius + canal.wall_mm)
    return wall + chain(Material.SOFT, priority.CAVITY, line, radius)


def _foramen(foramen: MentalForamen, apex_z: float, section: Section) -> list[Piece]:
    """An oval gap in the buccal plate that narrows into the marrow behind it."""
    at = np.array([foramen.at_mm, MIDDLE_Y_MM - section.apical_mm, apex_z - foramen.beyond_apex_mm])
    half, tall = foramen.size_mm / 2, 0.40 * foramen.size_mm
    outer = ellipsoid(Material.SOFT, priority.CAVITY, at, (half, 1.9, tall))
    inner = ellipsoid(Material.SOFT, priority.CAVITY, at + np.array([0.3, 2.0, -0.2]), (0.75 * half, 1.6, 0.75 * tall))
    return [outer, inner]


def _ridge(ridge: ObliqueRidge, side: float, section: Section) -> list[Piece]:
    """A ridge outside the plate on the buccal (-1) or lingual (1) side: it begins at nothing and grows distally."""
    x = np.linspace(ridge.begins_mm, max(REACH_MM, ridge.begins_mm + 8.0), 5)
    rise = np.tan(np.radians(ridge.rise_deg))
    # at the tooth as deep as stated; it curves up to the ramus
    z = -ridge.below_neck_mm + rise * x + 0.006 * np.maximum(x, 0) ** 2
    grown = np.clip((x - ridge.begins_mm) / 12.0, 0.03, 1.0)
    pieces: list[Piece] = []
    thin = ridge.thick_mm / LAYERS / 2
    for layer, wide in enumerate(np.linspace(0.4, 3.2, LAYERS)):
        y = side * (section.apical_mm + 0.35 + 2.1 * thin * layer) + MIDDLE_Y_MM
        line = np.stack([x, np.full_like(x, y), z], axis=1)
        radii = wide * grown
        pieces += chain(Material.CORTICAL, priority.RIDGE, line, radii, flattening=thin / wide)
    return pieces
