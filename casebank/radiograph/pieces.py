"""An anatomy as convex pieces in the jaw frame, with whatever rods stand in it."""

from functools import lru_cache

import numpy as np

from casebank.anatomy import Anatomy
from casebank.radiograph import crown_pieces, priority, root_pieces
from casebank.radiograph.jaw_pieces import crest_slab, jaw
from casebank.radiograph.lesion_pieces import lesion
from casebank.radiograph.neighbour_pieces import neighbours
from casebank.radiograph.pulp_pieces import pulp
from casebank.radiograph.rod import Rod
from casebank.radiograph.root_pieces import RootForm
from casebank.radiograph.shapes import Frame, Piece, chain


def pieces_of(anatomy: Anatomy, rods: tuple[Rod, ...] = ()) -> tuple[Piece, ...]:
    """Every piece of an anatomy and of the rods in it; where rods overlap, the later one is there."""
    shapes: list[Piece] = []
    for number, rod in enumerate(rods):
        shapes += chain(rod.material, priority.ROD + 0.01 * number, rod.centre_line, rod.radius_mm)
    return _anatomy_pieces(anatomy) + tuple(shapes)


@lru_cache(maxsize=16)
def _anatomy_pieces(anatomy: Anatomy) -> tuple[Piece, ...]:
    frame = Frame(anatomy.placement.to_jaw(np.eye(3)).T, np.zeros(3))
    tooth, place = anatomy.tooth, anatomy.tooth.number % 10
    furcation_z = None if tooth.furcation_mm is None else tooth.crown.height_mm - tooth.furcation_mm
    form = RootForm.of(tooth.roots, tooth.crown, furcation_z)
    own_frame = crown_pieces.crown_frame(tooth.crown, frame)
    occlusal_z = float(own_frame.to_jaw(np.array([0.0, 0.0, tooth.crown.height_mm]))[2])
    shapes = root_pieces.dentine(form, frame)
    shapes += root_pieces.attachment(form, frame, anatomy.support, crest_slab(anatomy))
    shapes += pulp(tooth, frame)
    if anatomy.prosthesis is None:
        shapes += crown_pieces.natural(tooth.crown, place, frame)
    else:
        material, margin = anatomy.prosthesis.material, anatomy.prosthesis.margin_above_neck_mm
        shapes += crown_pieces.restored(tooth.crown, place, frame, material, margin)
    for loss in anatomy.lesions:
        shapes += lesion(anatomy, loss)
    shapes += neighbours(anatomy, occlusal_z)
    shapes += jaw(anatomy, occlusal_z)
    return tuple(shapes)
