"""Whether what a case adds to a tooth fits it: lesions at its roots, restorations in its canals."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.canal import Canal
from casebank.anatomy.lesions import DenseBone, Lesion
from casebank.anatomy.restorations import Fragment, Post, Restorations, RootFilling
from casebank.anatomy.support import Support
from casebank.anatomy.tooth import Tooth
from casebank.anatomy.walls import LAST_MM, around

Lengths = NDArray[np.float64]

STEP_MM = 0.25


def require_bone(tooth: Tooth, support: Support, lesions: Iterable[Lesion], dense_bone: Iterable[DenseBone]) -> None:
    """Check what is named by root. ValueError if it is unknown, a level lies off it, or there is no furcation."""
    for lesion in lesions:
        _require_level("a lesion", tooth, lesion.root, lesion.at_mm)
        if lesion.site == "furcal" and tooth.furcation_mm is None:
            raise ValueError("a furcal lesion needs a tooth with a furcation: give furcation_mm, or another site")
    for island in dense_bone:
        _require_level("dense bone", tooth, island.root, None)
    for place in support.widened:
        _require_level("a widened ligament", tooth, place.root, place.at_mm)


def require_restorations(tooth: Tooth, restorations: Restorations) -> None:
    """Check what is named by canal. ValueError, naming canal and level, if it is unknown or does not fit its root."""
    for filling in restorations.root_fillings:
        what = f"the root filling in {filling.canal}"
        canal = _canal(tooth, filling.canal, what)
        _require_along(what, canal, canal.length_mm - filling.short_mm, filling.top_mm)
        _require_width(what, tooth, canal, filling_levels_mm(canal, filling), filling_mm(canal, filling))
    for post in restorations.posts:
        what = f"the post in {post.canal}"
        canal = _canal(tooth, post.canal, what)
        _require_along(what, canal, post.length_mm, 0.0)
        if post.length_mm >= canal.length_mm:
            raise ValueError(f"{what} is {post.length_mm} mm long, its canal {canal.length_mm:.1f}: shorten it")
        levels = post_levels_mm(post)
        _require_width(what, tooth, canal, levels, np.full_like(levels, post.diameter_mm))
    for piece in restorations.fragments:
        what = f"the fragment in {piece.canal}"
        canal = _canal(tooth, piece.canal, what)
        tip = canal.length_mm - piece.short_mm
        _require_along(what, canal, tip, tip - piece.length_mm)
        _require_width(what, tooth, canal, fragment_levels_mm(canal, piece), fragment_mm(canal, piece))


def filling_levels_mm(canal: Canal, filling: RootFilling) -> Lengths:
    """Levels below the orifice from a root filling's tip to its top, shape (n,), mm."""
    return _levels(canal.length_mm - filling.short_mm, filling.top_mm)


def filling_mm(canal: Canal, filling: RootFilling) -> Lengths:
    """A root filling's mesio-distal and smallest width at its levels, shape (n,), mm."""
    levels = filling_levels_mm(canal, filling)
    own = filling.apical_mm + filling.taper * (levels[0] - levels)
    return np.asarray(np.maximum(own, canal.walled_mm(levels)) if filling.spread else own)


def post_levels_mm(post: Post) -> Lengths:
    """Levels below the orifice from a post's tip to the orifice, shape (n,), mm."""
    return _levels(post.length_mm, 0.0)


def fragment_levels_mm(canal: Canal, piece: Fragment) -> Lengths:
    """Levels below the orifice from a fragment's tip to its broken end, shape (n,), mm."""
    tip = canal.length_mm - piece.short_mm
    return _levels(tip, tip - piece.length_mm)


def fragment_mm(canal: Canal, piece: Fragment) -> Lengths:
    """A fragment's diameters at its levels, shape (n,), mm."""
    levels = fragment_levels_mm(canal, piece)
    return np.asarray(piece.tip_mm + piece.taper * (levels[0] - levels))


def _levels(tip_mm: float, top_mm: float) -> Lengths:
    return np.linspace(tip_mm, top_mm, max(3, int(np.ceil((tip_mm - top_mm) / STEP_MM)) + 1))


def _canal(tooth: Tooth, name: str, what: str) -> Canal:
    names = [canal.name for canal in tooth.canals]
    if name not in names:
        raise ValueError(f"{what}: this tooth has no such canal, only {', '.join(names)}")
    return tooth.canal(name)


def _require_level(what: str, tooth: Tooth, root: str, at_mm: float | None) -> None:
    names = [each.name for each in tooth.roots]
    if root not in names:
        raise ValueError(f"{what} names root {root}, which this tooth does not have: {names}")
    length_mm = tooth.root(root).course.length_mm
    if at_mm is not None and at_mm > length_mm:
        raise ValueError(f"{what} at {at_mm} mm lies below root {root}, which is {length_mm:.1f} mm long: move it up")


def _require_along(what: str, canal: Canal, tip_mm: float, top_mm: float) -> None:
    if not 0 <= top_mm < tip_mm - 0.2:
        raise ValueError(
            f"{what} would run from {top_mm:.1f} to {tip_mm:.1f} mm below the orifice of a canal of "
            f"{canal.length_mm:.1f} mm: give it 0.2 mm or more, and end it at the orifice or below"
        )


def _require_width(what: str, tooth: Tooth, canal: Canal, levels: Lengths, width: Lengths) -> None:
    """Within the root's width through the canal, above its last millimetre."""
    known = canal.levels(step_mm=STEP_MM)
    walls = around(canal, tooth.orifice_of(canal), tooth.root(canal.root), tooth.roots, step_mm=STEP_MM)
    beside = np.interp(levels, known, np.minimum(walls.furcation_mm, walls.outer_mm))
    lumen = np.interp(levels, known, np.minimum(*canal.across_mm(known)))
    wide = (levels < canal.length_mm - LAST_MM) & (width > np.maximum(lumen, lumen + 2 * beside))
    if wide.any():
        at = int(np.argmax(wide))
        raise ValueError(
            f"{what} is {width[at]:.2f} mm wide {levels[at]:.1f} mm below the orifice, where root {canal.root} has no "
            f"room for more than {lumen[at] + 2 * beside[at]:.2f}: make it thinner"
        )
