"""Fillings in a crown, and what fills its chamber.

The outer side of every filling follows the crown's own surface; its inner sides are flat or oval.
"""

import numpy as np

from casebank.anatomy import Filling
from casebank.anatomy.restorations import CrownMaterial, Surface
from casebank.radiograph import priority
from casebank.radiograph.cavity_forms import CrownSurface, heights_between, stack
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Piece

IN_FILM = {
    "amalgam": Material.AMALGAM,
    "metal": Material.METAL,
    "ceramic": Material.CERAMIC,
    "composite": Material.COMPOSITE,
    "glass-ionomer": Material.GLASS_IONOMER,
}
# teaching choices, in shares of the crown's own sizes
OCCLUSAL_HALF = 0.28  # half the mesio-distal length of an occlusal filling alone, over the crown's width
UNDER_SURFACE_MM = 0.1  # how far an occlusal filling stays below the groove
FRONT_FROM, FRONT_TO = 0.35, 0.72  # heights of a filling at a front tooth's contact
CORNER_FROM, CORNER_STEPS = 0.60, 26  # where a lost corner begins
SMOOTH_FROM, SMOOTH_TO, SMOOTH_STEPS = 0.12, 0.42, 12  # of a buccal or lingual filling
PIT_FROM, PIT_TO = 0.30, 0.60  # of a palatal pit
BASE_INSET_MM = 0.25  # how far a base stays inside the filling's outline
ROUNDING = (0.72, 0.93, 1.0)  # share of its length at a floor, a little and half a millimetre above it
ROUNDING_MM = (0.0, 0.18, 0.5)


def film_material(material: CrownMaterial) -> Material:
    """The film's material of a restoration's."""
    return IN_FILM[material]


def filling(surface: CrownSurface, place: Filling, *, number: int = 0) -> list[Piece]:
    """One filling with its base and its gaps; a later number lies over an earlier one."""
    material, rank = film_material(place.material), priority.FILLING + 0.01 * number
    pieces = _top(surface, place, material, rank) if "occlusal" in place.surfaces else []
    for side in ("mesial", "distal"):
        if side in place.surfaces:
            pieces += _box(surface, place, side, material, rank)
    for side in ("buccal", "lingual"):
        if side in place.surfaces:
            pieces += _smooth(surface, place, side, material, rank)
    return pieces


def _top(surface: CrownSurface, place: Filling, material: Material, rank: float) -> list[Piece]:
    """The part that opens occlusally, or along the edge of a front tooth."""
    top = surface.top_mm - UNDER_SURFACE_MM * surface.back
    floor = max(top - place.depth_mm, 0.3)
    if not surface.back and set(place.surfaces) & {"mesial", "distal"}:
        return []  # the corner is drawn as one
    heights = _rounded_heights(floor, top)
    low, high = surface.sideways.at(heights)
    middle, half = float(low[0] + high[0]) / 2, OCCLUSAL_HALF * float(high[0] - low[0]) * _rounding(heights - floor)
    if surface.back:
        sideways = (
            low if "mesial" in place.surfaces else middle - half,
            high if "distal" in place.surfaces else middle + half,
        )
        half_y = np.minimum(place.width_mm / 2, surface.half_y_mm(heights) - 0.3) * _rounding(heights - floor)
    else:
        sideways = low, high
        half_y = surface.half_y_mm(heights)
    across = _across(surface, heights, half_y)
    pieces = stack(material, rank, surface.frame, heights, sideways, across)
    if place.base_mm > 0:
        low_part = np.linspace(floor, floor + place.base_mm, 4)
        edges = tuple(np.interp(low_part, heights, side) for side in sideways)
        inset = (edges[0] + BASE_INSET_MM, edges[1] - BASE_INSET_MM)
        span = _across(surface, low_part, np.interp(low_part, heights, half_y) - BASE_INSET_MM)
        pieces += stack(Material.GLASS_IONOMER, priority.BASE, surface.frame, low_part, inset, span)
    return pieces


