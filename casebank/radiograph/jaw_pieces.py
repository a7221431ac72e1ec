"""The jaw: cortex, marrow, crest, and the soft tissue over it.

The crest is a row of short beams along the arch, each climbing or falling between two stations, so bone follows every
neck and the ridge sinks where a tooth is missing.
"""

import numpy as np
from scipy.interpolate import PchipInterpolator

from casebank.anatomy import Anatomy
from casebank.radiograph import priority
from casebank.radiograph.jaw_sections import APICAL_Z_MM, BASE_Z_MM, MIDDLE_Y_MM, REACH_MM, Section, section_of
from casebank.radiograph.landmark_pieces import landmarks
from casebank.radiograph.materials import Material
from casebank.radiograph.neighbour_pieces import CREST_BELOW_NECK_MM
from casebank.radiograph.neighbours import frame_of, usual
from casebank.radiograph.shapes import Array, Circle, Piece, Slab, beam, box

STATIONS = 28
HEALED_MM = 3.6  # how far the ridge has sunk below the neck of a missing tooth: a teaching choice


def jaw(anatomy: Anatomy, occlusal_z_mm: float) -> list[Piece]:
    """Bone and soft tissue round the tooth and its neighbours."""
    section = section_of(anatomy.tooth.number)
    stations = np.linspace(-REACH_MM, REACH_MM, STATIONS + 1)
    crest = _crest_line(anatomy, occlusal_z_mm)(stations)
    pieces = _body(section, anatomy)
    for x0, x1, z0, z1 in zip(stations, stations[1:], crest, crest[1:], strict=False):
        pieces += _crest(section, (float(x0), float(x1)), (float(z0), float(z1)))
    pieces += landmarks(anatomy)
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


def _body(section: Section, anatomy: Anatomy) -> list[Piece]:
    reach = (-REACH_MM, REACH_MM)
    base_z = BASE_Z_MM if anatomy.tooth.is_upper else section.base_mm - anatomy.jaw_here.lower_border_mm

    def layer(material: Material, rank: float, apical: float, base: float) -> Piece:
        upper = Circle(MIDDLE_Y_MM, APICAL_Z_MM, section.apical_mm + apical)
        lower = Circle(MIDDLE_Y_MM, base_z, section.base_mm + base)
        return beam(material, rank, reach, (upper, lower))

    return [
        layer(Material.CORTICAL, priority.CORTEX, 0.0, 0.0),
        layer(Material.CANCELLOUS, priority.MARROW, -section.apical_plate_mm, -section.base_plate_mm),
        layer(Material.SOFT, priority.SOFT, 2.2, 2.4),
    ]
