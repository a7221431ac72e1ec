"""An anatomy as convex pieces in the jaw frame, with whatever rods stand in it."""

from functools import lru_cache

import numpy as np

from casebank.anatomy import Anatomy
from casebank.radiograph import crown_pieces, priority, root_pieces
from casebank.radiograph.crown_work import crown_work
from casebank.radiograph.details import regrown, without_detail
from casebank.radiograph.features import Feature, ended_earlier, lesion_names, shorter
from casebank.radiograph.jaw_pieces import crest_slab, jaw
from casebank.radiograph.lesion_pieces import dense_bone, lesion
from casebank.radiograph.neighbour_pieces import neighbours
from casebank.radiograph.pulp_pieces import pulp
from casebank.radiograph.resorption_pieces import resorptions
from casebank.radiograph.rod import Rod
from casebank.radiograph.root_pieces import RootForm
from casebank.radiograph.shapes import Frame, Piece, chain
from casebank.radiograph.support_pieces import defects, widened_ligament


def pieces_of(anatomy: Anatomy, rods: tuple[Rod, ...] = (), *, without: Feature | None = None) -> tuple[Piece, ...]:
    """Every piece of an anatomy and of the rods in it; where rods overlap, the later one is there.

    `without` leaves one feature out as if it had never been; one that is not there changes nothing.
    """
    shapes: list[Piece] = []
    for number, rod in enumerate(rods):
        there = shorter(rod) if without == Feature("file tip", str(number + 1)) else rod
        rank, frame = priority.ROD + 0.01 * number, Frame(there.axes, np.zeros(3))
        line = there.centre_line @ there.axes
        shapes += chain(there.material, rank, line, there.radius_mm, frame, flattening=np.asarray(there.flattening))
    return _anatomy_pieces(anatomy, None if without and without.kind == "file tip" else without) + tuple(shapes)


@lru_cache(maxsize=32)
def _anatomy_pieces(anatomy: Anatomy, without: Feature | None = None) -> tuple[Piece, ...]:
    left_out = (without.kind, without.name) if without else ("", "")
    anatomy = without_detail(anatomy, *left_out)
    frame = Frame(anatomy.placement.to_jaw(np.eye(3)).T, np.zeros(3))
    tooth = anatomy.tooth
    furcation_z = None if tooth.furcation_mm is None else tooth.crown.height_mm - tooth.furcation_mm
    roots = tuple(regrown(ended_earlier(root, without), *left_out) for root in tooth.roots)
    form = RootForm.of(roots, tooth.crown, furcation_z)
    own_frame = crown_pieces.crown_frame(tooth.crown, frame)
    occlusal_z = float(own_frame.to_jaw(np.array([0.0, 0.0, tooth.crown.height_mm]))[2])
    shapes = root_pieces.dentine(form, frame)
    crest = crest_slab(anatomy)
    shapes += root_pieces.attachment(form, frame, anatomy.support, crest)
    shapes += widened_ligament(roots, frame, anatomy.support, crest) + defects(roots, frame, anatomy.support)
    shapes += resorptions(roots, frame) + pulp(tooth, frame, without)
    if anatomy.prosthesis is None:
        shapes += crown_pieces.natural(tooth.crown, tooth.number, frame)
    else:
        material, margin = anatomy.prosthesis.material, anatomy.prosthesis.margin_above_neck_mm
        shapes += crown_pieces.restored(tooth.crown, tooth.number, frame, material, margin)
    shapes += crown_work(anatomy, shapes, frame, own_frame)
    for name, loss in zip(lesion_names(anatomy), anatomy.lesions, strict=True):
        if without != Feature("lesion", name):
            shapes += lesion(anatomy, loss)
    for island in anatomy.dense_bone:
        shapes += dense_bone(anatomy, island)
    shapes += neighbours(anatomy, occlusal_z)
    shapes += jaw(anatomy, occlusal_z)
    return tuple(shapes)
