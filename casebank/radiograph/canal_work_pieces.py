"""What dentists left in canals: root fillings, posts, broken instruments; and a chamber filled up."""

from dataclasses import replace

import numpy as np

from casebank.anatomy import Canal, Fragment, Post, Restorations, RootFilling, Tooth, fitting
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.restoration_pieces import film_material
from casebank.radiograph.shapes import Array, Frame, Piece, chain

LINKS_MM = 0.7
IN_FILM = {
    "metal": Material.METAL,
    "fibre": Material.FIBRE,
    "steel": Material.STEEL,
    "nickel-titanium": Material.NICKEL_TITANIUM,
}


def canal_work(tooth: Tooth, restorations: Restorations, chamber: list[Piece], frame: Frame) -> list[Piece]:
    """All of it; `chamber` are the pieces of the pulp chamber."""
    pieces = []
    for filling in restorations.root_fillings:
        pieces += _root_filling(tooth, tooth.canal(filling.canal), filling, frame)
    for post in restorations.posts:
        pieces += _post(tooth, tooth.canal(post.canal), post, frame)
    for piece in restorations.fragments:
        pieces += _fragment(tooth, tooth.canal(piece.canal), piece, frame)
    if restorations.chamber is not None:
        material = film_material(restorations.chamber)
        pieces += [replace(piece, material=material, priority=priority.CHAMBER_FILLING) for piece in chamber]
    return pieces


def _root_filling(tooth: Tooth, canal: Canal, filling: RootFilling, frame: Frame) -> list[Piece]:
    levels = fitting.filling_levels_mm(canal, filling)
    own = filling.apical_mm + filling.taper * (levels[0] - levels)
    mesiodistal, buccolingual = canal.across_mm(levels)
    wide, deep = (np.maximum(own, mesiodistal), np.maximum(own, buccolingual)) if filling.spread else (own, own.copy())
    kept = np.unique(np.r_[0 : len(levels) : max(1, round(LINKS_MM / fitting.STEP_MM)), len(levels) - 1])
    line = canal.course.at(tooth.orifice_of(canal), levels)
    pieces = chain(
        Material.ROOT_FILLING, priority.ROOT_FILLING, line[kept], wide[kept] / 2, frame, flattening=(deep / wide)[kept]
    )
    for void in filling.voids:
        at = np.clip(
            canal.length_mm - void.short_mm + void.length_mm / 2 * np.array([1.0, 0.0, -1.0]), *levels[[-1, 0]]
        )
        here = np.interp(at, levels[::-1], wide[::-1]) / 2 * void.share
        deep_here = np.interp(at, levels[::-1], deep[::-1]) / 2 * void.share
        points = canal.course.at(tooth.orifice_of(canal), at)
        grow = 1.05 if void.share == 1 else 1.0  # a gap from wall to wall leaves no rim
        pieces += chain(Material.SOFT, priority.VOID, points, grow * here, frame, flattening=deep_here / here)
    return pieces


def _post(tooth: Tooth, canal: Canal, post: Post, frame: Frame) -> list[Piece]:
    levels = fitting.post_levels_mm(post)
    line = canal.course.at(tooth.orifice_of(canal), levels)[:: max(1, round(LINKS_MM / fitting.STEP_MM))]
    if post.above_mm > 0:
        out = -canal.course.directions(np.zeros(1))[0]
        line = np.vstack([line, np.array(tooth.orifice_of(canal)) + post.above_mm * out])
    return chain(IN_FILM[post.material], priority.POST, line, post.diameter_mm / 2, frame)


def _fragment(tooth: Tooth, canal: Canal, piece: Fragment, frame: Frame) -> list[Piece]:
    levels = fitting.fragment_levels_mm(canal, piece)
    diameters: Array = fitting.fragment_mm(canal, piece)
    line = canal.course.at(tooth.orifice_of(canal), levels)
    return chain(IN_FILM[piece.material], priority.FRAGMENT, line, diameters / 2, frame)
