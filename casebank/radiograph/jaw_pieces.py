"""The jaw: cortex, marrow, crest, what runs through it, and the soft tissue over it.

The crest is a row of short beams along the arch, each climbing or falling between two stations, so bone follows every
neck and the ridge sinks where a tooth is missing.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from casebank.anatomy import Anatomy
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.neighbour_pieces import CREST_BELOW_NECK_MM
from casebank.radiograph.neighbours import frame_of, usual
from casebank.radiograph.shapes import Array, Circle, Piece, Slab, beam, box, chain, ellipsoid, round_cone

REACH_MM = 34.0  # the jaw is drawn this far to both sides
STATIONS = 40
MIDDLE_Y_MM = 0.2
HEALED_MM = 3.6  # how far the ridge has sunk below the neck of a missing tooth: a teaching choice


@dataclass(frozen=True)
class Section:
    """A section across the jaw, mm: half widths at crest, at apical height and at the base, and the plate there."""

    crest_mm: float
    apical_mm: float
    base_mm: float
    crest_plate_mm: float
    apical_plate_mm: float
    base_plate_mm: float


# teaching choices, after textbook drawings (from memory)
LOWER_BACK = Section(2.7, 6.2, 6.6, 0.55, 1.35, 1.6)
LOWER_FRONT = Section(2.0, 4.2, 5.6, 0.45, 1.1, 1.5)
UPPER_BACK = Section(3.2, 6.2, 6.6, 0.45, 0.8, 0.8)
UPPER_FRONT = Section(2.3, 4.6, 6.2, 0.45, 0.9, 0.9)
APICAL_Z_MM, BASE_Z_MM = -13.0, -26.0


def section_of(number: int) -> Section:
    """The jaw's section at a tooth."""
    upper, back = number // 10 in (1, 2), number % 10 >= 4
    if upper:
        return UPPER_BACK if back else UPPER_FRONT
    return LOWER_BACK if back else LOWER_FRONT


def jaw(anatomy: Anatomy, occlusal_z_mm: float) -> list[Piece]:
    """Bone and soft tissue round the tooth and its neighbours."""
    section = section_of(anatomy.tooth.number)
    stations = np.linspace(-REACH_MM, REACH_MM, STATIONS + 1)
    crest = _crest_line(anatomy, occlusal_z_mm)(stations)
    pieces = _body(section)
    for x0, x1, z0, z1 in zip(stations, stations[1:], crest, crest[1:], strict=False):
        pieces += _crest(section, (float(x0), float(x1)), (float(z0), float(z1)))
    pieces += _inside(anatomy)
    pieces.append(box(Material.SOFT, priority.SOFT, (0.0, -16.0, 0.0), (60.0, 4.5, 60.0)))
    return pieces


def crest_slab(anatomy: Anatomy) -> Slab:
    """All below the tooth's own bone crest: the plane through its mesial and its distal rim."""
    mesial, distal = _rims(anatomy)
    along = distal - mesial
    normal = np.array([-along[2], 0.0, along[0]]) / np.hypot(along[0], along[2])
    return Slab(normal, high_mm=float(normal @ mesial))


def _rims(anatomy: Anatomy) -> tuple[Array, Array]:
    half, crest = anatomy.tooth.crown.neck_mesiodistal_mm / 2, anatomy.support.crest
    rims = np.array([[-half, 0.0, -crest.mesial_mm], [half, 0.0, -crest.distal_mm]])
    mesial, distal = anatomy.placement.to_jaw(rims)
    return mesial, distal


def _crest_line(anatomy: Anatomy, occlusal_z_mm: float) -> PchipInterpolator:
    """Height of the crest along the arch."""
    mesial, distal = _rims(anatomy)
    known = {float(mesial[0]): float(mesial[2]), float(distal[0]): float(distal[2])}
    for neighbour in anatomy.neighbours:
        crown = usual(neighbour.number).crown
        neck = float(frame_of(neighbour, crown, anatomy.tooth.number, occlusal_z_mm).at_mm[2])
        if neighbour.state == "pontic":
            known[neighbour.centre_mm - 0.15 * crown.mesiodistal_mm] = neck - HEALED_MM
            known[neighbour.centre_mm + 0.15 * crown.mesiodistal_mm] = neck - HEALED_MM - 0.2
        else:
            for side in (-0.5, 0.5):
                x = neighbour.centre_mm + side * (crown.neck_mesiodistal_mm + 1.0)
                known[x] = neck - CREST_BELOW_NECK_MM + 0.2
    for side, end in ((-1.0, min(known)), (1.0, max(known))):
        if abs(end) < REACH_MM - 8:
            known[end + side * 4.0] = known[end] - 0.5 * HEALED_MM
            known[end + side * 8.0] = known[end] - HEALED_MM
        known[side * (REACH_MM + 1)] = min(known[end], -1.0) - HEALED_MM
    places = sorted(known)
    return PchipInterpolator(places, [known[x] for x in places])


