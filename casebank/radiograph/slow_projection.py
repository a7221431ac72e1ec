"""Path length per material along every ray, the slow way: the fast kernel's independent twin, for tests.

Nothing here shares a formula with the kernel. Each piece is known by a convex function that is negative inside; along a
ray its lowest point is found by golden section, its zeros by bisection. The stretches between all zeros are then given
to whichever piece of the highest priority holds their midpoint.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.materials import Material
from casebank.radiograph.projection import MARROW_STEP_MM
from casebank.radiograph.shapes import Array, Kind, Piece
from casebank.radiograph.trabeculae import Trabeculae
from casebank.radiograph.view import Projection

GOLDEN = (np.sqrt(5) - 1) / 2
ROUNDS, HALVINGS = 64, 52  # until the step is far below a nanometre
BESIDE_MM = 120.0  # how far along the ray to look on both sides of a piece


def path_lengths_slowly(
    pieces: Sequence[Piece],
    projection: Projection,
    trabeculae: Trabeculae,
    contrast: float = 0.0,
    *,
    rows: Sequence[int],
    columns: Sequence[int],
) -> NDArray[np.float64]:
    """As `projection.path_lengths`, at the crossings of some rows and columns: shape (rows, columns, materials), mm."""
    receptor = projection.receptor
    across = (np.asarray(columns) + 0.5 - receptor.width_px / 2) * receptor.pitch_mm
    down = (np.asarray(rows) + 0.5 - receptor.height_px / 2) * receptor.pitch_mm
    landed = projection.centre_mm + down[:, None, None] * projection.down + across[None, :, None] * projection.right
    rays = (landed - projection.source_mm).reshape(-1, 3)
    rays /= np.linalg.norm(rays, axis=1)[:, None]
    shown = sorted(pieces, key=lambda piece: -piece.priority)
    spans = [_span(piece, projection.source_mm, rays) for piece in shown]
    paths = np.zeros((len(rays), len(Material)))
    for number, ray in enumerate(rays):
        met = [
            (float(start[number]), float(end[number]), piece.material)
            for piece, (start, end) in zip(shown, spans, strict=True)
            if end[number] > start[number]
        ]
        owned = _owned(met)
        for start, end, material in owned:
            paths[number, material] += end - start
        for start, end in _joined([(start, end) for start, end, material in owned if material == Material.CANCELLOUS]):
            gain = _pattern(trabeculae, projection.source_mm, ray, start, end) - (end - start)
            paths[number, Material.CANCELLOUS] += contrast * gain
    return paths.reshape(len(rows), len(columns), len(Material))


def _owned(met: list[tuple[float, float, Material]]) -> list[tuple[float, float, Material]]:
    """Disjoint stretches of one ray: each piece's own part, uninterrupted, in falling priority."""
    owned: list[tuple[float, float, Material]] = []
    for number, (start, end, material) in enumerate(met):
        earlier = met[:number]
        marks = sorted({start, end, *(t for span in earlier for t in span[:2] if start < t < end)})
        free: list[list[float]] = []
        for low, high in pairwise(marks):
            middle = (low + high) / 2
            if any(span[0] <= middle <= span[1] for span in earlier):
                continue
            if free and free[-1][1] == low:
                free[-1][1] = high
            else:
                free.append([low, high])
        owned += [(low, high, material) for low, high in free]
    return owned


