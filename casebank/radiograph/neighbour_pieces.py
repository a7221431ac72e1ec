"""Neighbouring teeth, natural or part of a bridge, as pieces."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from casebank.anatomy import Anatomy, Crown, Neighbour, Support
from casebank.radiograph import crown_pieces, priority, root_pieces
from casebank.radiograph.materials import Material
from casebank.radiograph.neighbours import Usual, canal_line, frame_of, usual
from casebank.radiograph.shapes import Array, Frame, Piece, Slab, chain, ellipsoid

PONTIC_GAP_MM = 1.4  # between a pontic's underside and the height of its neck: leaves room to clean
CREST_BELOW_NECK_MM = 1.8
CONTACT_SHARE = 0.5  # depth of the connectors below the bite over the crown's height


def neighbours(anatomy: Anatomy, occlusal_z_mm: float) -> list[Piece]:
    """All neighbours of the tooth, and the connectors of the bridge they share."""
    pieces: list[Piece] = []
    for neighbour in anatomy.neighbours:
        if neighbour.state == "pontic":
            pieces += _pontic(anatomy, neighbour, occlusal_z_mm)
        else:
            pieces += _rooted(anatomy, neighbour, occlusal_z_mm)
    return pieces + _connectors(anatomy, occlusal_z_mm)


def crest_of(frame: Frame) -> Slab:
    """All below the bone crest of a neighbour."""
    return Slab(np.array([0.0, 0.0, 1.0]), high_mm=float(frame.at_mm[2]) - CREST_BELOW_NECK_MM)


def _rooted(anatomy: Anatomy, neighbour: Neighbour, occlusal_z_mm: float) -> list[Piece]:
    form, place = usual(neighbour.number), neighbour.number % 10
    frame = frame_of(neighbour, form.crown, anatomy.tooth.number, occlusal_z_mm)
    support = Support(anatomy.support.ligament_mm, anatomy.support.lamina_mm)
    pieces = root_pieces.dentine(form.roots, frame)
    pieces += root_pieces.attachment(form.roots, frame, support, crest_of(frame))
    pieces += _pulp(form, frame)
    if neighbour.state == "natural" or anatomy.prosthesis is None:
        return pieces + crown_pieces.natural(form.crown, place, frame)
    prosthesis = anatomy.prosthesis
    margin = prosthesis.margin_above_neck_mm
    return pieces + crown_pieces.restored(form.crown, place, frame, prosthesis.material, margin)


def _pulp(form: Usual, frame: Frame) -> list[Piece]:
    pieces: list[Piece] = []
    for root in form.roots.roots:
        line, radii = canal_line(root)
        pieces += chain(Material.PULP, priority.PULP, line, radii, frame, flattening=1.4)
    crown = form.crown
    if len(form.roots.roots) > 1:
        half_axes = (0.17 * crown.mesiodistal_mm, 0.32 * crown.buccolingual_mm, 1.15)
        for side in (-0.12, -0.04, 0.04, 0.12):
            at = (side * crown.mesiodistal_mm, 0.0, -0.15 - 2.0 * abs(side))
            pieces.append(ellipsoid(Material.PULP, priority.PULP, at, half_axes, frame))
        return pieces
    half_axes = (0.12 * crown.mesiodistal_mm, 0.17 * crown.buccolingual_mm, 0.36 * crown.height_mm)
    pieces.append(ellipsoid(Material.PULP, priority.PULP, (0.0, 0.0, 0.08 * crown.height_mm), half_axes, frame))
    return pieces


def _pontic(anatomy: Anatomy, neighbour: Neighbour, occlusal_z_mm: float) -> list[Piece]:
    crown = _fitted(anatomy, neighbour)
    frame = frame_of(neighbour, crown, anatomy.tooth.number, occlusal_z_mm)
    material = anatomy.prosthesis.material if anatomy.prosthesis else "metal-ceramic"
    return crown_pieces.pontic(crown, neighbour.number % 10, frame, material)


def _fitted(anatomy: Anatomy, neighbour: Neighbour) -> Crown:
    """A pontic's crown: no wider than the gap it fills, and clear of the ridge."""
    crown = usual(neighbour.number).crown
    others = [(0.0, anatomy.tooth.crown.mesiodistal_mm)] + [
        (other.centre_mm, usual(other.number).crown.mesiodistal_mm)
        for other in anatomy.neighbours
        if other is not neighbour
    ]
    room = min(2 * (abs(centre - neighbour.centre_mm) - width / 2) for centre, width in others)
    width = min(crown.mesiodistal_mm, max(room, 0.5 * crown.mesiodistal_mm))
    thick = 0.86 * crown.buccolingual_mm
    return replace(
        crown, height_mm=crown.height_mm - PONTIC_GAP_MM + 1.0, mesiodistal_mm=width, buccolingual_mm=thick,
        neck_mesiodistal_mm=0.1 * width, neck_buccolingual_mm=0.1 * thick,
    )  # fmt: skip


def _connectors(anatomy: Anatomy, occlusal_z_mm: float) -> list[Piece]:
    """Metal between neighbouring units of a bridge, at the height of their contacts."""
    prosthesis = anatomy.prosthesis
    if prosthesis is None or prosthesis.kind != "bridge":
        return []
    places = [(0.0, anatomy.tooth.number, anatomy.tooth.crown.height_mm)] + [
        (other.centre_mm, other.number, usual(other.number).crown.height_mm) for other in anatomy.neighbours
    ]
    units = sorted((x, height) for x, number, height in places if number in prosthesis.spans)
    pieces: list[Piece] = []
    for (x, height), (other_x, other_height) in pairwise(units):
        first, second = _contact(x, height, occlusal_z_mm), _contact(other_x, other_height, occlusal_z_mm)
        pieces += crown_pieces.connector(first, second)
    return pieces


def _contact(x_mm: float, height_mm: float, occlusal_z_mm: float) -> Array:
    return np.array([x_mm, 0.0, occlusal_z_mm - CONTACT_SHARE * height_mm])
