"""The visible surface of a crown as heights and tones over its map: outer surfaces only.

Form comes from the very pieces the film is computed from; grooves, ridges and hollows that are too fine for them are
added from the table of surface lines. Roots, pulp and whatever stands in a canal are not asked for at all.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.anatomy import Anatomy, Placement
from casebank.anatomy.occlusal import MapFrame, SurfaceLines, map_frame, surface_lines
from casebank.casefile.level_lines import Line, level_lines
from casebank.radiograph import Material, priority
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.sections import Grid, seen_surface

Field = NDArray[np.float64]

OUTER = (Material.ENAMEL, Material.CERAMIC, Material.METAL)
LID_MM = 1.6  # a filling ends a little under the crown's own surface; up to so far under it, it counts as seen
BRIDGED_PX = 10  # a slope of a cusp that stands higher over a filling than that, but no wider, counts as filled too
PITCH_MM = 0.08
ROUND_MM = 0.8  # left free round the crown
SMOOTH_MM = 0.15  # takes the joints between pieces off the surface
GROOVE_MM, GROOVE_WIDE_MM = 0.26, 0.16  # depth and half width of a drawn groove; as all below, teaching choices
FINE_MM, FINE_WIDE_MM = 0.10, 0.11
RIDGE_MM, RIDGE_WIDE_MM = 0.22, 0.34
RIM_MM = 0.5  # over which relief fades out towards the outline
# right, down, towards the eye, and share: light from the top left, as in drawings, and less from the other side
LIGHTS = ((-0.50, -0.62, 0.60, 0.62), (0.60, 0.10, 0.79, 0.22), (0.0, 0.0, 1.0, 0.16))
STEEP = {"above": 0.66, "the tongue's side": 1.05}  # how strongly slopes are drawn; steep ones always flatter
OPEN_MM, OPEN_GAIN = 0.8, 0.15  # ground lower than what lies round it is darker
OUTLINE_PX = 1.8  # rounds off the joints between pieces along the outline


@dataclass(frozen=True, eq=False)
class Relief:
    """A crown's surface over its map.

    Attributes
    ----------
    tone : array, shape (rows, columns)
        0 dark to 1 light; not-a-number off the crown.
    heights : array, shape (rows, columns), mm
        Towards the eye; not-a-number off the crown.
    materials : array, shape (rows, columns)
        What the surface is made of; -1 off the crown.
    outline : list of arrays, shape (n, 2), mm
        The crown's outline on the map, right and down.
    """

    tone: Field
    heights: Field
    materials: NDArray[np.int64]
    outline: list[Line]
    frame: MapFrame
    corner_mm: tuple[float, float]

    def lines(self, field: Field, level: float) -> list[Line]:
        """Outlines of all ground at least as high as a level in some field over the map, right and down, mm."""
        return [np.array(self.corner_mm) + PITCH_MM * line for line in level_lines(field, level)]


def crown_relief(anatomy: Anatomy) -> Relief:
    """The surface of an anatomy's crown, seen as its map shows it."""
    tooth = anatomy.tooth
    frame, crown = map_frame(tooth), tooth.crown
    alone = replace(anatomy, placement=Placement(), neighbours=(), lesions=())
    pieces = tuple(piece for piece in pieces_of(alone) if piece.priority < priority.CHIP)
    crowned = tuple(piece for piece in pieces if piece.material in OUTER and piece.priority < priority.FILLING)
    filled = tuple(piece for piece in pieces if priority.FILLING <= piece.priority < priority.BASE)
    half_mm = crown.mesiodistal_mm / 2 + ROUND_MM
    if frame.seen_from == "above":
        middle_mm, half_along_mm = 0.0, crown.buccolingual_mm / 2 + ROUND_MM
    else:
        middle_mm, half_along_mm = crown.height_mm / 2, crown.height_mm / 2 + ROUND_MM
    columns, rows = (2 * round(half / PITCH_MM) + 1 for half in (half_mm, half_along_mm))
    right = frame.axes @ np.array([frame.x_right, 0.0, 0.0])
    down = frame.along_down * (frame.axes @ frame.along)
    centre = middle_mm * (frame.axes @ frame.along)
    grid = Grid(centre, right, down, rows, columns, PITCH_MM)
    heights, materials = seen_surface(crowned, grid, frame.axes @ frame.toward_eye)
    under, fillings = seen_surface(filled, grid, frame.axes @ frame.toward_eye)
    near = ndimage.binary_closing(under > heights - LID_MM, iterations=BRIDGED_PX) & (fillings >= 0)
    materials = np.where(near, fillings, materials)
    corner = (-(columns - 1) / 2 * PITCH_MM, frame.along_down * middle_mm - (rows - 1) / 2 * PITCH_MM)
    x_mm = frame.x_right * (corner[0] + PITCH_MM * np.arange(columns))[None, :]
    along_mm = frame.along_down * (corner[1] + PITCH_MM * np.arange(rows))[:, None]
    lines = surface_lines(frame)
    if frame.seen_from != "above":
        rise = lines.neck_rise_mm * (2 * x_mm / crown.neck_mesiodistal_mm) ** 2
        heights = np.where(along_mm < rise + 0.0 * x_mm, np.nan, heights)
    places = tuple(np.broadcast_arrays(x_mm, along_mm))
    met = np.isfinite(heights)
    if lines.within is not None:
        met &= _enclosed(lines.within, *places)
    covered = ndimage.gaussian_filter(met.astype(np.float64), OUTLINE_PX)
    on_crown = covered >= 0.5
    heights = _carved(_smooth(heights, on_crown), on_crown, lines, places)
    materials = np.where(on_crown, materials, -1)
    outline = [np.array(corner) + PITCH_MM * line for line in level_lines(covered, 0.5)]
    longest = max(outline, key=len)
    tone = _toned(heights, on_crown, STEEP[frame.seen_from])
    return Relief(tone, heights, materials, [longest], frame, corner)


