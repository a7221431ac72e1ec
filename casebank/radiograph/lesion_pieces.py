"""Bone lost round the end of a root: a lobed solid of the stated sizes, and what it took of the outer plate."""

import numpy as np

from casebank.anatomy import Anatomy, Lesion
from casebank.radiograph import priority
from casebank.radiograph.jaw_pieces import MIDDLE_Y_MM, section_of
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Piece, ellipsoid

LOBES = 9
OVER_TIP_MM = 1.1  # how far up the root the lesion reaches


def lesion(anatomy: Anatomy, place: Lesion) -> list[Piece]:
    """One lesion of an anatomy."""
    root = anatomy.tooth.root(place.root)
    tip = anatomy.placement.to_jaw(root.apex_mm[None])[0]
    half = np.array([place.mesiodistal_mm, place.buccolingual_mm, place.height_mm]) / 2
    towards_plate = 0.0 if place.cortex == "whole" else 0.5 * half[1] * (1.0 if place.side == "lingual" else -1.0)
    centre = tip + np.array([0.0, towards_plate, OVER_TIP_MM - half[2]])
    pieces = [ellipsoid(Material.SOFT, priority.LESION, centre, 0.90 * half)]
    random = np.random.default_rng(place.seed)
    for _ in range(LOBES):
        toward = random.normal(size=3)
        toward /= np.linalg.norm(toward)
        share = random.uniform(0.38, 0.58)
        # a lobe of half axes s * half, set (1 - s) * half off the centre, touches the stated size and never passes it
        pieces.append(ellipsoid(Material.SOFT, priority.LESION, centre + (1 - share) * toward * half, share * half))
    return pieces + _plate(anatomy, place, centre, half)


def _plate(anatomy: Anatomy, place: Lesion, centre: Array, half: Array) -> list[Piece]:
    """What is gone of the outer plate on the lesion's side."""
    if place.cortex == "whole":
        return []
    section = section_of(anatomy.tooth.number)
    side = 1.0 if place.side == "lingual" else -1.0
    plate = section.apical_plate_mm
    inner = MIDDLE_Y_MM + side * (section.apical_mm - plate)
    gone = 0.75 * plate if place.cortex == "thinned" else 1.6 * plate
    x, y, z = centre.tolist()
    reach = abs(inner - y) / 2
    return [
        # a lesion that has thinned the plate has reached it, whatever its own depth
        ellipsoid(Material.SOFT, priority.LESION, (x, (y + inner) / 2, z), (0.8 * half[0], reach, 0.8 * half[2])),
        ellipsoid(Material.SOFT, priority.EROSION, (x, inner, z), (half[0], gone, half[2])),
        ellipsoid(
            Material.SOFT,
            priority.EROSION,
            (x + 0.3 * half[0], inner, z - 0.2 * half[2]),
            (0.6 * half[0], 0.9 * gone, 0.7 * half[2]),
        ),
    ]
