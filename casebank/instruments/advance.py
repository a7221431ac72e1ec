"""How far a tip gets and what it cuts, compiled: a stroke asks this at fifty depths, each time of every level.

The laws stand here once; `mechanics` and `cutting` say what they mean and hand over the values, packed in rows. Sums
keep their order, so that a log gives the same state everywhere.
"""

import math

import numba
import numpy as np
from numpy.typing import NDArray

Rows = NDArray[np.float64]

# rows of a way (5, n): a lumen by level. Depth, length of canal, width, what mud leaves of it, share of loose chips
LEVEL, CELL, WIDTH, OPEN, LOOSE = range(5)
# rows of its bends (4, b): index of the level, curvature, span, and the curvature that 1 mm of play undoes
AT, BEND, SPAN, PER_PLAY = range(4)
# an effort (14,): an instrument and the hand behind it. What may be cut at the tip, in the zone behind it and above;
# the zone's length, core and stiffness; the push, what dryness leaves of it, the pre-curve, its length, and the drag
TIP, TAPER, SHANK, FOLLOW, NEAR, BITE, ZONE, CORE, STIFF, PUSH, LEFT, PRECURVE, PRECURVED, DRAG = range(14)

EPSILON_MM = 1e-9
AT_LEVEL_MM = 1e-7  # a tip this close above a level stands at it
SECTIONS = 16
MOST_MUD = 0.78  # of a section; what is left keeps the open width above 0


@numba.njit(error_model="numpy", cache=True)
def way_of(
    levels: Rows, cells: Rows, width: Rows, packed: Rows, loose: Rows, mud_share: float
) -> Rows:  # pragma: no cover - compiled
    """The rows of a way, from arrays (n,). Mud narrows it by what a file does not push through, its `mud_share`."""
    way = np.empty((5, levels.size))
    way[LEVEL], way[CELL], way[WIDTH] = levels, cells, width
    chips, volume = 0.0, 0.0
    for at in range(levels.size):
        cell = math.pi / 4 * width[at] ** 2 * cells[at]
        way[OPEN, at] = width[at] * math.sqrt(1 - min(max(packed[at] / cell - mud_share, 0.0), MOST_MUD))
        chips += loose[at]
        volume += cell
        way[LOOSE, at] = min(1.0, chips / volume)
    return way


@numba.njit(error_model="numpy", cache=True)
def _diameter_mm(effort: Rows, from_tip_mm: float) -> float:  # pragma: no cover - compiled
    return float(min(max(effort[TIP] + effort[TAPER] * from_tip_mm, effort[TIP]), effort[SHANK]))


@numba.njit(error_model="numpy", cache=True)
def _last_level(way: Rows, tip_mm: float) -> int:  # pragma: no cover - compiled
    """Index of the last level at or above a depth of 0 or more."""
    return int(min(tip_mm / way[LEVEL, 1] + 1e-6, way.shape[1] - 1.0))


@numba.njit(error_model="numpy", cache=True)
def _open_at_mm(way: Rows, tip_mm: float) -> float:  # pragma: no cover - compiled
    """Open width at a depth, interpolated; infinite beyond the foramen."""
    levels, wide = way[LEVEL], way[OPEN]
    last = levels.size - 1
    if tip_mm > levels[last]:
        return np.inf
    at = min(int(tip_mm / levels[1]), last)
    while at < last and levels[at + 1] <= tip_mm:
        at += 1
    while at > 0 and levels[at] > tip_mm:
        at -= 1
    if at == last:
        return float(wide[last])
    slope = (wide[at + 1] - wide[at]) / (levels[at + 1] - levels[at])
    return float(slope * (tip_mm - levels[at]) + wide[at])


@numba.njit(error_model="numpy", cache=True)
def side_n(effort: Rows, way: Rows, bends: Rows, place: int, tip_mm: float) -> float:  # pragma: no cover - compiled
    """Force on the wall at one bent level."""
    at, span = int(bends[AT, place]), bends[SPAN, place]
    from_tip = tip_mm - way[LEVEL, at]
    if from_tip <= -AT_LEVEL_MM:
        return 0.0
    across = _diameter_mm(effort, from_tip)
    curve = bends[BEND, place] - max(0.0, way[WIDTH, at] - across) * bends[PER_PLAY, place]
    if from_tip <= effort[PRECURVED]:
        curve -= effort[PRECURVE]
    core2 = (effort[CORE] * across) ** 2
    return float(core2 * core2 * max(0.0, curve) * (4 * effort[STIFF] * math.pi / 64 / span))


@numba.njit(error_model="numpy", cache=True)
def sides_n(effort: Rows, way: Rows, bends: Rows, tip_mm: float) -> Rows:  # pragma: no cover - compiled
    """Force on the wall at every level, shape (n,)."""
    force = np.zeros(way.shape[1])
    for place in range(bends.shape[1]):
        force[int(bends[AT, place])] = side_n(effort, way, bends, place, tip_mm)
    return force


@numba.njit(error_model="numpy", cache=True)
def drag_n(effort: Rows, way: Rows, bends: Rows, tip_mm: float) -> float:  # pragma: no cover - compiled
    """Axial friction of bending."""
    total = 0.0
    if effort[DRAG] > 0:
        for place in range(bends.shape[1]):
            total += side_n(effort, way, bends, place, tip_mm) / bends[SPAN, place]
    return float(effort[DRAG] * total)


@numba.njit(error_model="numpy", cache=True)
def drive_share(effort: Rows, way: Rows, bends: Rows, tip_mm: float) -> float:  # pragma: no cover - compiled
    """Share of the push left for cutting, 0 to 1, after bending friction, dryness and chips."""
    if effort[PUSH] <= 0:
        return 0.0
    dragged = drag_n(effort, way, bends, tip_mm) / effort[PUSH]
    return float(max(0.0, 1 - dragged) * effort[LEFT] * (1 - way[LOOSE, _last_level(way, tip_mm)]))


