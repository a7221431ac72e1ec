"""Bone lost beside a root: a lobed solid of the stated sizes, and what it took of the outer plate; bone grown dense."""

import numpy as np

from casebank.anatomy import Anatomy, DenseBone, Lesion, bearing
from casebank.anatomy.within import way_out_mm
from casebank.radiograph import priority
from casebank.radiograph.jaw_sections import MIDDLE_Y_MM, section_of
from casebank.radiograph.materials import Material
from casebank.radiograph.root_pieces import at_height
from casebank.radiograph.shapes import Array, Piece, ellipsoid

LOBES = 9
OVER_TIP_MM = 1.1  # how far up the root the lesion reaches
UNDER_ROOF_MM = 0.6  # how far a furcal lesion reaches up into the furcation
INTO_ROOT_MM = 0.5  # how far a lateral lesion's solid reaches into the root, which keeps its place
DENSE_OVER_TIP = 0.55  # how far up the root dense bone reaches, share of its half height: a teaching choice


def lesion(anatomy: Anatomy, place: Lesion) -> list[Piece]:
    """One lesion of an anatomy."""
    half = np.array([place.mesiodistal_mm, place.buccolingual_mm, place.height_mm]) / 2
    towards_plate = 0.0 if place.cortex == "whole" else 0.5 * half[1] * (1.0 if place.side == "lingual" else -1.0)
    centre = _middle(anatomy, place, half) + np.array([0.0, towards_plate, 0.0])
    return _lobed(Material.SOFT, priority.LESION, centre, half, place.seed) + _plate(anatomy, place, centre, half)


def dense_bone(anatomy: Anatomy, place: DenseBone) -> list[Piece]:
    """Marrow grown dense round the end of a root; ligament and lamina stay as they are."""
    half = np.array([place.mesiodistal_mm, place.buccolingual_mm, place.height_mm]) / 2
    tip = anatomy.placement.to_jaw(anatomy.tooth.root(place.root).apex_mm[None])[0]
    centre = tip + np.array([0.0, 0.0, DENSE_OVER_TIP - 1.0]) * half[2]
    return _lobed(Material.CORTICAL, priority.DENSE_BONE, centre, half, place.seed)


def _middle(anatomy: Anatomy, place: Lesion, half: Array) -> Array:
    """Middle of a lesion of half sizes, shape (3,), in the jaw, shape (3,), mm."""
    tooth = anatomy.tooth
    root = tooth.root(place.root)
    if place.site == "apical":
        at = anatomy.placement.to_jaw(root.apex_mm[None])[0]
        return np.asarray(at + np.array([0.0, 0.0, OVER_TIP_MM - half[2]]))
    if place.site == "furcal" and tooth.furcation_mm is not None:
        z = tooth.crown.height_mm - tooth.furcation_mm
        between = np.mean([at_height(each, z)[0][:2] for each in tooth.roots], axis=0)
        at = anatomy.placement.to_jaw(np.array([[*between, z]]))[0]
        return np.asarray(at + np.array([0.0, 0.0, UNDER_ROOF_MM - half[2]]))
    level = np.array([place.at_mm or 0.0])
    begin, out = root.course.at(root.start_mm, level)[0], bearing(place.toward_deg)
    surface_mm = way_out_mm(root, begin, out) or 0.0
    reach_mm = float(1 / np.linalg.norm(out / half))
    middle = begin + (surface_mm + reach_mm - INTO_ROOT_MM) * out
    return np.asarray(anatomy.placement.to_jaw(middle[None])[0])


def _lobed(material: Material, rank: float, centre: Array, half: Array, seed: int) -> list[Piece]:
    """A lobed solid of the given half sizes."""
    pieces = [ellipsoid(material, rank, centre, 0.90 * half)]
    random = np.random.default_rng(seed)
    for _ in range(LOBES):
        toward = random.normal(size=3)
        toward /= np.linalg.norm(toward)
        share = random.uniform(0.38, 0.58)
        # a lobe of half axes s * half, set (1 - s) * half off the centre, touches the stated size and never passes it
        pieces.append(ellipsoid(material, rank, centre + (1 - share) * toward * half, share * half))
    return pieces


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
