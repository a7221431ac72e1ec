"""Closed outlines in a plane: whether one can be worked with, and how far points lie within it."""

import math

import numba
import numpy as np
from numpy.typing import ArrayLike, NDArray

FEWEST, MOST = 3, 200  # points of an outline
LEAST_AREA_MM2 = 0.05  # a smaller one is a slip of the hand: teaching choice

Plane = NDArray[np.float64]


def checked_outline(points: ArrayLike) -> Plane:
    """An outline as an array of shape (n, 2), mm, neighbouring doubles and a repeated first point left out.

    Raises
    ------
    ValueError
        If it has fewer than 3 or more than 200 points, a number is not finite, it encloses next to nothing, or its
        sides cross or touch.

    Examples
    --------
    >>> checked_outline([[0, 0], [2, 0], [2, 2], [0, 0]]).shape
    (3, 2)
    >>> checked_outline([[0, 0], [2, 2], [2, 0], [0, 2]])
    Traceback (most recent call last):
    ...
    ValueError: the outline crosses itself between points 1 and 2 and points 3 and 4: draw it round without crossing
    """
    try:
        outline = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError) as strange:
        raise ValueError("the outline is not a list of places: give each point as two numbers, right and down") from (
            strange
        )
    if outline.ndim != 2 or outline.shape[1] != 2:
        raise ValueError("the outline is not a list of places: give each point as two numbers, right and down")
    if not np.isfinite(outline).all():
        number = int(np.argmax(~np.isfinite(outline).all(axis=1))) + 1
        raise ValueError(f"point {number} of the outline is not finite: give finite numbers in mm")
    if len(outline) > MOST:
        raise ValueError(f"the outline has {len(outline)} points: draw it with {MOST} at most")
    outline = outline[(outline != np.roll(outline, 1, axis=0)).any(axis=1)]
    if len(outline) < FEWEST:
        raise ValueError(f"the outline has {len(outline)} different points: give {FEWEST} at least")
    if (crossing := _crossing(outline)) is not None:
        ends = [f"points {side + 1} and {(side + 1) % len(outline) + 1}" for side in crossing]
        raise ValueError(f"the outline crosses itself between {ends[0]} and {ends[1]}: draw it round without crossing")
    if abs(area_mm2(outline)) < LEAST_AREA_MM2:
        raise ValueError(
            f"the outline encloses {abs(area_mm2(outline)):.2f} mm², next to nothing: draw it round the opening"
        )
    return np.asarray(outline)


def area_mm2(outline: Plane) -> float:
    """Area of a closed outline, shape (n, 2), mm; below 0 if it runs clockwise in right-handed axes.

    >>> area_mm2(np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [0.0, 2.0]]))
    6.0
    """
    x, y = (outline - outline[0]).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def within_mm(points: Plane, outline: Plane) -> Plane:
    """How far points, shape (n, 2), lie within an outline, shape (m, 2): to its nearest side, below 0 outside, mm.

    >>> square = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]])
    >>> within_mm(np.array([[1.0, 1.5], [5.0, 6.0]]), square).tolist()
    [0.5, -5.0]
    """
    out = np.empty(len(points))
    _within(np.ascontiguousarray(points), np.ascontiguousarray(outline), out)
    return out


@numba.njit(nogil=True, cache=True)
def _within(points: Plane, outline: Plane, out: Plane) -> None:  # pragma: no cover - compiled
    count = len(outline)
    for n in range(len(points)):
        x, y = points[n, 0], points[n, 1]
        nearest, inside = np.inf, False
        for k in range(count):
            ax, ay = outline[k, 0], outline[k, 1]
            m = k + 1 if k + 1 < count else 0
            dx, dy = outline[m, 0] - ax, outline[m, 1] - ay
            px, py = x - ax, y - ay
            share = (px * dx + py * dy) / (dx * dx + dy * dy)
            share = min(1.0, max(0.0, share))
            gx, gy = px - share * dx, py - share * dy
            nearest = min(nearest, gx * gx + gy * gy)
            if (ay > y) != (ay + dy > y) and px < dx * py / dy:
                inside = not inside
        out[n] = math.sqrt(nearest) if inside else -math.sqrt(nearest)


def _crossing(outline: Plane) -> tuple[int, int] | None:
    """Numbers of two sides that cross or touch where they should not; none if there are none."""
    begin, end = outline, np.roll(outline, -1, axis=0)
    count = len(outline)

    def turn(at: Plane, towards: Plane, point: Plane) -> Plane:
        way, off = towards - at, point - at
        return np.asarray(np.sign(np.round(way[..., 0] * off[..., 1] - way[..., 1] * off[..., 0], 12)))

    a, b, c, d = begin[:, None], end[:, None], begin[None], end[None]
    first, second = turn(a, b, c), turn(a, b, d)
    third, fourth = turn(c, d, a), turn(c, d, b)
    boxes = ((np.minimum(a, b) <= np.maximum(c, d)) & (np.minimum(c, d) <= np.maximum(a, b))).all(axis=-1)
    met = (first * second <= 0) & (third * fourth <= 0) & boxes
    one, other = np.indices((count, count))
    apart = (other - one) % count
    crossed = met & (apart > 1) & (apart < count - 1)
    back = np.arange(count)  # a side that runs back along the one before it
    after = (back + 1) % count
    way, next_way = end - begin, (end - begin)[after]
    flat = np.abs(way[:, 0] * next_way[:, 1] - way[:, 1] * next_way[:, 0]) < 1e-12
    crossed[back, after] |= flat & ((way * next_way).sum(axis=1) < 0)
    if not crossed.any():
        return None
    found = np.argwhere(crossed)[0].tolist()
    return int(min(found)), int(max(found))
