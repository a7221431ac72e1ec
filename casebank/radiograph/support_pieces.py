"""Bone and ligament that are not even: angular defects beside the tooth, places where the ligament space is wider."""

from itertools import pairwise

import numpy as np

from casebank.anatomy import AngularDefect, Crest, Root, Support, WidenedLigament, bearing
from casebank.anatomy.finite import evenly_spaced
from casebank.anatomy.within import way_out_mm
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.root_pieces import at_height
from casebank.radiograph.shapes import Frame, Piece, Slab, chain, round_cone

DEFECT_STEPS = 6
DEFECT_ABOVE_MM = 0.5  # how far the mouth of a defect rises over the crest
SPAN_SHARE = 0.85  # of the root's width across, that a defect takes
DEFECT_BOW = 0.75  # below 1 the wedge bulges: its width falls slowly at first
TIP_MM = 0.12  # half its width at its bottom
LIGAMENT_LINK_MM = 0.6
TOWARD_DEG = {"distal": 0.0, "buccal": 90.0, "mesial": 180.0, "lingual": 270.0}


def widened_ligament(roots: tuple[Root, ...], frame: Frame, support: Support, crest: Slab) -> list[Piece]:
    """The wider part of each widened ligament space, and the lamina dura pushed out by it."""
    pieces = []
    for place in support.widened:
        root = next(root for root in roots if root.name == place.root)
        pieces += _widened(root, place, frame, support, crest)
    return pieces


def _widened(root: Root, place: WidenedLigament, frame: Frame, support: Support, crest: Slab) -> list[Piece]:
    length = root.course.length_mm
    at = length if place.at_mm is None else min(place.at_mm, length)
    low, high = max(0.0, at - place.spread_mm), min(length, at + place.spread_mm)
    levels = low + evenly_spaced(max(high - low, 0.1), LIGAMENT_LINK_MM)
    line = root.course.at(root.start_mm, levels)
    own = np.interp(levels / length, [s.share for s in root.stations], [s.radius_mm for s in root.stations])
    extra = place.extra_mm * np.clip(1 - np.abs(levels - at) / place.spread_mm, 0, 1)
    pieces = []
    for material, rank, over in (
        (Material.SOFT, priority.LIGAMENT, 0.0),
        (Material.CORTICAL, priority.LAMINA, support.lamina_mm),
    ):
        grow = support.ligament_mm + extra + over
        pieces += chain(material, rank, line, own + grow, frame, flattening=root.flattening, slab=crest)
    return pieces


def defects(roots: tuple[Root, ...], frame: Frame, support: Support) -> list[Piece]:
    """Every angular defect, filled with soft tissue."""
    return [piece for place in support.defects for piece in _defect(_beside(roots, place), place, support.crest, frame)]


def _beside(roots: tuple[Root, ...], place: AngularDefect) -> Root:
    """The root that stands furthest towards the defect's side."""
    toward = bearing(TOWARD_DEG[place.side])
    return max(roots, key=lambda root: float(at_height(root, -4.0)[0] @ toward))


def _defect(root: Root, place: AngularDefect, crest: Crest, frame: Frame) -> list[Piece]:
    """Round cones down along the root's side, wide at the crest and thin at the bottom, as deep as the root."""
    toward = bearing(TOWARD_DEG[place.side])
    top = -crest.depth_mm(place.side) + DEFECT_ABOVE_MM
    bottom = max(top - DEFECT_ABOVE_MM - place.depth_mm, float(root.centre_line()[-1, 2]))
    sideways = place.side in ("mesial", "distal")
    points, radii = [], []
    for z in np.linspace(top, bottom, DEFECT_STEPS):
        centre, half = at_height(root, float(z))
        surface_mm = way_out_mm(root, centre, toward)
        if surface_mm is None:
            surface_mm = half if sideways else half * root.flattening
        share = (z - bottom) / max(top - bottom, 1e-6)
        thick = TIP_MM + max(place.width_mm / 2 - TIP_MM, 0.0) * share**DEFECT_BOW
        points.append(centre + (surface_mm + thick - 0.15) * toward)
        radii.append(max(float(thick), TIP_MM))
    span = SPAN_SHARE * at_height(root, (top + bottom) / 2)[1] * (root.flattening if sideways else 1.0)
    # the pieces are stretched along their frame's y: across the side on which the defect lies
    turned = frame if sideways else Frame(frame.axes @ np.array([[0, 1.0, 0], [1.0, 0, 0], [0, 0, 1.0]]), frame.at_mm)
    line = np.array(points) if sideways else np.array(points)[:, [1, 0, 2]]
    pieces = []
    for (p, r), (q, s) in pairwise(zip(line, radii, strict=True)):
        flattening = max(1.0, span / max(r, s))
        pieces.append(round_cone(Material.SOFT, priority.LESION, (p, q), (r, s), turned, flattening=flattening))
    return pieces
