"""Which piece holds a point: compiled, free of the interpreter's lock, for sections and for surfaces seen from outside.

Unlike a film's kernel this one follows no ray: it asks of single points, so it shares no formula with it.
"""

import math

import numba
import numpy as np
from numpy.typing import NDArray

# columns of a packed piece: place, map to the local frame, end b, radii, slab
AT, MAP, END, RADII, NORMAL, LIMITS, COLUMNS = 0, 3, 12, 15, 17, 20, 22
HALVINGS = 12  # of a 0.1 mm step: to 0.03 micrometres


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _in_round_cone(p, k, x, y, z):  # type: ignore[no-untyped-def]
    """Whether one of the balls between the two ends holds a local point; the nearest of them has a closed form."""
    bx, by, bz, ra, rb = p[k, 12], p[k, 13], p[k, 14], p[k, 15], p[k, 16]
    qq = x * x + y * y + z * z
    length2 = bx * bx + by * by + bz * bz
    grow = rb - ra
    if grow * grow >= length2:  # one ball holds the other
        if ra >= rb:
            return qq <= ra * ra
        return (x - bx) ** 2 + (y - by) ** 2 + (z - bz) ** 2 <= rb * rb
    length = math.sqrt(length2)
    along = (x * bx + y * by + z * bz) / length
    aside = math.sqrt(max(0.0, qq - along * along))
    slope = grow / length
    share = (along + aside * slope / math.sqrt(1.0 - slope * slope)) / length
    share = min(1.0, max(0.0, share))
    rest = along - share * length
    radius = ra + share * grow
    return rest * rest + aside * aside <= radius * radius


@numba.njit(inline="always", fastmath=True)  # pragma: no cover - compiled
def _holds(kind, p, k, x, y, z):  # type: ignore[no-untyped-def]
    """Whether a piece holds a point of the jaw."""
    height = p[k, 17] * x + p[k, 18] * y + p[k, 19] * z
    if height < p[k, 20] or height > p[k, 21]:
        return False
    dx, dy, dz = x - p[k, 0], y - p[k, 1], z - p[k, 2]
    u = p[k, 3] * dx + p[k, 4] * dy + p[k, 5] * dz
    v = p[k, 6] * dx + p[k, 7] * dy + p[k, 8] * dz
    w = p[k, 9] * dx + p[k, 10] * dy + p[k, 11] * dz
    if kind == 1:
        return _in_round_cone(p, k, u, v, w)
    if kind == 3:
        radius = p[k, 15] + (p[k, 16] - p[k, 15]) * w
        return 0.0 <= w <= 1.0 and u * u + v * v <= radius * radius
    if kind == 0:
        return u * u + v * v + w * w <= 1.0
    return max(abs(u), abs(v), abs(w)) <= 1.0


@numba.njit(nogil=True, fastmath=True, cache=True)
def section_band(
    shares: NDArray[np.float32],
    marrow: NDArray[np.float32],
    first_tile: int,
    last_tile: int,
    tiles_across: int,
    tile_px: int,
    corner: NDArray[np.float64],
    per_column: NDArray[np.float64],
    per_row: NDArray[np.float64],
    offsets_mm: NDArray[np.float64],
    kinds: NDArray[np.int64],
    materials: NDArray[np.int64],
    packed: NDArray[np.float64],
    offsets: NDArray[np.int64],
    candidates: NDArray[np.int64],
    texture: NDArray[np.float32],
    spacing: NDArray[np.float64],
    spongy: int,
) -> None:  # pragma: no cover - compiled
    """Share of each material in each voxel of some tiles, and the marrow's pattern summed over its own samples."""
    rows, columns, _ = shares.shape
    nx, ny, nz = texture.shape
    part = np.float32(1.0 / len(offsets_mm))
    for tile in range(first_tile, last_tile):
        top, left = (tile // tiles_across) * tile_px, (tile % tiles_across) * tile_px
        for i in range(top, min(rows, top + tile_px)):
            for j in range(left, min(columns, left + tile_px)):
                at_x = corner[0] + per_column[0] * j + per_row[0] * i
                at_y = corner[1] + per_column[1] * j + per_row[1] * i
                at_z = corner[2] + per_column[2] * j + per_row[2] * i
                for s in range(len(offsets_mm)):
                    x, y, z = at_x + offsets_mm[s, 0], at_y + offsets_mm[s, 1], at_z + offsets_mm[s, 2]
                    found = 0  # air
                    for c in range(offsets[tile], offsets[tile + 1]):
                        k = candidates[c]
                        if _holds(kinds[k], packed, k, x, y, z):
                            found = materials[k]
                            break
                    shares[i, j, found] += part
                    if found == spongy:
                        ix = math.floor(x / spacing[0]) & (nx - 1)
                        iy = math.floor(y / spacing[1] + 0.5) & (ny - 1)
                        iz = math.floor(z / spacing[2]) & (nz - 1)
                        marrow[i, j] += part * texture[ix, iy, iz]


@numba.njit(nogil=True, fastmath=True, cache=True)
def surface(
    heights: NDArray[np.float64],
    tops: NDArray[np.int64],
    corner: NDArray[np.float64],
    per_column: NDArray[np.float64],
    per_row: NDArray[np.float64],
    toward_eye: NDArray[np.float64],
    boxes: NDArray[np.float64],
    kinds: NDArray[np.int64],
    materials: NDArray[np.int64],
    packed: NDArray[np.float64],
    step_mm: float,
) -> None:  # pragma: no cover - compiled
    """Raise `heights` to where a line of sight first meets a piece, and name that piece's material in `tops`.

    `boxes`, shape (pieces, 6): first and last column, first and last row, lowest and highest level of each piece.
    """
    rows, columns = heights.shape
    for k in range(len(kinds)):
        for i in range(max(0, int(boxes[k, 2])), min(rows, int(boxes[k, 3]) + 1)):
            for j in range(max(0, int(boxes[k, 0])), min(columns, int(boxes[k, 1]) + 1)):
                x0 = corner[0] + per_column[0] * j + per_row[0] * i
                y0 = corner[1] + per_column[1] * j + per_row[1] * i
                z0 = corner[2] + per_column[2] * j + per_row[2] * i
                floor = max(heights[i, j] + 1e-6, boxes[k, 4])
                level = boxes[k, 5]
                while level > floor:
                    if _holds(
                        kinds[k], packed, k, x0 + level * toward_eye[0], y0 + level * toward_eye[1],
                        z0 + level * toward_eye[2],
                    ):  # fmt: skip
                        low, high = level, level + step_mm
                        for _ in range(HALVINGS):
                            middle = 0.5 * (low + high)
                            if _holds(
                                kinds[k], packed, k, x0 + middle * toward_eye[0], y0 + middle * toward_eye[1],
                                z0 + middle * toward_eye[2],
                            ):  # fmt: skip
                                low = middle
                            else:
                                high = middle
                        heights[i, j] = low
                        tops[i, j] = materials[k]
                        break
                    level -= step_mm
