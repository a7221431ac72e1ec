"""The fast kernel: one band of tiles, compiled, free of the interpreter's lock.

Along each ray pieces come in falling priority; each adds only what no earlier piece has covered. The cover is a sorted
list of disjoint intervals. Never numba's own parallel layer: it breaks under forked and threaded servers.
"""

import math

import numba
import numpy as np
from numpy.typing import NDArray

# columns of a packed piece: tube in its local frame, map to the local frame, end b, radii, slab, the tube's height
# in it, distance from the tube
SOURCE, MAP, END, RADII, NORMAL, LIMITS, HEIGHT, DISTANCE, COLUMNS = 0, 3, 12, 15, 17, 20, 22, 23, 24
COVER = 128  # intervals a ray's cover can hold
NO_LIMIT_MM = 1e5


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _round_cone(p, k, ux, uy, uz, ex, ey, ez):  # type: ignore[no-untyped-def]
    a = ex * ex + ey * ey + ez * ez
    bx, by, bz, ra, rb = p[k, 12], p[k, 13], p[k, 14], p[k, 15], p[k, 16]
    uu = ux * ux + uy * uy + uz * uz
    ue = ux * ex + uy * ey + uz * ez
    bb = bx * bx + by * by + bz * bz
    rr = ra - rb
    side = bb - rr * rr
    t0, t1 = 1e9, -1e9
    if side > 0:  # neither ball holds the other: a mantle, part of a cone round both, lies between them
        bu = bx * ux + by * uy + bz * uz
        be = bx * ex + by * ey + bz * ez
        k2 = side * a - be * be
        k1 = side * ue - bu * be + be * rr * ra
        k0 = side * uu - bu * bu + bu * rr * ra * 2 - bb * ra * ra
        h = k1 * k1 - k0 * k2
        if h <= 0:
            return 1.0, 0.0
        if k2 != 0:
            s = math.sqrt(h)
            per_k2 = 1 / k2
            first, second = (-k1 - s) * per_k2, (-k1 + s) * per_k2
            along = bu - ra * rr  # of the mantle, at the start
            on_first, on_second = 0 < along + first * be < side, 0 < along + second * be < side
            if on_first and on_second:
                return min(first, second), max(first, second)
            if on_first:
                t0, t1 = first, first
            elif on_second:
                t0, t1 = second, second
    if a < 1e-18:
        return 1.0, 0.0
    h = ue * ue - a * (uu - ra * ra)
    if h > 0:
        s = math.sqrt(h)
        t0, t1 = min(t0, (-ue - s) / a), max(t1, (-ue + s) / a)
    vx, vy, vz = ux - bx, uy - by, uz - bz
    ve = vx * ex + vy * ey + vz * ez
    h = ve * ve - a * (vx * vx + vy * vy + vz * vz - rb * rb)
    if h > 0:
        s = math.sqrt(h)
        t0, t1 = min(t0, (-ve - s) / a), max(t1, (-ve + s) / a)
    return t0, t1


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _ball(ux, uy, uz, ex, ey, ez):  # type: ignore[no-untyped-def]
    a = ex * ex + ey * ey + ez * ez
    ue = ux * ex + uy * ey + uz * ez
    h = ue * ue - a * (ux * ux + uy * uy + uz * uz - 1.0)
    if h <= 0:
        return 1.0, 0.0
    s = math.sqrt(h)
    per_a = 1 / a
    return (-ue - s) * per_a, (-ue + s) * per_a


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _between(q, e, low, high, t0, t1):  # type: ignore[no-untyped-def]
    """The part of [t0, t1] where low <= q + t e <= high."""
    if abs(e) < 1e-12:
        if q < low or q > high:
            return 1.0, 0.0
        return t0, t1
    per_e = 1 / e
    a, b = (low - q) * per_e, (high - q) * per_e
    return max(t0, min(a, b)), min(t1, max(a, b))


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _frustum(p, k, ux, uy, uz, ex, ey, ez):  # type: ignore[no-untyped-def]
    ra = p[k, 15]
    dr = p[k, 16] - ra
    r, f = ra + dr * uz, dr * ez
    # |u + t e|^2 <= (r + t f)^2 across the axis
    k2 = ex * ex + ey * ey - f * f
    k1 = ux * ex + uy * ey - r * f
    k0 = ux * ux + uy * uy - r * r
    h = k1 * k1 - k2 * k0
    if h <= 0 and k2 > 0:
        return 1.0, 0.0
    t0, t1 = _between(uz, ez, 0.0, 1.0, -1e9, 1e9)
    if t1 <= t0:
        return 1.0, 0.0
    if abs(k2) < 1e-15:
        return (t0, t1) if k0 <= 0 else (1.0, 0.0)  # along the axis: inside all the way or not at all
    s = math.sqrt(max(h, 0.0))
    per_k2 = 1 / k2
    low, high = (-k1 - s) * per_k2, (-k1 + s) * per_k2
    if k2 > 0:
        return max(t0, low), min(t1, high)
    # a ray steeper than the cone: inside beyond one root, on the side where the radius is positive
    if f > 0:
        return max(t0, low), t1
    return t0, min(t1, high)


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _meet(kind, p, k, dx, dy, dz):  # type: ignore[no-untyped-def]
    """Where a ray from the tube enters and leaves a piece, mm from the tube; the end before the start if it misses."""
    ex = p[k, 3] * dx + p[k, 4] * dy + p[k, 5] * dz
    ey = p[k, 6] * dx + p[k, 7] * dy + p[k, 8] * dz
    ez = p[k, 9] * dx + p[k, 10] * dy + p[k, 11] * dz
    # count from a point of the ray beside the piece: no cancellation over the distance to the tube
    near = p[k, 23]
    ux, uy, uz = p[k, 0] + near * ex, p[k, 1] + near * ey, p[k, 2] + near * ez
    if kind == 1:
        t0, t1 = _round_cone(p, k, ux, uy, uz, ex, ey, ez)
    elif kind == 3:
        t0, t1 = _frustum(p, k, ux, uy, uz, ex, ey, ez)
    elif kind == 0:
        t0, t1 = _ball(ux, uy, uz, ex, ey, ez)
    else:
        t0, t1 = _between(ux, ex, -1.0, 1.0, -1e9, 1e9)
        t0, t1 = _between(uy, ey, -1.0, 1.0, t0, t1)
        t0, t1 = _between(uz, ez, -1.0, 1.0, t0, t1)
    if t1 <= t0:
        return 1.0, 0.0
    if p[k, 20] > -NO_LIMIT_MM or p[k, 21] < NO_LIMIT_MM:
        climb = p[k, 17] * dx + p[k, 18] * dy + p[k, 19] * dz
        t0, t1 = _between(p[k, 22] + near * climb, climb, p[k, 20], p[k, 21], t0, t1)
    return t0 + near, t1 + near


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _through_marrow(texture, spacing, step, t0, t1, ox, oy, oz, dx, dy, dz):  # type: ignore[no-untyped-def]
    """The texture along a stretch of the ray: midpoints of even steps, linear across the film, nearest along it."""
    n = int((t1 - t0) / step) + 1
    dt = (t1 - t0) / n
    nx, ny, nz = texture.shape
    sx, sy, sz = 1 / spacing[0], 1 / spacing[1], 1 / spacing[2]
    fx, fy, fz = (
        (ox + (t0 + 0.5 * dt) * dx) * sx,
        (oy + (t0 + 0.5 * dt) * dy) * sy + 0.5,
        (oz + (t0 + 0.5 * dt) * dz) * sz,
    )
    gx, gy, gz = dt * dx * sx, dt * dy * sy, dt * dz * sz
    total = 0.0
    for _ in range(n):
        ix, iy, iz = math.floor(fx), math.floor(fy), math.floor(fz)
        wx, wz = fx - ix, fz - iz
        ix, iy, iz = int(ix) & (nx - 1), int(iy) & (ny - 1), int(iz) & (nz - 1)
        jx, jz = (ix + 1) & (nx - 1), (iz + 1) & (nz - 1)
        near = texture[ix, iy, iz] * (1 - wx) + texture[jx, iy, iz] * wx
        far = texture[ix, iy, jz] * (1 - wx) + texture[jx, iy, jz] * wx
        total += near * (1 - wz) + far * wz
        fx, fy, fz = fx + gx, fy + gy, fz + gz
    return total * dt


