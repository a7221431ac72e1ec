"""The fast kernel: one band of tiles, compiled, free of the interpreter's lock.

Rays are taken a run at a time: the neighbours of one picture row within one tile. Everything a piece says of a ray is
linear along a run, so where the rays of a run meet the piece is worked out for all of them side by side, without
branches. Along each ray pieces come in falling priority; each adds only what no earlier piece has covered. Never
numba's own parallel layer: it breaks under forked and threaded servers.

Places along a ray are counted as depth from the tube, square to the receptor, mm; a ray's own length is longer by a
factor that is one for all its stretches.
"""

import math

import numba
import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.cover import COVER, claim
from casebank.radiograph.marrow import add_pattern, remember
from casebank.radiograph.meeting import ARITHMETIC, meet


@numba.njit(fastmath=ARITHMETIC, error_model="numpy", cache=True)
def _narrowed(outline, first, last, row):  # type: ignore[no-untyped-def]  # pragma: no cover - compiled
    """The columns of a row within a shadow's outline, a conic: all of them where the outline does not close."""
    a = outline[0]
    if a >= 0:
        return first, last
    b = outline[1] + outline[3] * row
    c = outline[2] + (outline[4] + outline[5] * row) * row
    h = b * b - a * c
    if h <= 0:
        return first, first
    s = math.sqrt(h)
    # a column to spare on either side: the outline is exact, its numbers are rounded
    low, high = (b - s) / -a - 1.0, (b + s) / -a + 2.0
    return (int(low) if low > first else first), (int(high) + 1 if high < last else last)


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def trace_band(  # noqa: PLR0912 - one loop on purpose
    paths: NDArray[np.float32],
    first_row: int,
    tile_px: tuple[int, int],
    rays: NDArray[np.float64],
    kinds: NDArray[np.int64],
    materials: NDArray[np.int64],
    packed: NDArray[np.float64],
    bounds: NDArray[np.int64],
    outlines: NDArray[np.float64],
    offsets: NDArray[np.int64],
    candidates: NDArray[np.int32],
    pattern: tuple[NDArray[np.float32], NDArray[np.int64], NDArray[np.float64], float],
    contrast: float,
    marrow: int,
) -> int:  # pragma: no cover - compiled
    """Fill `paths`, shape (materials, rows, columns), from a picture row on: 0, or 1 if a ray's cover ran over.

    `rays` holds the tube's place, the direction of the ray through the first pixel's centre, and its change from column
    to column and row to row; directions run one mm along the receptor's normal. `pattern` is a texture, flat; its size
    in x, z and y; the same four as `rays` in its spacing; and how many steps to take in a mm.
    """
    count, rows, columns = paths.shape
    width = tile_px[0]
    across = (columns + width - 1) // width
    low, high, used = np.empty((COVER, width)), np.empty((COVER, width)), np.zeros(width, dtype=np.int64)
    cover, before = (low, high, used), (np.empty((COVER, width)), np.empty((COVER, width)), np.zeros_like(used))
    along = np.zeros((count, width))
    t0, t1, norm = np.empty(width), np.empty(width), np.empty(width)
    for row in range(rows):
        i = first_row + row
        for place in range(across):
            tile = (i // tile_px[1]) * across + place
            left = place * width
            right = min(columns, left + width)
            used[:] = 0
            along[:, :] = 0.0
            for n in range(right - left):
                dx = rays[1, 0] + (left + n) * rays[2, 0] + i * rays[3, 0]
                dy = rays[1, 1] + (left + n) * rays[2, 1] + i * rays[3, 1]
                dz = rays[1, 2] + (left + n) * rays[2, 2] + i * rays[3, 2]
                norm[n] = math.sqrt(dx * dx + dy * dy + dz * dz)
            in_marrow = False  # between the first of its pieces and the first that is none
            for c in range(offsets[tile], offsets[tile + 1]):
                k = candidates[c]
                if i < bounds[k, 1] or i >= bounds[k, 3]:
                    continue
                first, last = max(left, bounds[k, 0]), min(right, bounds[k, 2])
                first, last = _narrowed(outlines[k], first, last, i)
                if first >= last:
                    continue
                if contrast > 0 and in_marrow != (materials[k] == marrow):
                    if in_marrow:
                        add_pattern(along[marrow], before, cover, pattern, contrast, norm, left, i, right - left)
                    else:
                        remember(before, cover)
                    in_marrow = not in_marrow
                meet(t0, t1, last - first, kinds[k], packed[k], first, i)
                if not claim(along[materials[k]], t0, t1, last - first, low, high, used, first - left):
                    return 1
            if in_marrow:
                add_pattern(along[marrow], before, cover, pattern, contrast, norm, left, i, right - left)
            for m in range(count):
                for n in range(right - left):
                    paths[m, row, left + n] = along[m, n] * norm[n]
    return 0