def _box(surface: CrownSurface, place: Filling, side: Surface, material: Material, rank: float) -> list[Piece]:
    """The part that opens towards a neighbour, with the gap under it."""
    if surface.back:
        floor, top, half = place.box_floor_mm, surface.top_mm - UNDER_SURFACE_MM, place.width_mm / 2
    elif "occlusal" in place.surfaces:
        floor, top, half = CORNER_FROM * surface.height_mm, surface.top_mm, 20.0
    else:
        floor, top, half = FRONT_FROM * surface.height_mm, FRONT_TO * surface.height_mm, place.width_mm / 2
    if top <= floor + 0.3:
        return []
    corner = not surface.back and "occlusal" in place.surfaces
    heights = np.linspace(floor, top, CORNER_STEPS) if corner else _rounded_heights(floor, top)
    depth = place.box_depth_mm * _rounding(heights - floor)
    if corner:
        depth = place.box_depth_mm * (0.35 + 0.65 * (heights - floor) / (top - floor))
    elif not surface.back:
        share = (heights - floor) / (top - floor)
        depth = place.box_depth_mm * np.sqrt(np.clip(1 - (2 * share - 1) ** 2, 0.0, 1.0))
    sideways = _from_side(surface, heights, depth, side)
    pieces = stack(material, rank, surface.frame, heights, sideways, _limited(surface, heights, half))
    if place.gap_mm > 0:
        gap = np.linspace(floor - place.gap_mm, floor + 0.02, 3)
        open_mm = np.full(3, min(1.0, place.box_depth_mm))
        sideways = _from_side(surface, gap, open_mm, side)
        pieces += stack(Material.SOFT, rank + 0.005, surface.frame, gap, sideways, _limited(surface, gap, half))
    return pieces


def _smooth(surface: CrownSurface, place: Filling, side: Surface, material: Material, rank: float) -> list[Piece]:
    """A shallow filling in the buccal or lingual surface; a front tooth's lingual one lies in its pit."""
    pit = side == "lingual" and not surface.back
    begins, ends = (PIT_FROM, PIT_TO) if pit else (SMOOTH_FROM, SMOOTH_TO)
    turn = np.linspace(-np.pi / 2, np.pi / 2, SMOOTH_STEPS)
    heights = ((begins + ends) / 2 + (ends - begins) / 2 * np.sin(turn)) * surface.height_mm
    swell = np.maximum(np.cos(turn), 0.1)
    low, high = surface.sideways.at(heights)
    half_x = np.minimum(place.width_mm / 2, 0.4 * (high - low)) * swell
    middle = (low + high) / 2
    outer_low, outer_high = surface.across.at(heights)
    depth = np.minimum(place.depth_mm, 0.45 * (outer_high - outer_low)) * swell
    span = (outer_low, outer_low + depth) if side == "buccal" else (outer_high - depth, outer_high)
    sideways = middle - half_x, middle + half_x
    return stack(material, rank, surface.frame, heights, sideways, np.stack(span, axis=1))


def _from_side(surface: CrownSurface, heights: Array, depth: Array, side: Surface) -> tuple[Array, Array]:
    """From the mesial or distal surface inwards by a depth."""
    low, high = surface.sideways.at(heights)
    depth = np.minimum(depth, 0.9 * (high - low))
    return (low, low + depth) if side == "mesial" else (high - depth, high)


def _limited(surface: CrownSurface, heights: Array, half_mm: float) -> Array:
    return _across(surface, heights, np.minimum(half_mm, surface.half_y_mm(heights)))


def _across(surface: CrownSurface, heights: Array, half: Array) -> Array:
    middle = surface.middle_y_mm(heights)
    half = np.maximum(half, 0.05)
    return np.stack([middle - half, middle + half], axis=1)


def _rounded_heights(floor: float, top: float) -> Array:
    near = [floor + up for up in ROUNDING_MM if floor + up < top - 0.05]
    return np.unique(np.round(np.concatenate([near, heights_between(floor, top)]), 6))


def _rounding(above_floor: Array) -> Array:
    return np.interp(above_floor, ROUNDING_MM, ROUNDING)
