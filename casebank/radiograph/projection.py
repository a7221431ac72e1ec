"""Path length per material along every ray, exact: the fast way (compiled bands in threads)."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import kernel
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Piece
from casebank.radiograph.trabeculae import Trabeculae
from casebank.radiograph.view import Projection

TILE_PX = 24
BANDS_PER_THREAD = 16
MARROW_STEP_MM = 0.34

Paths = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class _Packed:
    """Pieces as arrays, in falling priority, seen from one tube."""

    kinds: NDArray[np.int64]
    materials: NDArray[np.int64]
    rows: Array


def path_lengths(
    pieces: Sequence[Piece],
    projection: Projection,
    trabeculae: Trabeculae,
    contrast: float = 0.0,
    *,
    threads: int = 2,
) -> Paths:
    """How far each ray runs in each material.

    Rays run from the tube through all tissue, wherever the receptor leans: in a mouth it never stands inside the jaw.

    Parameters
    ----------
    pieces : sequence of Piece
    trabeculae : Trabeculae
        Pattern of the marrow; `contrast` 0 leaves it even, 1 takes the pattern whole.
    threads : int
        Bands are shared among so many threads.

    Returns
    -------
    array, shape (rows, columns, materials), mm
        In marrow the length is weighted by the pattern, whose mean is 1.

    Raises
    ------
    ValueError
        If more solids lie apart along one ray than can be followed.
    """
    receptor = projection.receptor
    shown = sorted(pieces, key=lambda piece: -piece.priority)
    packed = _pack(shown, projection)
    across, down = -(-receptor.width_px // TILE_PX), -(-receptor.height_px // TILE_PX)
    offsets, candidates = _tiles(shown, projection, across, down)
    pitch = receptor.pitch_mm
    per_column, per_row = projection.right * pitch, projection.down * pitch
    corner = (
        projection.centre_mm + (0.5 - receptor.width_px / 2) * per_column + (0.5 - receptor.height_px / 2) * per_row
    )
    paths = np.empty((receptor.height_px, receptor.width_px, len(Material)), dtype=np.float32)

    def trace(band: tuple[int, int]) -> int:
        return int(
            kernel.trace_band(
                paths, band[0] * across, band[1] * across, across, TILE_PX, projection.source_mm, corner, per_column,
                per_row, packed.kinds, packed.materials, packed.rows, offsets, candidates, trabeculae.texture,
                trabeculae.spacing_mm, float(contrast), MARROW_STEP_MM, int(Material.CANCELLOUS),
            )
        )  # fmt: skip

    edges = np.linspace(0, down, min(down, BANDS_PER_THREAD * threads) + 1).astype(int).tolist()
    bands = list(pairwise(edges))
    if threads == 1:
        overrun = sum(trace(band) for band in bands)
    else:
        with ThreadPoolExecutor(threads) as pool:
            overrun = sum(pool.map(trace, bands))
    if overrun:
        raise ValueError(f"more than {kernel.COVER} solids lie apart along one ray: draw fewer small pieces")
    return paths


def _pack(pieces: Sequence[Piece], projection: Projection) -> _Packed:
    source = projection.source_mm
    to_local = np.array([piece.to_local for piece in pieces]).reshape(-1, 3, 3)
    at = np.array([piece.at_mm for piece in pieces]).reshape(-1, 3)
    normals = np.array([piece.slab.normal for piece in pieces]).reshape(-1, 3)
    rows = np.zeros((len(pieces), kernel.COLUMNS))
    rows[:, kernel.SOURCE : kernel.MAP] = np.einsum("nij,nj->ni", to_local, source - at)
    rows[:, kernel.MAP : kernel.END] = to_local.reshape(-1, 9)
    rows[:, kernel.END : kernel.RADII] = np.array([piece.b for piece in pieces]).reshape(-1, 3)
    rows[:, kernel.RADII : kernel.NORMAL] = np.array([(piece.ra, piece.rb) for piece in pieces]).reshape(-1, 2)
    rows[:, kernel.NORMAL : kernel.LIMITS] = normals
    rows[:, kernel.LIMITS : kernel.HEIGHT] = np.array(
        [(piece.slab.low_mm, piece.slab.high_mm) for piece in pieces]
    ).reshape(-1, 2)
    rows[:, kernel.HEIGHT] = normals @ source
    rows[:, kernel.DISTANCE] = np.linalg.norm(at - source, axis=1)
    kinds = np.array([piece.kind for piece in pieces], dtype=np.int64)
    return _Packed(kinds, np.array([piece.material for piece in pieces], dtype=np.int64), rows)


def _tiles(
    pieces: Sequence[Piece], projection: Projection, across: int, down: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The pieces that may throw a shadow on each tile: offsets, shape (tiles + 1,), into a list of candidates."""
    if not pieces:
        return np.zeros(across * down + 1, dtype=np.int64), np.zeros(0, dtype=np.int64)
    counts = [len(piece.corners_mm) for piece in pieces]
    seen = projection.project_px(np.concatenate([piece.corners_mm for piece in pieces]))
    starts = np.r_[0, np.cumsum(counts)[:-1]]
    low = np.floor((np.minimum.reduceat(seen, starts) - 1) / TILE_PX).astype(np.int64)
    high = np.floor((np.maximum.reduceat(seen, starts) + 1) / TILE_PX).astype(np.int64)
    shadow = np.zeros((len(pieces), down, across), dtype=bool)
    for number, ((left, top), (right, bottom)) in enumerate(zip(low.tolist(), high.tolist(), strict=True)):
        shadow[number, max(0, top) : max(0, bottom + 1), max(0, left) : max(0, right + 1)] = True
    tile, piece = np.nonzero(shadow.reshape(len(pieces), -1).T)
    offsets = np.searchsorted(tile, np.arange(across * down + 1))
    return offsets.astype(np.int64), piece.astype(np.int64)
