"""Where a run of neighbouring rays enters and leaves one piece: compiled, without branches, side by side.

A ray is known by its direction in the piece's local frame, `e`, and by a point of it beside the piece, `u`: no digits
are lost over the distance to the tube. Both change by a fixed step from ray to ray. A ray that misses ends before it
starts.
"""

import math

import numba

# columns of a packed piece: direction of the first pixel's ray in the local frame, its change per column and per row;
# the tube there; depth of the piece's origin; end b and radii; height of direction along the slab's normal, its change
# per column and per row, height of the tube; the slab's limits
DIRECTION, PER_COLUMN, PER_ROW, SOURCE, NEAR, END, RADII = 0, 3, 6, 9, 12, 13, 16
CLIMB, HEIGHT, LIMITS, COLUMNS = 18, 21, 22, 24
BALL, ROUND_CONE, CUBE, FRUSTUM = 0, 1, 2, 3
NO_LIMIT_MM = 1e5
NOWHERE = 1e9  # before and beyond everything
TINY = 1e-30
LEVEL = 1e-12  # a direction this small along an axis runs level with it
# arithmetic may be reordered, but numbers that are none keep their meaning
ARITHMETIC = {"reassoc", "contract", "arcp", "nsz"}


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _balls(t0, t1, count, ux, uy, uz, ex, ey, ez, near, sx, sy, sz):  # type: ignore[no-untyped-def]  # pragma: no cover
    for n in range(count):
        dx, dy, dz = ex + n * sx, ey + n * sy, ez + n * sz
        px, py, pz = ux + n * near * sx, uy + n * near * sy, uz + n * near * sz
        a = dx * dx + dy * dy + dz * dz
        a = a if a > TINY else TINY
        ue = px * dx + py * dy + pz * dz
        h = ue * ue - a * (px * px + py * py + pz * pz - 1.0)
        s = math.sqrt(h if h > 0.0 else 0.0)
        per_a = 1.0 / a
        t0[n], t1[n] = (-ue - s) * per_a, (-ue + s) * per_a


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _round_cones(t0, t1, count, p, ux, uy, uz, ex, ey, ez, near, sx, sy, sz):  # type: ignore[no-untyped-def]  # pragma: no cover
    """A mantle, part of a cone round both balls, and the two balls; neither holds the other."""
    bx, by, bz, ra, rb = p[END], p[END + 1], p[END + 2], p[RADII], p[RADII + 1]
    bb = bx * bx + by * by + bz * bz
    rr = ra - rb
    side = bb - rr * rr
    lean, ra2, rb2 = rr * ra, ra * ra, rb * rb
    for n in range(count):
        dx, dy, dz = ex + n * sx, ey + n * sy, ez + n * sz
        px, py, pz = ux + n * near * sx, uy + n * near * sy, uz + n * near * sz
        a = dx * dx + dy * dy + dz * dz
        a = a if a > TINY else TINY
        uu = px * px + py * py + pz * pz
        ue = px * dx + py * dy + pz * dz
        bu = bx * px + by * py + bz * pz
        be = bx * dx + by * dy + bz * dz
        k2 = side * a - be * be
        k1 = side * ue - bu * be + be * lean
        k0 = side * uu - bu * bu + bu * lean * 2 - bb * ra2
        h = k1 * k1 - k0 * k2
        s = math.sqrt(h if h > 0.0 else 0.0)
        k2 = k2 if k2 * k2 > TINY else TINY
        per_k2 = 1.0 / k2
        first, second = (-k1 - s) * per_k2, (-k1 + s) * per_k2
        foot = bu - lean  # of the mantle's point along the axis, at depth 0
        at_first, at_second = foot + first * be, foot + second * be
        on_first, on_second = (at_first > 0.0) & (at_first < side), (at_second > 0.0) & (at_second < side)
        low = first if on_first else NOWHERE
        high = first if on_first else -NOWHERE
        other_low = second if on_second else NOWHERE
        other_high = second if on_second else -NOWHERE
        low = other_low if other_low < low else low
        high = other_high if other_high > high else high
        per_a = 1.0 / a
        ha = ue * ue - a * (uu - ra2)
        s = math.sqrt(ha if ha > 0.0 else 0.0)
        start, end = (-ue - s) * per_a, (-ue + s) * per_a
        start, end = start if ha > 0.0 else NOWHERE, end if ha > 0.0 else -NOWHERE
        low, high = start if start < low else low, end if end > high else high
        ve = ue - be
        hb = ve * ve - a * (uu - 2.0 * bu + bb - rb2)
        s = math.sqrt(hb if hb > 0.0 else 0.0)
        start, end = (-ve - s) * per_a, (-ve + s) * per_a
        start, end = start if hb > 0.0 else NOWHERE, end if hb > 0.0 else -NOWHERE
        low, high = start if start < low else low, end if end > high else high
        t0[n] = low
        t1[n] = high if h > 0.0 else -NOWHERE


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _frusta(t0, t1, count, p, ux, uy, uz, ex, ey, ez, near, sx, sy, sz):  # type: ignore[no-untyped-def]  # pragma: no cover
    ra = p[RADII]
    dr = p[RADII + 1] - ra
    for n in range(count):
        dx, dy, dz = ex + n * sx, ey + n * sy, ez + n * sz
        px, py, pz = ux + n * near * sx, uy + n * near * sy, uz + n * near * sz
        r, f = ra + dr * pz, dr * dz
        # |u + t e|^2 <= (r + t f)^2 across the axis
        k2 = dx * dx + dy * dy - f * f
        k1 = px * dx + py * dy - r * f
        k0 = px * px + py * py - r * r
        h = k1 * k1 - k2 * k0
        s = math.sqrt(h if h > 0.0 else 0.0)
        safe_k2 = k2 if k2 * k2 > TINY else TINY
        per_k2 = 1.0 / safe_k2
        low, high = (-k1 - s) * per_k2, (-k1 + s) * per_k2
        # a ray steeper than the cone is inside beyond one root, on the side where the radius is positive;
        # one along the axis is inside all the way or not at all
        steep, along = k2 < 0.0, k2 * k2 <= TINY
        start = low if (k2 > 0.0) | (f > 0.0) else -NOWHERE
        end = high if (k2 > 0.0) | (f <= 0.0) else NOWHERE
        start = -NOWHERE if along else start
        end = (NOWHERE if k0 <= 0.0 else -NOWHERE) if along else end
        end = end if (h > 0.0) | steep | along else -NOWHERE
        safe = dz if dz * dz > LEVEL * LEVEL else LEVEL
        per_z = 1.0 / safe
        a, b = -pz * per_z, (1.0 - pz) * per_z
        floor, roof = a if a < b else b, b if a < b else a
        t0[n] = start if start > floor else floor
        t1[n] = end if end < roof else roof


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _cut(t0, t1, count, q, e, q_step, e_step, low, high):  # type: ignore[no-untyped-def]  # pragma: no cover
    """Leave of each stretch the part where low <= q + t e <= high."""
    for n in range(count):
        at, rise = q + n * q_step, e + n * e_step
        safe = rise if rise * rise > LEVEL * LEVEL else LEVEL
        per_e = 1.0 / safe
        a, b = (low - at) * per_e, (high - at) * per_e
        floor, roof = a if a < b else b, b if a < b else a
        t0[n] = floor if floor > t0[n] else t0[n]
        t1[n] = roof if roof < t1[n] else t1[n]


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def meet(t0, t1, count, kind, p, column, row):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """Depths at which `count` rays from a pixel on enter and leave a piece, into `t0` and `t1`."""
    ex = p[0] + column * p[3] + row * p[6]
    ey = p[1] + column * p[4] + row * p[7]
    ez = p[2] + column * p[5] + row * p[8]
    sx, sy, sz = p[3], p[4], p[5]
    near = p[NEAR]
    ux, uy, uz = p[9] + near * ex, p[10] + near * ey, p[11] + near * ez
    if kind == ROUND_CONE:
        _round_cones(t0, t1, count, p, ux, uy, uz, ex, ey, ez, near, sx, sy, sz)
    elif kind == FRUSTUM:
        _frusta(t0, t1, count, p, ux, uy, uz, ex, ey, ez, near, sx, sy, sz)
    elif kind == BALL:
        _balls(t0, t1, count, ux, uy, uz, ex, ey, ez, near, sx, sy, sz)
    else:
        t0[:count] = -NOWHERE
        t1[:count] = NOWHERE
        _cut(t0, t1, count, ux, ex, near * sx, sx, -1.0, 1.0)
        _cut(t0, t1, count, uy, ey, near * sy, sy, -1.0, 1.0)
        _cut(t0, t1, count, uz, ez, near * sz, sz, -1.0, 1.0)
    if p[LIMITS] > -NO_LIMIT_MM or p[LIMITS + 1] < NO_LIMIT_MM:
        climb = p[18] + column * p[19] + row * p[20]
        _cut(t0, t1, count, p[HEIGHT] + near * climb, climb, near * p[19], p[19], p[LIMITS], p[LIMITS + 1])
    for n in range(count):
        t0[n] += near
        t1[n] += near
