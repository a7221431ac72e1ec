"""Marrow's pattern along the rays of a run, compiled.

Pieces of marrow come one after another, and all they take of a ray between them is weighed at once: whatever the cover
holds after the last of them and did not hold before the first. Pieces that lie against each other are so one stretch.
"""

import numba
import numpy as np

from casebank.radiograph.meeting import ARITHMETIC


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def remember(before, cover):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """Keep what is covered before the first piece of marrow."""
    low, high, used = cover
    before[2][:] = used
    for r in range(used.max()):
        before[0][r], before[1][r] = low[r], high[r]


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def add_pattern(along, before, cover, pattern, contrast, norm, column, row, count):  # type: ignore[no-untyped-def]  # pragma: no cover
    """Add what the rays' marrow counts for more than its length; a ray is `norm` times as long as it is deep."""
    grid = pattern[2]
    for n in range(count):
        dx = grid[1, 0] + (column + n) * grid[2, 0] + row * grid[3, 0]
        dy = grid[1, 1] + (column + n) * grid[2, 1] + row * grid[3, 1]
        dz = grid[1, 2] + (column + n) * grid[2, 2] + row * grid[3, 2]
        along[n] += contrast * _gain(before, cover, n, pattern, norm[n], dx, dy, dz)


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _gain(before, cover, ray, pattern, norm, dx, dy, dz):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    low, high, used = cover
    old_low, old_high, old_used = before
    more, old = 0.0, 0
    for r in range(used[ray]):
        at, end = low[r, ray], high[r, ray]
        while at < end:
            taken = old < old_used[ray] and old_low[old, ray] < end
            gap = old_low[old, ray] if taken else end
            if gap > at:
                more += _weighed(pattern, norm, at, gap, dx, dy, dz) - (gap - at)
            at = old_high[old, ray] if taken else end
            old += 1 if taken else 0
    return more


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _weighed(pattern, norm, t0, t1, dx, dy, dz):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """The texture along a stretch: midpoints of even steps, linear across the film, nearest along it.

    The texture is flat, of the given size in x, z and y; grid and direction are in its own spacing. The tube lies far
    on the positive side, so that cutting off a fraction rounds down.
    """
    texture, size, grid, steps_per_mm = pattern
    n = int((t1 - t0) * norm * steps_per_mm) + 1
    dt = (t1 - t0) / n
    middle = t0 + 0.5 * dt
    fx, fy, fz = grid[0, 0] + middle * dx, grid[0, 1] + middle * dy, grid[0, 2] + middle * dz
    gx, gy, gz = dt * dx, dt * dy, dt * dz
    thick, deep = size[1], size[2]
    last_x, last_z, last_y = size[0] - 1, thick - 1, deep - 1
    total = 0.0
    for _ in range(n):
        ix, iy, iz = np.int64(fx), np.int64(fy), np.int64(fz)
        wx, wz = np.float32(fx - ix), np.float32(fz - iz)
        y = iy & last_y
        x, next_x = (ix & last_x) * thick, ((ix + 1) & last_x) * thick
        z, next_z = iz & last_z, (iz + 1) & last_z
        # unsigned places need no check for counting from the end
        a, b = texture[np.uint64((x + z) * deep + y)], texture[np.uint64((next_x + z) * deep + y)]
        c, d = texture[np.uint64((x + next_z) * deep + y)], texture[np.uint64((next_x + next_z) * deep + y)]
        near, far = a + (b - a) * wx, c + (d - c) * wx
        total += near + (far - near) * wz
        fx, fy, fz = fx + gx, fy + gy, fz + gz
    return total * dt
