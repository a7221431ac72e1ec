"""Path length per material along every ray, exact: the fast way (compiled bands in threads)."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import kernel, meeting
from casebank.radiograph.cover import COVER
from casebank.radiograph.materials import Material
from casebank.radiograph.outlines import outlines
from casebank.radiograph.shapes import Array, Kind, Piece
from casebank.radiograph.threads import side_by_side
from casebank.radiograph.tiling import Bounds, Candidates, Offsets, candidates, shadow_bounds
from casebank.radiograph.trabeculae import Trabeculae
from casebank.radiograph.view import Projection

TILE_PX = (128, 8)  # columns, rows: wide, so that many rays are worked out side by side
MARROW_STEP_MM = 0.34
FAR_SIDE = 1 << 20  # shifts every place in the jaw to the positive side; a multiple of every texture's size
PIECES_AT_MOST = 20_000

Paths = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Scene:
    """Pieces as arrays, in falling priority, as one tube and receptor see them."""

    rays: Array
    kinds: NDArray[np.int64]
    materials: NDArray[np.int64]
    rows: Array
    bounds: Bounds
    outlines: Array
    offsets: Offsets
    candidates: Candidates


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
        1 keeps the work to the caller's thread; more share it among the process's render threads.

    Returns
    -------
    array, shape (rows, columns, materials), mm
        In marrow the length is weighted by the pattern, whose mean is 1.

    Raises
    ------
    ValueError
        If there are too many pieces, or more solids lie apart along one ray than can be followed.
    """
    receptor = projection.receptor
    scene = scene_of(pieces, projection)
    paths = np.empty((len(Material), receptor.height_px, receptor.width_px), dtype=np.float32)

    def keep(first: int, band: Paths) -> None:
        paths[:, first : first + band.shape[1]] = band

    trace(scene, projection, trabeculae, contrast, keep, threads=threads)
    return np.moveaxis(paths, 0, -1)


def trace(
    scene: Scene,
    projection: Projection,
    trabeculae: Trabeculae,
    contrast: float,
    take: Callable[[int, Paths], None],
    *,
    threads: int = 2,
) -> None:
    """Trace a scene band by band: `take` gets each band's first row and its lengths, shape (materials, rows, columns).

    A band is taken in the thread that traced it, while it is still at hand; the whole is never in memory at once.
    Errors are those of `path_lengths`.
    """
    receptor = projection.receptor
    # rays run along y more than along x or z: what they read then lies side by side
    texture = np.ascontiguousarray(np.moveaxis(trabeculae.texture, 1, 2))
    grid = scene.rays / trabeculae.spacing_mm
    grid[0] += (FAR_SIDE, FAR_SIDE + 0.5, FAR_SIDE)
    pattern = (texture.ravel(), np.array(texture.shape, dtype=np.int64), grid, 1 / MARROW_STEP_MM)

    def work(first: int) -> int:
        rows = min(TILE_PX[1], receptor.height_px - first)
        band = np.empty((len(Material), rows, receptor.width_px), dtype=np.float32)
        overrun = kernel.trace_band(
            band, first, TILE_PX, scene.rays, scene.kinds, scene.materials, scene.rows, scene.bounds, scene.outlines,
            scene.offsets, scene.candidates, pattern, float(contrast), int(Material.CANCELLOUS),
        )  # fmt: skip
        if not overrun:
            take(first, band)
        return int(overrun)

    if sum(side_by_side(work, range(0, receptor.height_px, TILE_PX[1]), threads=threads)):
        raise ValueError(f"more than {COVER} solids lie apart along one ray: draw fewer small pieces")


def scene_of(pieces: Sequence[Piece], projection: Projection) -> Scene:
    """Pieces made ready for tracing.

    Raises
    ------
    ValueError
        If there are more than PIECES_AT_MOST; nothing is set aside before.
    """
    if len(pieces) > PIECES_AT_MOST:
        raise ValueError(f"{len(pieces)} pieces are more than {PIECES_AT_MOST}: draw fewer, larger pieces")
    shown = sorted(pieces, key=lambda piece: -piece.priority)
    rays = _rays(projection)
    kinds, rows = _pack(shown, rays, projection)
    bounds = shadow_bounds(shown, projection)
    materials = np.array([piece.material for piece in shown], dtype=np.int64)
    return Scene(
        rays, kinds, materials, rows, bounds, outlines(kinds, rows, bounds), *candidates(bounds, projection, TILE_PX)
    )


def _rays(projection: Projection) -> Array:
    """The tube; the first pixel's ray and its change per column and row, for 1 mm along the receptor's normal."""
    receptor, source = projection.receptor, projection.source_mm
    per_column, per_row = projection.right * receptor.pitch_mm, projection.down * receptor.pitch_mm
    first = projection.centre_mm + (0.5 - receptor.width_px / 2) * per_column
    first = first + (0.5 - receptor.height_px / 2) * per_row
    depth = float((source - projection.centre_mm) @ projection.normal)
    return np.stack([source, (first - source) / depth, per_column / depth, per_row / depth])


def _pack(pieces: Sequence[Piece], rays: Array, projection: Projection) -> tuple[NDArray[np.int64], Array]:
    """Kinds and the columns that `meeting` reads, shapes (pieces,) and (pieces, columns)."""
    to_local = np.array([piece.to_local for piece in pieces]).reshape(-1, 3, 3)
    at = np.array([piece.at_mm for piece in pieces]).reshape(-1, 3)
    ends = np.array([piece.b for piece in pieces]).reshape(-1, 3)
    radii = np.array([(piece.ra, piece.rb) for piece in pieces]).reshape(-1, 2)
    normals = np.array([piece.slab.normal for piece in pieces]).reshape(-1, 3)
    kinds = np.array([piece.kind for piece in pieces], dtype=np.int64)
    # a round cone one of whose balls holds the other is that ball, made the unit ball
    alone = (kinds == Kind.ROUND_CONE) & ((ends**2).sum(axis=1) <= (radii[:, 0] - radii[:, 1]) ** 2)
    away = np.where((alone & (radii[:, 1] > radii[:, 0]))[:, None], ends, 0.0)
    shrink = np.where(alone, np.maximum(radii.max(axis=1), meeting.TINY), 1.0)[:, None]
    kinds[alone] = Kind.BALL
    scaled = to_local / shrink[:, :, None]
    rows = np.empty((len(pieces), meeting.COLUMNS))
    for column, direction in zip((meeting.DIRECTION, meeting.PER_COLUMN, meeting.PER_ROW), rays[1:], strict=True):
        rows[:, column : column + 3] = scaled @ direction
    rows[:, meeting.SOURCE : meeting.NEAR] = np.einsum("nij,nj->ni", scaled, rays[0] - at) - away / shrink
    rows[:, meeting.NEAR] = (rays[0] - at) @ projection.normal
    rows[:, meeting.END : meeting.RADII] = ends
    rows[:, meeting.RADII : meeting.CLIMB] = radii
    rows[:, meeting.CLIMB : meeting.HEIGHT] = normals @ rays[1:].T
    rows[:, meeting.HEIGHT] = normals @ rays[0]
    rows[:, meeting.LIMITS :] = np.array([(piece.slab.low_mm, piece.slab.high_mm) for piece in pieces]).reshape(-1, 2)
    return kinds, rows
