"""What a crown has lost: caries, a broken corner, an open margin."""

import numpy as np

from casebank.anatomy import Caries, Chip, OpenMargin
from casebank.radiograph import priority
from casebank.radiograph.cavity_forms import CrownSurface, stack
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Piece
from casebank.radiograph.slanted import slanted_box

# teaching choices
# nested solids of one lesion: shares of its depth, height and breadth
SHELLS = ((1.0, 0.7, 0.5), (0.8, 0.9, 0.8), (0.55, 1.0, 1.0))
STEPS = 12
SPREAD = 0.75  # half the bucco-lingual extent of caries at a contact, over its height
DEEPEST_SHARE = 0.6  # of the crown's depth, that it takes at most
ENAMEL_MM = 1.4  # how far below the groove occlusal caries has spread out
MOUTH_SHARE = 0.35  # width of occlusal caries at the groove over that below the enamel
BEYOND_MM = 0.6  # how far a broken corner is cleared outside the crown
BELOW_MARGIN_MM = 0.05


def caries(surface: CrownSurface, place: Caries, *, below_mm: float | None = None) -> list[Piece]:
    """One lesion; under a crown it stays below the margin, at `below_mm`."""
    material = Material.SOFT if place.open else Material.CARIES
    if place.surface == "occlusal":
        return _occlusal(surface, place, material)
    ceiling = surface.top_mm if below_mm is None else below_mm - BELOW_MARGIN_MM
    pieces = []
    for deep, tall, broad in SHELLS:
        pieces += _shell(surface, place, (deep, tall, broad), ceiling, material)
    return pieces


def _shell(
    surface: CrownSurface, place: Caries, shares: tuple[float, float, float], ceiling: float, material: Material
) -> list[Piece]:
    """One of the nested solids whose overlap lets caries fade out inwards."""
    half_mm = shares[1] * place.height_mm / 2
    turn = np.linspace(-np.pi / 2, np.pi / 2, STEPS)
    heights = place.above_neck_mm + half_mm * np.sin(turn)
    depth = shares[0] * place.depth_mm * np.cos(turn)
    kept = heights[heights < ceiling]
    if len(kept) < 1 or heights[0] > ceiling - 0.1:
        return []
    kept = kept if heights[-1] <= ceiling else np.append(kept, ceiling)
    heights, depth = kept, np.interp(kept, heights, depth)
    left, right = surface.sideways.at(heights)
    front, back = surface.across.at(heights)
    if place.surface in ("mesial", "distal"):
        depth = np.minimum(depth, 0.9 * (right - left))
        sideways = (left, left + depth) if place.surface == "mesial" else (right - depth, right)
        half = np.minimum(SPREAD * shares[2] * place.height_mm, DEEPEST_SHARE * (back - front) / 2)
        half = half * np.clip(depth / (shares[0] * place.depth_mm), 0.15, 1.0)
        middle = (back + front) / 2
        across = np.stack([middle - half, middle + half], axis=1)
    else:
        depth = np.minimum(depth, 0.9 * (back - front))
        middle, half = (left + right) / 2, np.minimum(shares[2] * place.height_mm, 0.4 * (right - left))
        sideways = middle - half, middle + half
        span = (front, front + depth) if place.surface == "buccal" else (back - depth, back)
        across = np.stack(span, axis=1)
    return stack(material, priority.CARIES, surface.frame, heights, sideways, across)


def _occlusal(surface: CrownSurface, place: Caries, material: Material) -> list[Piece]:
    """Narrow at the groove, widest under the enamel, pointed towards the pulp."""
    top = surface.top_mm
    floor = max(top - place.depth_mm, 0.2)
    shares = [0.05, 0.55, 0.9, 1.0, MOUTH_SHARE, MOUTH_SHARE]
    wide_at = max(floor + 0.3 * (top - floor), top - ENAMEL_MM)
    heights = np.array([floor, *np.linspace(floor, wide_at, 4)[1:], (wide_at + top) / 2, top])
    left, right = surface.sideways.at(heights)
    middle = (left + right) / 2
    half_x = np.minimum(place.height_mm / 2 * np.array(shares), 0.45 * (right - left))
    half_y = np.minimum(0.8 * half_x, surface.half_y_mm(heights))
    middle_y = surface.middle_y_mm(heights)
    across = np.stack([middle_y - half_y, middle_y + half_y], axis=1)
    return stack(material, priority.CARIES, surface.frame, heights, (middle - half_x, middle + half_x), across)


def chip(surface: CrownSurface, place: Chip) -> list[Piece]:
    """A corner gone along a slanting plane: what stood beyond it is air."""
    side = -1.0 if place.side == "mesial" else 1.0
    top = surface.sideways.top_mm
    foot = max(top - place.height_mm, 0.5)
    low, high = surface.sideways.at(np.array([foot, top]))
    edge = high if side > 0 else low
    begin = np.array([float(edge[0]), 0.0, foot])
    end = np.array([_widest(surface, foot, side) - side * place.width_mm, 0.0, top + BEYOND_MM])
    along = end - begin
    out = np.array([along[2], 0.0, -along[0]]) * side / np.linalg.norm(along)
    thick = place.width_mm * place.height_mm / np.linalg.norm(along) + BEYOND_MM
    centre = (begin + end) / 2 + thick / 2 * out
    half: tuple[Array, Array, Array] = (along / 2, thick / 2 * out, np.array([0.0, 8.0, 0.0]))
    return [slanted_box(Material.AIR, priority.CHIP, centre, half, surface.frame)]


def _widest(surface: CrownSurface, from_mm: float, side: float) -> float:
    """The furthest the crown reaches on one side, above a height."""
    heights = np.linspace(from_mm, surface.sideways.top_mm, 9)
    low, high = surface.sideways.at(heights)
    return float(high.max() if side > 0 else low.min())


def open_margin(surface: CrownSurface, place: OpenMargin, margin_mm: float) -> list[Piece]:
    """A gap between a crown's edge and the tooth."""
    heights = np.linspace(margin_mm - 0.02, margin_mm + place.height_mm, 4)
    low, high = surface.sideways.at(heights)
    depth = np.minimum(place.depth_mm * np.array([1.0, 0.95, 0.7, 0.35]), 0.9 * (high - low))
    sideways = (low, low + depth) if place.side == "mesial" else (high - depth, high)
    half, middle = 0.8 * surface.half_y_mm(heights), surface.middle_y_mm(heights)
    across = np.stack([middle - half, middle + half], axis=1)
    return stack(Material.SOFT, priority.CARIES + 0.5, surface.frame, heights, sideways, across)