@numba.njit(nogil=True, fastmath=True, cache=True)
def trace_band(  # noqa: PLR0912 - one loop on purpose: calls in it would cost more than the work
    paths: NDArray[np.float32],
    first_tile: int,
    last_tile: int,
    tiles_across: int,
    tile_px: int,
    source: NDArray[np.float64],
    corner: NDArray[np.float64],
    per_column: NDArray[np.float64],
    per_row: NDArray[np.float64],
    kinds: NDArray[np.int64],
    materials: NDArray[np.int64],
    packed: NDArray[np.float64],
    offsets: NDArray[np.int64],
    candidates: NDArray[np.int64],
    texture: NDArray[np.float32],
    spacing: NDArray[np.float64],
    contrast: float,
    step_mm: float,
    marrow: int,
) -> int:  # pragma: no cover - compiled
    """Fill `paths`, shape (rows, columns, materials), for some tiles: 0, or 1 if a ray's cover ran over."""
    rows, columns, count = paths.shape
    cover = np.empty((COVER, 2))
    along = np.empty(count)
    for tile in range(first_tile, last_tile):
        top, left = (tile // tiles_across) * tile_px, (tile % tiles_across) * tile_px
        for i in range(top, min(rows, top + tile_px)):
            for j in range(left, min(columns, left + tile_px)):
                dx = corner[0] + per_column[0] * j + per_row[0] * i - source[0]
                dy = corner[1] + per_column[1] * j + per_row[1] * i - source[1]
                dz = corner[2] + per_column[2] * j + per_row[2] * i - source[2]
                norm = math.sqrt(dx * dx + dy * dy + dz * dz)
                dx, dy, dz = dx / norm, dy / norm, dz / norm
                along[:] = 0.0
                used = 0
                for c in range(offsets[tile], offsets[tile + 1]):
                    k = candidates[c]
                    start, end = _meet(kinds[k], packed, k, dx, dy, dz)
                    if end <= start:
                        continue
                    at, free, first, last = start, 0.0, used, -1
                    in_marrow = materials[k] == marrow
                    for r in range(used):
                        if cover[r, 1] < start:
                            continue
                        if cover[r, 0] > end:
                            break
                        first = min(first, r)
                        last = r
                        if cover[r, 0] > at:
                            free += cover[r, 0] - at
                            if in_marrow:
                                free += contrast * (
                                    _through_marrow(
                                        texture,
                                        spacing,
                                        step_mm,
                                        at,
                                        cover[r, 0],
                                        source[0],
                                        source[1],
                                        source[2],
                                        dx,
                                        dy,
                                        dz,
                                    )
                                    - (cover[r, 0] - at)
                                )
                        at = max(at, cover[r, 1])
                    if end > at:
                        free += end - at
                        if in_marrow:
                            free += contrast * (
                                _through_marrow(
                                    texture, spacing, step_mm, at, end, source[0], source[1], source[2], dx, dy, dz
                                )
                                - (end - at)
                            )
                    along[materials[k]] += free
                    if last < 0:
                        if used == COVER:
                            return 1
                        r = used
                        while r > 0 and cover[r - 1, 0] > start:
                            cover[r, 0], cover[r, 1] = cover[r - 1, 0], cover[r - 1, 1]
                            r -= 1
                        cover[r, 0], cover[r, 1] = start, end
                        used += 1
                    else:
                        cover[first, 0] = min(cover[first, 0], start)
                        cover[first, 1] = max(cover[last, 1], end)
                        gone = last - first
                        if gone > 0:
                            for r in range(last + 1, used):
                                cover[r - gone, 0], cover[r - gone, 1] = cover[r, 0], cover[r, 1]
                            used -= gone
                for m in range(count):
                    paths[i, j, m] = along[m]
    return 0