def _joined(stretches: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches of one material in order, those that touch made one."""
    joined: list[tuple[float, float]] = []
    for start, end in sorted(stretches):
        if joined and start - joined[-1][1] < 1e-9:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


def _span(piece: Piece, source: Array, rays: Array) -> tuple[Array, Array]:
    """Where each ray enters and leaves a piece, shapes (n,); the end before the start where it misses."""
    start, end = np.ones(len(rays)), np.zeros(len(rays))
    close = _pass_close(piece, source, rays)
    if close.any():
        start[close], end[close] = _span_of_close(piece, source, rays[close])
    return start, end


def _pass_close(piece: Piece, source: Array, rays: Array) -> NDArray[np.bool_]:
    """Which rays pass through the ball, with a millimetre to spare, round the points that hold a piece."""
    middle = piece.corners_mm.mean(axis=0)
    reach = np.linalg.norm(piece.corners_mm - middle, axis=1).max() + 1.0
    return np.asarray(np.linalg.norm(np.cross(rays, middle - source), axis=1) <= reach)


def _span_of_close(piece: Piece, source: Array, rays: Array) -> tuple[Array, Array]:
    near = float(np.linalg.norm(piece.at_mm - source))
    inside = _gauge(piece)

    def height(t: Array) -> Array:
        return inside((source + t[:, None] * rays - piece.at_mm) @ piece.to_local.T)

    low, high = np.full(len(rays), near - BESIDE_MM), np.full(len(rays), near + BESIDE_MM)
    for _ in range(ROUNDS):
        first, second = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        left = height(first) < height(second)
        low, high = np.where(left, low, first), np.where(left, second, high)
    lowest = (low + high) / 2
    hit = height(lowest) < 0
    start = _zero(height, np.full(len(rays), near - BESIDE_MM), lowest)
    end = _zero(height, np.full(len(rays), near + BESIDE_MM), lowest)
    climb, foot = rays @ piece.slab.normal, float(source @ piece.slab.normal)
    level = np.abs(climb) < 1e-12
    safe = np.where(level, 1.0, climb)
    limits = np.sort(np.stack([(piece.slab.low_mm - foot) / safe, (piece.slab.high_mm - foot) / safe]), axis=0)
    held = (foot >= piece.slab.low_mm) & (foot <= piece.slab.high_mm)
    start = np.where(level, start, np.maximum(start, limits[0]))
    end = np.where(level, end, np.minimum(end, limits[1]))
    hit &= ~level | held
    return np.where(hit, start, 1.0), np.where(hit, end, 0.0)


def _zero(height: Callable[[Array], Array], outside: Array, inside: Array) -> Array:
    for _ in range(HALVINGS):
        middle = (outside + inside) / 2
        below = height(middle) < 0
        outside, inside = np.where(below, outside, middle), np.where(below, middle, inside)
    return (outside + inside) / 2


def _gauge(piece: Piece) -> Callable[[Array], Array]:
    """A convex function of local points, shape (n, 3) -> (n,), negative inside the piece."""
    if piece.kind == Kind.BALL:
        return lambda q: np.linalg.norm(q, axis=1) - 1
    if piece.kind == Kind.CUBE:
        return lambda q: np.abs(q).max(axis=1) - 1
    if piece.kind == Kind.FRUSTUM:
        grow = piece.rb - piece.ra
        return lambda q: np.maximum.reduce(
            [np.hypot(q[:, 0], q[:, 1]) - piece.ra - grow * q[:, 2], -q[:, 2], q[:, 2] - 1]
        )
    return lambda q: _to_round_cone(q, piece.b, piece.ra, piece.rb)


def _to_round_cone(q: Array, b: Array, ra: float, rb: float) -> Array:
    """Distance to the nearest of all balls between the two ends: the best ball has a closed form."""
    length = float(np.linalg.norm(b))
    slope = (rb - ra) / length if length > 0 else 2.0
    if abs(slope) >= 1:
        return np.asarray(np.minimum(np.linalg.norm(q, axis=1) - ra, np.linalg.norm(q - b, axis=1) - rb))
    along = q @ b / length
    aside = np.linalg.norm(q - np.outer(along / length, b), axis=1)
    share = np.clip((along + aside * slope / np.sqrt(1 - slope**2)) / length, 0, 1)
    return np.asarray(np.linalg.norm(q - share[:, None] * b, axis=1) - ra - share * (rb - ra))


def _pattern(trabeculae: Trabeculae, source: Array, ray: Array, start: float, end: float) -> float:
    """The marrow's pattern along one stretch, by the same rule of midpoints as the kernel's."""
    count = int((end - start) / MARROW_STEP_MM) + 1
    step = (end - start) / count
    points = source + (start + (np.arange(count) + 0.5) * step)[:, None] * ray
    fx, fy, fz = (points / trabeculae.spacing_mm).T
    texture = trabeculae.texture
    nx, ny, nz = texture.shape
    ix, iz = np.floor(fx).astype(int), np.floor(fz).astype(int)
    iy = np.floor(fy + 0.5).astype(int) % ny
    wx, wz = fx - ix, fz - iz
    corners = [texture[(ix + i) % nx, iy, (iz + k) % nz] for k in (0, 1) for i in (0, 1)]
    low, high = corners[0] * (1 - wx) + corners[1] * wx, corners[2] * (1 - wx) + corners[3] * wx
    return float((low * (1 - wz) + high * wz).sum() * step)