def _enclosed(line: Line, x_mm: Field, along_mm: Field) -> NDArray[np.bool_]:
    """Places that a closed line goes round: a ray from each crosses it an odd number of times."""
    inside = np.zeros(x_mm.shape, dtype=bool)
    for (px, py), (qx, qy) in zip(line, np.roll(line, -1, axis=0), strict=True):
        if py != qy:
            inside ^= ((py > along_mm) != (qy > along_mm)) & (x_mm < px + (along_mm - py) * (qx - px) / (qy - py))
    return inside


def _smooth(heights: Field, on_crown: NDArray[np.bool_]) -> Field:
    """Heights with the joints between pieces taken off; each place is averaged with others on the crown only."""
    known = np.isfinite(heights)
    sigma = SMOOTH_MM / PITCH_MM
    total = ndimage.gaussian_filter(np.where(known, heights, 0.0), sigma)
    weight = ndimage.gaussian_filter(known.astype(np.float64), sigma)
    return np.where(on_crown, total / np.maximum(weight, 1e-9), np.nan)


def _carved(heights: Field, on_crown: NDArray[np.bool_], lines: SurfaceLines, places: tuple[Field, ...]) -> Field:
    """Heights with grooves and hollows sunk and ridges raised; all fade out towards the outline."""
    x_mm, along_mm = places
    from_rim = ndimage.distance_transform_edt(on_crown) * PITCH_MM
    change = np.zeros(heights.shape)
    for kind, amount, wide in (
        (lines.grooves, -GROOVE_MM, GROOVE_WIDE_MM),
        (lines.fine, -FINE_MM, FINE_WIDE_MM),
        (lines.ridges, RIDGE_MM, RIDGE_WIDE_MM),
    ):
        effect = np.zeros(heights.shape)
        for line in kind:
            near = _round_about(line, 2.5 * wide, x_mm, along_mm)
            close = np.exp(-((_distance(line, x_mm[near], along_mm[near]) / wide) ** 2))
            effect[near] = np.maximum(effect[near], close)
        change += amount * effect
    for pit in lines.hollows:
        off = ((x_mm - pit.x_mm) / pit.half_x_mm) ** 2 + ((along_mm - pit.along_mm) / pit.half_along_mm) ** 2
        change -= pit.depth_mm * np.exp(-off)
    return np.asarray(heights + change * np.clip(from_rim / RIM_MM, 0, 1))


def _round_about(line: Line, reach_mm: float, x_mm: Field, along_mm: Field) -> tuple[slice, slice]:
    """Rows and columns that come near a line's own box."""
    (low_x, low_along), (high_x, high_along) = line.min(axis=0) - reach_mm, line.max(axis=0) + reach_mm
    rows = np.nonzero((along_mm[:, 0] >= low_along) & (along_mm[:, 0] <= high_along))[0]
    columns = np.nonzero((x_mm[0] >= low_x) & (x_mm[0] <= high_x))[0]
    if rows.size == 0 or columns.size == 0:
        return slice(0, 0), slice(0, 0)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _distance(line: Line, x_mm: Field, along_mm: Field) -> Field:
    """Distance of every place to a line."""
    nearest = np.full(x_mm.shape, np.inf)
    for (px, py), (qx, qy) in pairwise(line):
        dx, dy = qx - px, qy - py
        share = np.clip(((x_mm - px) * dx + (along_mm - py) * dy) / max(dx * dx + dy * dy, 1e-12), 0, 1)
        nearest = np.minimum(nearest, np.hypot(x_mm - px - share * dx, along_mm - py - share * dy))
    return nearest


def _toned(heights: Field, on_crown: NDArray[np.bool_], steep: float) -> Field:
    """Light and shade: the slope against the light, and ground between heights a little darker."""
    rows, columns = ndimage.distance_transform_edt(~on_crown, return_distances=False, return_indices=True)
    filled = ndimage.gaussian_filter(heights[rows, columns], 0.8)
    down, right = np.gradient(filled, PITCH_MM)
    flatter = steep / (1 + 0.35 * np.hypot(down, right))
    normal = np.stack([-right * flatter, -down * flatter, np.ones_like(filled)], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    lit = np.zeros(filled.shape)
    for *toward, share in LIGHTS:
        lit += share * np.clip(normal @ (np.array(toward) / np.linalg.norm(toward)), 0, 1)
    round_about = ndimage.gaussian_filter(filled, OPEN_MM / PITCH_MM)
    lit = lit + OPEN_GAIN * np.clip(filled - round_about, -1.2, 0.6)
    tone = ndimage.gaussian_filter(lit, 1.3)
    return np.where(on_crown, np.clip(tone, 0, 1), np.nan)