@numba.njit(error_model="numpy", cache=True)
def is_held(
    effort: Rows, way: Rows, bends: Rows, tip_mm: float, bored_to_mm: float = -1.0
) -> bool:  # pragma: no cover - compiled
    """Whether more interferes than may be cut, so that a tip cannot stand at a depth.

    `bored_to_mm` is the depth to which the instrument itself has just bored; below 0 if it has not. What it bores in
    one go keeps its share of mud: else a larger file, which makes more room for the mud, would pass where a smaller
    one is held.
    """
    share = drive_share(effort, way, bends, tip_mm)
    if effort[TIP] - share * effort[FOLLOW] - _open_at_mm(way, tip_mm) > EPSILON_MM:
        return True
    near, above = share * effort[NEAR], share * effort[BITE]
    for at in range(_last_level(way, tip_mm + AT_LEVEL_MM), -1, -1):
        from_tip, behind = tip_mm - way[LEVEL, at], bored_to_mm - way[LEVEL, at]
        wide = way[OPEN, at]
        if behind > -AT_LEVEL_MM:
            wide *= max(1.0, _diameter_mm(effort, behind) / way[WIDTH, at])
        allowed = near if from_tip < effort[ZONE] else above
        if _diameter_mm(effort, from_tip) - wide - allowed > EPSILON_MM:
            return True
    return False


@numba.njit(error_model="numpy", cache=True)
def stroke_mm(
    effort: Rows, way: Rows, bends: Rows, start_mm: float, limit_mm: float, tolerance_mm: float
) -> float:  # pragma: no cover - compiled
    """Deepest tip position one stroke reaches; a file that is stuck is found out at once."""
    low, high = start_mm, limit_mm
    if is_held(effort, way, bends, min(start_mm + tolerance_mm, limit_mm)):
        return start_mm
    while True:
        reached, section = low, 1
        tip = low + (high - low) / SECTIONS
        while section <= SECTIONS and not is_held(effort, way, bends, tip):
            reached, section = tip, section + 1
            tip = low + (high - low) * (section / SECTIONS)
        if section > SECTIONS:
            return high
        low, high = reached, tip
        if high - low <= tolerance_mm:
            return low


@numba.njit(error_model="numpy", cache=True)
def bored_mm3(effort: Rows, way: Rows, tip_mm: float) -> float:  # pragma: no cover - compiled
    """Dentine cut from the orifice down by an instrument bored to a depth."""
    total = 0.0
    for at in range(_last_level(way, tip_mm + AT_LEVEL_MM) + 1):
        across = _diameter_mm(effort, tip_mm - way[LEVEL, at])
        total += max(0.0, across * across - way[WIDTH, at] * way[WIDTH, at]) * way[CELL, at]
    return math.pi / 4 * total


@numba.njit(error_model="numpy", cache=True)
def first_stop(
    effort: Rows,
    way: Rows,
    bends: Rows,
    ahead_mm: Rows,
    start_mm: float,
    back_mm: float,
    room_mm3: Rows,
) -> tuple[int, bool]:  # pragma: no cover - compiled
    """Place of the first depth an engine file cannot take, and whether its flutes are full there; (m, False) if none.

    `ahead_mm` (m,) are the depths it tries, in order; it has bored to `back_mm` above each, but not above its start.
    """
    for place in range(ahead_mm.size):
        tip = ahead_mm[place]
        full = bored_mm3(effort, way, tip) > room_mm3[_last_level(way, tip)]
        if full or is_held(effort, way, bends, tip, max(tip - back_mm, start_mm)):
            return place, full
    return ahead_mm.size, False


@numba.njit(error_model="numpy", cache=True)
def opened(way: Rows, furcation: Rows, outer: Rows, width: Rows, lean: Rows) -> Rows:  # pragma: no cover - compiled
    """Rows (4, n) of a lumen at a new width: width, furcation wall, outer wall, chips.

    The walls given, shape (n,), are those before; a lean of +1 takes all from the furcation wall, -1 none of it.
    """
    after = np.empty((4, width.size))
    for at in range(width.size):
        gain = width[at] - way[WIDTH, at]
        after[0, at] = width[at]
        after[1, at] = furcation[at] - gain / 2 * (1 + lean[at])
        after[2, at] = outer[at] - gain / 2 * (1 - lean[at])
        after[3, at] = math.pi / 4 * (width[at] ** 2 - way[WIDTH, at] ** 2) * way[CELL, at]
    return after


@numba.njit(error_model="numpy", cache=True)
def leans(
    effort: Rows, way: Rows, bends: Rows, toward: Rows, tip_mm: float, half_n: float, outer_mm: float, bridge: int
) -> Rows:  # pragma: no cover - compiled
    """Lean of a cut at every level, shape (n,), as a running mean over `bridge` levels, an odd number.

    `toward` (n,) is the share of the bend that lies towards the furcation; the last `outer_mm` cut outside the bend.
    """
    count, half = way.shape[1], bridge // 2
    lean = np.zeros(count)
    for place in range(bends.shape[1]):
        at, force = int(bends[AT, place]), side_n(effort, way, bends, place, tip_mm)
        inner = 1.0 if tip_mm - way[LEVEL, at] > outer_mm else -1.0
        lean[at] = force / (force + half_n) * inner * toward[at]
    sums = np.zeros(count + bridge)
    for place in range(1, count + bridge):
        sums[place] = sums[place - 1] + lean[min(max(place - 1 - half, 0), count - 1)]
    return (sums[bridge:] - sums[:-bridge]) / bridge
