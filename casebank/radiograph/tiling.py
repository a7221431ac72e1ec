"""Which pieces may throw a shadow where: bounds of their shadows and, per tile of the picture, a list of candidates."""

from collections.abc import Sequence

import numba
import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.shapes import Piece
from casebank.radiograph.view import Projection

CANDIDATES_AT_MOST = 20_000_000  # pieces times tiles under their shadows: 80 MB

Bounds = NDArray[np.int64]
Offsets = NDArray[np.int64]
Candidates = NDArray[np.int32]


def shadow_bounds(pieces: Sequence[Piece], projection: Projection) -> Bounds:
    """Columns and rows of the picture each shadow may reach: left, top, right, bottom, shape (pieces, 4).

    The last two are the first beyond it. A shadow beside the picture, and a piece all of which its slab takes away,
    have nothing between left and right.
    """
    if not pieces:
        return np.zeros((0, 4), dtype=np.int64)
    receptor = projection.receptor
    corners = np.concatenate([piece.corners_mm for piece in pieces])
    counts = [len(piece.corners_mm) for piece in pieces]
    starts = np.r_[0, np.cumsum(counts)[:-1]]
    seen = projection.project_px(corners)
    low, high = np.minimum.reduceat(seen, starts), np.maximum.reduceat(seen, starts)
    size = (receptor.width_px, receptor.height_px)
    # a pixel's ray runs through its centre, half a pixel in; one more is left for rounding
    left_top = np.clip(np.floor(low - 0.5), 0, size).astype(np.int64)
    right_bottom = np.clip(np.floor(high - 0.5) + 2, 0, size).astype(np.int64)
    normals = np.repeat(np.array([piece.slab.normal for piece in pieces]), counts, axis=0)
    heights = np.einsum("ni,ni->n", corners, normals)
    below = np.maximum.reduceat(heights, starts) < np.array([piece.slab.low_mm for piece in pieces])
    above = np.minimum.reduceat(heights, starts) > np.array([piece.slab.high_mm for piece in pieces])
    right_bottom[below | above] = 0
    return np.hstack([left_top, right_bottom])


def candidates(bounds: Bounds, projection: Projection, tile_px: tuple[int, int]) -> tuple[Offsets, Candidates]:
    """Per tile, row by row, the numbers of the pieces that may show there, in their order.

    Returns
    -------
    offsets, shape (tiles + 1,), into candidates

    Raises
    ------
    ValueError
        If the lists would take too much room; nothing is set aside before.
    """
    receptor = projection.receptor
    across, down = -(-receptor.width_px // tile_px[0]), -(-receptor.height_px // tile_px[1])
    reach = -(-bounds[:, 2:] // tile_px) - bounds[:, :2] // tile_px
    whole = int(np.maximum(reach, 0).prod(axis=1).sum())
    if whole > CANDIDATES_AT_MOST:
        raise ValueError(f"{len(bounds)} pieces throw their shadows over {whole} tiles: draw fewer or smaller pieces")
    return _listed(bounds, tile_px, across, down, whole)


@numba.njit(nogil=True, cache=True)
def _listed(
    bounds: Bounds, tile_px: tuple[int, int], across: int, down: int, whole: int
) -> tuple[Offsets, Candidates]:  # pragma: no cover - compiled
    offsets = np.zeros(across * down + 1, dtype=np.int64)
    listed = np.empty(whole, dtype=np.int32)
    for filling in (False, True):
        for k in range(len(bounds)):
            if bounds[k, 0] >= bounds[k, 2] or bounds[k, 1] >= bounds[k, 3]:
                continue
            for row in range(bounds[k, 1] // tile_px[1], (bounds[k, 3] - 1) // tile_px[1] + 1):
                for column in range(bounds[k, 0] // tile_px[0], (bounds[k, 2] - 1) // tile_px[0] + 1):
                    tile = row * across + column
                    if filling:  # the offset of a tile moves on to that of the next
                        listed[offsets[tile]] = k
                        offsets[tile] += 1
                    else:
                        offsets[tile + 1] += 1
        if not filling:
            for tile in range(across * down):
                offsets[tile + 1] += offsets[tile]
    for tile in range(across * down, 0, -1):
        offsets[tile] = offsets[tile - 1]
    offsets[0] = 0
    return offsets, listed
