"""Which points lie inside pieces, and how far their outline reaches: for what must follow a crown's surface."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.shapes import Array, Frame, Kind, Piece

COARSE_MM, HALVINGS = 0.2, 6  # of the search for an outline: to 0.2 / 2**6 mm
REACH_MM = 9.0


def inside(pieces: Sequence[Piece], points: Array) -> NDArray[np.bool_]:
    """Which points of the jaw, shape (n, 3), lie in one of the pieces, shape (n,)."""
    held = np.zeros(len(points), dtype=bool)
    for piece in pieces:
        low, high = piece.corners_mm.min(axis=0), piece.corners_mm.max(axis=0)
        near = np.flatnonzero(((points >= low) & (points <= high)).all(axis=1) & ~held)
        if near.size:
            there = points[near]
            height = there @ piece.slab.normal
            cut = (height >= piece.slab.low_mm) & (height <= piece.slab.high_mm)
            held[near] = cut & _holds(piece, (there - piece.at_mm) @ piece.to_local.T)
    return held


def _holds(piece: Piece, local: Array) -> NDArray[np.bool_]:
    if piece.kind == Kind.BALL:
        return np.asarray((local**2).sum(axis=1) <= 1)
    if piece.kind == Kind.CUBE:
        return np.asarray(np.abs(local).max(axis=1) <= 1)
    if piece.kind == Kind.FRUSTUM:
        radius = piece.ra + (piece.rb - piece.ra) * local[:, 2]
        return np.asarray((np.hypot(local[:, 0], local[:, 1]) <= radius) & (local[:, 2] >= 0) & (local[:, 2] <= 1))
    # the hull of two balls: the best of a row of balls between them, close enough for an outline
    share = np.linspace(0.0, 1.0, 9)[:, None]
    gap = np.linalg.norm(local[None] - share[:, :, None] * piece.b, axis=2)
    return np.asarray((gap <= piece.ra + share * (piece.rb - piece.ra)).any(axis=0))


@dataclass(frozen=True, eq=False)
class Outline:
    """How far solids reach along one axis of a frame at heights in it, each array of shape (n,), mm.

    Heights at which they meet nothing are left out.
    """

    heights_mm: Array
    low_mm: Array
    high_mm: Array

    def at(self, heights_mm: Array) -> tuple[Array, Array]:
        """Lower and upper end at other heights; beyond the known ones those of the last."""
        low = np.interp(heights_mm, self.heights_mm, self.low_mm)
        return low, np.interp(heights_mm, self.heights_mm, self.high_mm)

    @property
    def top_mm(self) -> float:
        """The greatest height at which the solids are met."""
        return float(self.heights_mm[-1])


def outline(
    pieces: Sequence[Piece], frame: Frame, axis: int, heights_mm: Array, *, other_mm: float | Array = 0.0
) -> Outline:
    """The outline along a frame's x (axis 0) or y (axis 1), on its plane at `other_mm` along the other of the two.

    Raises
    ------
    ValueError
        If the plane meets none of the pieces.
    """
    along = np.arange(-REACH_MM, REACH_MM + COARSE_MM / 2, COARSE_MM)
    other = np.broadcast_to(np.asarray(other_mm, dtype=np.float64), heights_mm.shape)

    def held(at: Array) -> NDArray[np.bool_]:
        points = np.zeros((*at.shape, 3))
        points[..., axis] = at
        points[..., 1 - axis] = other[:, None]
        points[..., 2] = heights_mm[:, None]
        return inside(pieces, frame.to_jaw(points.reshape(-1, 3))).reshape(at.shape)

    met = held(np.broadcast_to(along, (len(heights_mm), len(along))))
    any_met = met.any(axis=1)
    if not any_met.any():
        raise ValueError("no solid is met by the plane on which its outline is asked for")
    first, last = np.argmax(met, axis=1), len(along) - 1 - np.argmax(met[:, ::-1], axis=1)
    ends = np.stack([along[first], along[last]], axis=1)
    beyond = ends + np.array([-COARSE_MM, COARSE_MM])
    for _ in range(HALVINGS):
        middle = (ends + beyond) / 2
        within = held(middle)
        ends, beyond = np.where(within, middle, ends), np.where(within, beyond, middle)
    return Outline(heights_mm[any_met], ends[any_met, 0], ends[any_met, 1])
