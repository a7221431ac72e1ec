"""The outline of a shadow as a conic in columns and rows of the picture, so that a row skips what lies beside it.

Along a ray every shape's surface, or the endless cone it is cut from, is a quadratic equation; its discriminant is
positive for the rays that meet it. That discriminant is a quadratic form of the ray's direction, and directions change
evenly over the picture.
"""

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import meeting
from casebank.radiograph.shapes import Array, Kind
from casebank.radiograph.tiling import Bounds

OPEN = np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0])  # leaves nothing out


def outlines(kinds: NDArray[np.int64], rows: Array, bounds: Bounds) -> Array:
    """Coefficients of every packed piece's outline, shape (pieces, 6).

    With them a row and b = [1] + [3] row, c = [2] + [4] row + [5] row^2, the rays of the columns with
    [0] column^2 + 2 b column + c > 0 may meet the piece and no others.
    """
    found = np.tile(OPEN, (len(kinds), 1))
    source, end = rows[:, meeting.SOURCE : meeting.NEAR], rows[:, meeting.END : meeting.RADII]
    ra, rb = rows[:, meeting.RADII], rows[:, meeting.RADII + 1]
    directions = np.stack(
        [rows[:, meeting.DIRECTION + 3 * n : meeting.DIRECTION + 3 * n + 3] for n in range(3)], axis=1
    )
    for kind, form in ((Kind.BALL, _of_balls(source)), (Kind.ROUND_CONE, _of_round_cones(source, end, ra, rb))):
        chosen = kinds == kind
        found[chosen] = _in_the_picture(form[chosen], directions[chosen])
    frusta = (kinds == Kind.FRUSTUM) & _met_from_aside(directions, ra, rb, bounds)
    found[frusta] = _in_the_picture(_of_frusta(source, ra, rb)[frusta], directions[frusta])
    return found


def _of_balls(s: Array) -> Array:
    """(s.e)^2 - (e.e)(s.s - 1) as matrices, shape (n, 3, 3)."""
    return np.asarray(s[:, :, None] * s[:, None, :] - ((s * s).sum(axis=1) - 1)[:, None, None] * np.eye(3))


def _of_round_cones(s: Array, b: Array, ra: Array, rb: Array) -> Array:
    """k1^2 - k0 k2 of the mantle, as `meeting` has them."""
    rr = ra - rb
    bb, bs = (b * b).sum(axis=1), (b * s).sum(axis=1)
    side = bb - rr * rr
    k1 = side[:, None] * s + (rr * ra - bs)[:, None] * b
    k0 = side * (s * s).sum(axis=1) - bs * bs + 2 * bs * rr * ra - bb * ra * ra
    k2 = side[:, None, None] * np.eye(3) - b[:, :, None] * b[:, None, :]
    return np.asarray(k1[:, :, None] * k1[:, None, :] - k0[:, None, None] * k2)


def _of_frusta(s: Array, ra: Array, rb: Array) -> Array:
    """k1^2 - k2 k0 of the endless cone, as `meeting` has them."""
    dr = rb - ra
    r = ra + dr * s[:, 2]
    k1 = s * np.array([1.0, 1.0, 0.0])
    k1[:, 2] = -r * dr
    k0 = s[:, 0] ** 2 + s[:, 1] ** 2 - r * r
    k2 = np.tile(np.diag([1.0, 1.0, 0.0]), (len(s), 1, 1))
    k2[:, 2, 2] = -dr * dr
    return np.asarray(k1[:, :, None] * k1[:, None, :] - k0[:, None, None] * k2)


def _met_from_aside(directions: Array, ra: Array, rb: Array, bounds: Bounds) -> NDArray[np.bool_]:
    """Frusta all of whose rays cross the cone more steeply than its mantle; only then they meet it nowhere else."""
    corners = np.stack(
        [
            directions[:, 0] + bounds[:, [column]] * directions[:, 1] + bounds[:, [row]] * directions[:, 2]
            for column in (0, 2)
            for row in (1, 3)
        ],
        axis=1,
    )
    middle = corners.mean(axis=1)
    off = np.linalg.norm((corners - middle[:, None])[:, :, :2], axis=2).max(axis=1)
    aside = np.linalg.norm(middle[:, :2], axis=1) - off
    return np.asarray(aside > 1.01 * np.abs(rb - ra) * np.abs(corners[:, :, 2]).max(axis=1))


def _in_the_picture(forms: Array, directions: Array) -> Array:
    """Forms of the direction, shape (n, 3, 3), as forms of column and row."""
    q = np.einsum("nai,nij,nbj->nab", directions, forms, directions)
    return np.stack([q[:, 1, 1], q[:, 0, 1], q[:, 0, 0], q[:, 1, 2], 2 * q[:, 0, 2], q[:, 2, 2]], axis=1)
