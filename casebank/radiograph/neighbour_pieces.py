"""Neighbouring teeth, natural or part of a bridge, as pieces."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from casebank.anatomy import Anatomy, Crown, Neighbour, Support
from casebank.radiograph import crown_pieces, priority, root_pieces
from casebank.radiograph.materials import Material
from casebank.radiograph.neighbours import LAST_FRONT, Usual, canal_line, frame_of, usual
from casebank.radiograph.root_pieces import COARSE
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
    form, number = usual(neighbour.number, anatomy.bone.seed), neighbour.number
    frame = frame_of(neighbour, form.crown, anatomy.tooth.number, occlusal_z_mm)
    support = Support(anatomy.support.ligament_mm, anatomy.support.lamina_mm)
    pieces = root_pieces.dentine(form.roots, frame)
    pieces += root_pieces.attachment(form.roots, frame, support, crest_of(frame))
    pieces += _pulp(form, frame)
    if neighbour.state == "natural" or anatomy.prosthesis is None:
        return pieces + crown_pieces.natural(form.crown, number, frame)
    prosthesis = anatomy.prosthesis
    margin = prosthesis.margin_above_neck_mm
    return pieces + crown_pieces.restored(form.crown, number, frame, prosthesis.material, margin)


def _pulp(form: Usual, frame: Frame) -> list[Piece]:
    """One canal a root, and a chamber whose horns point to the cusps or to the corners of the edge."""
    pieces: list[Piece] = []
    roots = form.roots.roots
    for root in roots:
        line, radii = canal_line(root, form.pulp_share)
        pieces += chain(Material.PULP, priority.PULP, line, radii, frame, flattening=1.0 if len(roots) > 1 else 1.6)
    if form.roots.furcation_z_mm is not None:
        return pieces + _molar_chamber(form, frame)
    return pieces + (_premolar_chamber(form, frame) if form.place > LAST_FRONT else _front_chamber(form, frame))


def _front_chamber(form: Usual, frame: Frame) -> list[Piece]:
    """The canal widens to the neck and runs out in a horn towards either end of the edge."""
    height, wide = form.crown.height_mm, 0.085 * form.pulp_share * form.crown.neck_mesiodistal_mm
    out = 0.10 * form.crown.mesiodistal_mm
    pieces: list[Piece] = []
    for side in (-1.0, 1.0):
        line = np.array(
            [[0, 0, -0.34 * height], [0.12 * side * out, 0, 0.0], [0.55 * side * out, 0, 0.2 * height],
             [side * out, -0.1, 0.43 * height]]
        )  # fmt: skip
        radii = (1.05 * wide, 1.45 * wide, 1.0 * wide, 0.1)
        pieces += chain(Material.PULP, priority.PULP, line, radii, frame, flattening=1.5)
    return pieces


def _premolar_chamber(form: Usual, frame: Frame) -> list[Piece]:
    """Narrow between the neighbours and long across the arch, with a horn under either cusp."""
    crown, wide = form.crown, 0.085 * form.pulp_share * form.crown.neck_mesiodistal_mm
    roots, height, deep = form.roots.roots, crown.height_mm, crown.buccolingual_mm
    pieces: list[Piece] = []
    for k, side in enumerate((-1.0, 1.0)):
        foot = roots[k if len(roots) > 1 else 0].centre_line(step_mm=COARSE.link_mm)[2]
        line = np.array(
            [foot, [0, 0.10 * side * deep, 0.0], [0, 0.13 * side * deep, 0.2 * height],
             [0, 0.17 * side * deep, (0.46 if side < 0 else 0.36) * height]]
        )  # fmt: skip
        radii = (0.9 * wide, 1.5 * wide, 1.15 * wide, 0.12)
        pieces += chain(Material.PULP, priority.PULP, line, radii, frame, flattening=1.5)
    return pieces


def _molar_chamber(form: Usual, frame: Frame) -> list[Piece]:
    """A low chamber with a rounded roof and floor and four horns."""
    crown, share = form.crown, form.pulp_share
    half_x, half_y = 0.185 * share * crown.mesiodistal_mm, 0.17 * share * crown.buccolingual_mm
    pieces = [
        ellipsoid(Material.PULP, priority.PULP, (side * 0.5 * half_x, 0.0, -0.55), (0.72 * half_x, half_y, 0.8), frame)
        for side in (-1.0, 0.0, 1.0)
    ]
    for side_x in (-1.0, 1.0):
        for side_y in (-1.0, 1.0):
            foot = np.array([0.72 * side_x * half_x, 0.55 * side_y * half_y, -0.5])
            horn = np.array([1.05 * side_x * half_x, 0.9 * side_y * half_y, 0.26 * crown.height_mm])
            pieces += chain(Material.PULP, priority.PULP, np.array([foot, horn]), (0.55, 0.12), frame)
    for root in form.roots.roots:
        start = root.centre_line(step_mm=COARSE.link_mm)[1]
        foot = np.array([0.8 * np.sign(start[0]) * half_x, 0.5 * np.sign(start[1]) * half_y, -0.6])
        pieces += chain(Material.PULP, priority.PULP, np.array([foot, start]), (0.5 * share, 0.38 * share), frame)
    return pieces


def _pontic(anatomy: Anatomy, neighbour: Neighbour, occlusal_z_mm: float) -> list[Piece]:
    crown = _fitted(anatomy, neighbour)
    frame = frame_of(neighbour, crown, anatomy.tooth.number, occlusal_z_mm)
    material = anatomy.prosthesis.material if anatomy.prosthesis else "metal-ceramic"
    return crown_pieces.pontic(crown, neighbour.number, frame, material)


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
        neck_mesiodistal_mm=0.75 * width, neck_buccolingual_mm=0.75 * thick,
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