def _crest(section: Section, reach: tuple[float, float], height: tuple[float, float]) -> list[Piece]:
    rise = (height[1] - height[0]) / (reach[1] - reach[0])

    def layer(material: Material, rank: float, plate: float, depth_plate: float) -> Piece:
        top = Circle(MIDDLE_Y_MM, height[0] - section.crest_mm, section.crest_mm - plate)
        low = Circle(MIDDLE_Y_MM, height[0] - 10.0, section.apical_mm - 0.35 - depth_plate)
        return beam(material, rank, reach, (top, low), rise=rise)

    gum_top = Circle(MIDDLE_Y_MM, height[0] + 1.7 - section.crest_mm - 1.2, section.crest_mm + 1.2)
    gum_low = Circle(MIDDLE_Y_MM, height[0] - 10.0, section.apical_mm + 2.2)
    return [
        layer(Material.CORTICAL, priority.CORTEX, 0.0, 0.0),
        layer(Material.CANCELLOUS, priority.MARROW, section.crest_plate_mm, section.apical_plate_mm),
        beam(Material.SOFT, priority.SOFT, reach, (gum_top, gum_low), rise=rise),
    ]


def _body(section: Section) -> list[Piece]:
    reach = (-REACH_MM, REACH_MM)

    def layer(material: Material, rank: float, apical: float, base: float) -> Piece:
        upper = Circle(MIDDLE_Y_MM, APICAL_Z_MM, section.apical_mm + apical)
        lower = Circle(MIDDLE_Y_MM, BASE_Z_MM, section.base_mm + base)
        return beam(material, rank, reach, (upper, lower))

    return [
        layer(Material.CORTICAL, priority.CORTEX, 0.0, 0.0),
        layer(Material.CANCELLOUS, priority.MARROW, -section.apical_plate_mm, -section.base_plate_mm),
        layer(Material.SOFT, priority.SOFT, 2.2, 2.4),
    ]


def _inside(anatomy: Anatomy) -> list[Piece]:
    """What runs through the jaw near this tooth: nerve canal and ridge below, sinus above."""
    place = anatomy.tooth.number % 10
    tips = anatomy.placement.to_jaw(np.array([root.apex_mm for root in anatomy.tooth.roots]))
    lowest = float(tips[:, 2].min())
    if not anatomy.tooth.is_upper:
        return _nerve(lowest) + (_oblique_ridge() if place >= 7 else []) if place >= 6 else []
    return _sinus(lowest, place) if place >= 5 else []


def _nerve(lowest_mm: float) -> list[Piece]:
    """The nerve canal under the molars, rising distally."""
    x = np.linspace(-REACH_MM, REACH_MM, 15)
    z = lowest_mm - 4.6 + 1.2 * np.sin((x + 6) / 17) + 0.055 * x
    line = np.stack([x, np.full_like(x, 1.3), z], axis=1)
    return chain(Material.CORTICAL, priority.CAVITY_WALL, line, 1.52) + chain(
        Material.SOFT, priority.CAVITY, line, 1.25
    )


def _oblique_ridge() -> list[Piece]:
    """The external oblique ridge: thin overlapping bars, so that its edges fade."""
    line = np.array([[5.0, 0.0, -14.5], [12.0, 0.0, -10.5], [20.0, 0.0, -5.5], [34.0, 0.0, 4.0]])
    pieces: list[Piece] = []
    for number, wide in enumerate((0.75, 1.25, 1.75, 2.25, 2.75)):
        shifted = line + np.array([0.0, -6.3 - 0.24 * number, 0.0])
        radii = wide * np.array([0.35, 0.8, 1.0, 1.1])
        pieces += chain(Material.CORTICAL, priority.RIDGE, shifted, radii, flattening=0.14 / wide + 0.05)
    return pieces


def _sinus(lowest_mm: float, place: int) -> list[Piece]:
    """The floor of the sinus over the upper back teeth: two bays with a thin wall."""
    shift = 6.0 if place == 5 else 0.0
    bays = (((-5.0 + shift, lowest_mm - 8.5), 7.5), ((7.0 + shift, lowest_mm - 8.0), 8.5))
    pieces = []
    for (x, z), wide in bays:
        for material, rank, grow in (
            (Material.CORTICAL, priority.CAVITY_WALL, 0.4),
            (Material.AIR, priority.CAVITY, 0.0),
        ):
            pieces.append(ellipsoid(material, rank, (x, 0.8, z), (wide + grow, 4.6 + grow, 7.0 + grow)))
    fold = round_cone(Material.CORTICAL, priority.CAVITY_WALL, ((1.0 + shift, 0.0, lowest_mm - 4.0),) * 2, (0.1, 0.1))
    return [*pieces, fold]
