"""Pieces cut by a plane or seen from outside: what is where, exact at every sample, by the pieces' own priority."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import section_kernel as kernel
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Kind, Piece
from casebank.radiograph.trabeculae import Trabeculae

TILE_PX = 8
BANDS_PER_THREAD = 8
MOST_PX = 1024
KNOWN = frozenset({Kind.BALL, Kind.ROUND_CONE, Kind.CUBE, Kind.FRUSTUM})
MOST_SAMPLES = 256  # of one voxel
SIGHT_STEP_MM = 0.1  # a grazed edge thinner than this along the line of sight may be missed

Shares = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Grid:
    """Evenly spaced places in a plane of the jaw.

    Attributes
    ----------
    centre_mm, right, down : arrays, shape (3,)
        Middle of the grid; unit vectors along its rows and down its columns.
    rows, columns : int
        1 to 1024 each.
    pitch_mm : float
        Between neighbours, 0.01 to 5 mm.

    Raises
    ------
    ValueError
        If a size is out of range or a number is not finite.
    """

    centre_mm: Array
    right: Array
    down: Array
    rows: int
    columns: int
    pitch_mm: float

    def __post_init__(self) -> None:
        if not (1 <= self.rows <= MOST_PX and 1 <= self.columns <= MOST_PX):
            raise ValueError(f"a section of {self.columns} by {self.rows} voxels is out of range: 1 to {MOST_PX} each")
        if not 0.01 <= self.pitch_mm <= 5:
            raise ValueError(f"voxels of {self.pitch_mm} mm are out of range: give 0.01 to 5 mm")
        if not all(np.isfinite(one).all() for one in (self.centre_mm, self.right, self.down)):
            raise ValueError("the place of a section is not finite: give finite numbers")

    @property
    def normal(self) -> Array:
        """Unit vector square to the grid, on either side: which one depends on the quadrant."""
        return np.asarray(np.cross(self.down, self.right))

    @property
    def corner_mm(self) -> Array:
        """The first place: top left."""
        return self.at(0.5 - self.columns / 2, 0.5 - self.rows / 2)

    def at(self, columns_off: float, rows_off: float) -> Array:
        """The place so many columns right of and rows below the middle."""
        return np.asarray(
            self.centre_mm + self.pitch_mm * (columns_off * self.right + rows_off * self.down), dtype=np.float64
        )


@dataclass(frozen=True, eq=False)
class _Packed:
    kinds: NDArray[np.int64]
    materials: NDArray[np.int64]
    rows: Array
    low: Array
    high: Array


def material_shares(
    pieces: Sequence[Piece], grid: Grid, thickness_mm: float, trabeculae: Trabeculae, *, threads: int = 2
) -> tuple[Shares, Shares]:
    """How much of each voxel each material fills.

    Samples lie on a lattice: two by two across the voxel, and as many layers as the thickness needs, at least two. A
    voxel as thick as it is wide is therefore sampled at the same points whichever plane it is cut by.

    Parameters
    ----------
    pieces : sequence of Piece
    thickness_mm : float
        Of the section, above 0; the grid's plane is its middle.

    Returns
    -------
    shares : array, shape (rows, columns, materials)
        They sum to 1; where there is nothing there is air.
    marrow : array, shape (rows, columns)
        Share of marrow weighted by its pattern, whose mean is 1.

    Raises
    ------
    ValueError
        If the thickness is not above 0, or so large that a voxel would need more than 256 samples.
    """
    offsets = _lattice(grid, thickness_mm)
    half = (grid.columns * np.abs(grid.right) + grid.rows * np.abs(grid.down)) * grid.pitch_mm / 2
    half = half + thickness_mm / 2 * np.abs(grid.normal)
    near = [
        piece
        for piece in sorted(pieces, key=lambda piece: -piece.priority)
        if (piece.corners_mm.max(axis=0) >= grid.centre_mm - half).all()
        and (piece.corners_mm.min(axis=0) <= grid.centre_mm + half).all()
    ]
    packed = _pack(near)
    across, down = -(-grid.columns // TILE_PX), -(-grid.rows // TILE_PX)
    starts, candidates = _tiles(packed, grid, thickness_mm, across, down)
    shares = np.zeros((grid.rows, grid.columns, len(Material)), dtype=np.float32)
    marrow = np.zeros((grid.rows, grid.columns), dtype=np.float32)

    def cut(band: tuple[int, int]) -> None:
        kernel.section_band(
            shares, marrow, band[0] * across, band[1] * across, across, TILE_PX, grid.corner_mm,
            grid.right * grid.pitch_mm, grid.down * grid.pitch_mm, offsets, packed.kinds, packed.materials,
            packed.rows, starts, candidates, trabeculae.texture, trabeculae.spacing_mm, int(Material.CANCELLOUS),
        )  # fmt: skip

    edges = np.linspace(0, down, min(down, BANDS_PER_THREAD * threads) + 1).astype(int).tolist()
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(cut, pairwise(edges)))
    return shares, marrow


def seen_surface(pieces: Sequence[Piece], grid: Grid, toward_eye: Array) -> tuple[Array, NDArray[np.int64]]:
    """What is met first when looking square at the grid from outside.

    Parameters
    ----------
    toward_eye : array, shape (3,)
        Unit vector square to the grid, towards whoever looks.

    Returns
    -------
    heights : array, shape (rows, columns), mm
        Of the outermost surface over the grid's plane, towards the eye; not-a-number where nothing is met.
    materials : array, shape (rows, columns)
        Its material; -1 where nothing is met.
    """
    packed = _pack(sorted(pieces, key=lambda piece: -piece.priority))
    heights = np.full((grid.rows, grid.columns), -np.inf)
    tops = np.full((grid.rows, grid.columns), -1, dtype=np.int64)
    frame = np.stack([grid.right / grid.pitch_mm, grid.down / grid.pitch_mm, toward_eye], axis=1)
    boxes = np.zeros((len(packed.kinds), 6))
    for number, piece in enumerate(sorted(pieces, key=lambda piece: -piece.priority)):
        places = (piece.corners_mm - grid.corner_mm) @ frame
        low, high = places.min(axis=0), places.max(axis=0)
        boxes[number] = (*np.array([np.floor(low[:2]), np.ceil(high[:2])]).T.ravel(), low[2], high[2])
    kernel.surface(
        heights, tops, grid.corner_mm, grid.right * grid.pitch_mm, grid.down * grid.pitch_mm, toward_eye, boxes,
        packed.kinds, packed.materials, packed.rows, SIGHT_STEP_MM,
    )  # fmt: skip
    return np.where(tops < 0, np.nan, heights), tops


def _lattice(grid: Grid, thickness_mm: float) -> Array:
    """Places of the samples of one voxel round its middle, shape (n, 3), mm."""
    if not (np.isfinite(thickness_mm) and thickness_mm > 0):
        raise ValueError(f"a section {thickness_mm} mm thick cannot be cut: give a thickness above 0 mm")
    layers = max(2, int(np.ceil(thickness_mm / grid.pitch_mm - 1e-9)))
    if 4 * layers > MOST_SAMPLES:
        raise ValueError(
            f"a section {thickness_mm} mm thick needs too many samples at {grid.pitch_mm} mm: cut it thinner"
        )
    levels = (np.arange(layers) + 0.5) / layers - 0.5
    return np.array(
        [
            (a * grid.right + b * grid.down) * grid.pitch_mm + c * thickness_mm * grid.normal
            for a in (-0.25, 0.25)
            for b in (-0.25, 0.25)
            for c in levels
        ]
    )


def _pack(pieces: Sequence[Piece]) -> _Packed:
    strange = {piece.kind for piece in pieces} - KNOWN
    if strange:
        raise ValueError(f"sections do not know the shape {min(strange).name}: teach it to the section kernel")
    rows = np.zeros((len(pieces), kernel.COLUMNS))
    for number, piece in enumerate(pieces):
        rows[number] = (
            *piece.at_mm, *piece.to_local.ravel(), *piece.b, piece.ra, piece.rb, *piece.slab.normal,
            piece.slab.low_mm, piece.slab.high_mm,
        )  # fmt: skip
    kinds = np.array([piece.kind for piece in pieces], dtype=np.int64)
    materials = np.array([piece.material for piece in pieces], dtype=np.int64)
    low = np.array([piece.corners_mm.min(axis=0) for piece in pieces]).reshape(-1, 3)
    high = np.array([piece.corners_mm.max(axis=0) for piece in pieces]).reshape(-1, 3)
    return _Packed(kinds, materials, rows, low, high)


def _tiles(
    packed: _Packed, grid: Grid, thickness_mm: float, across: int, down: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The pieces whose box reaches into each tile: offsets, shape (tiles + 1,), into a list of candidates."""
    column, row = np.meshgrid(np.arange(across), np.arange(down))
    half = TILE_PX / 2
    off = np.stack(
        [column.ravel() * TILE_PX + half - grid.columns / 2, row.ravel() * TILE_PX + half - grid.rows / 2], axis=1
    )
    middles = grid.centre_mm + grid.pitch_mm * (off @ np.stack([grid.right, grid.down]))
    reach = half * grid.pitch_mm * (np.abs(grid.right) + np.abs(grid.down)) + thickness_mm / 2 * np.abs(grid.normal)
    met = np.ones((len(middles), len(packed.kinds)), dtype=bool)
    for axis in range(3):
        met &= packed.high[None, :, axis] >= (middles[:, axis] - reach[axis] - 1e-9)[:, None]
        met &= packed.low[None, :, axis] <= (middles[:, axis] + reach[axis] + 1e-9)[:, None]
    tile, piece = np.nonzero(met)
    starts = np.searchsorted(tile, np.arange(across * down + 1))
    return starts.astype(np.int64), piece.astype(np.int64)
