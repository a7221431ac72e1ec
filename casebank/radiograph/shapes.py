"""Convex pieces: the only solids the film knows.

Every piece is a simple shape in a local frame of its own, reached from the jaw frame by an affine map, and may be cut
by one slab. A straight ray meets a convex piece in one interval, which has a closed form: nothing is meshed. Where
pieces overlap, the one with the higher priority is there and the others are not.

Local shapes: the unit ball; the cube from -1 to 1; the frustum between a circle of radius `ra` at z = 0 and one of
radius `rb` at z = 1; the round cone, hull of a ball `ra` at the local origin and a ball `rb` at `b`. A round cone whose
map forgets one direction is a beam of constant section, cut to length by its slab.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casebank.radiograph.materials import Material

Array = NDArray[np.float64]
FAR_MM = 1e6  # stands for "no limit"; infinities would forbid the kernel its fast arithmetic


class Kind(IntEnum):
    """Local shape of a piece."""

    BALL = 0
    ROUND_CONE = 1
    CUBE = 2
    FRUSTUM = 3


@dataclass(frozen=True)
class Frame:
    """A place in the jaw: `axes` holds the frame's x, y, z as columns, shape (3, 3); `at_mm` its origin, shape (3,)."""

    axes: Array
    at_mm: Array

    def to_jaw(self, points: ArrayLike) -> Array:
        """Points of the frame, shape (3,) or (n, 3), in the jaw frame."""
        return np.asarray(points, dtype=np.float64) @ self.axes.T + self.at_mm

    def leaning(self, toward_x_deg: float, toward_y_deg: float) -> "Frame":
        """The same origin with the z axis leant towards x, then y."""
        a, b = np.radians(toward_x_deg), np.radians(toward_y_deg)
        about_y = np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])
        about_x = np.array([[1, 0, 0], [0, np.cos(b), np.sin(b)], [0, -np.sin(b), np.cos(b)]])
        return Frame(self.axes @ about_y @ about_x, self.at_mm)


JAW = Frame(np.eye(3), np.zeros(3))


@dataclass(frozen=True)
class Slab:
    """All points whose height along the unit vector `normal` lies between two limits, mm."""

    normal: Array
    low_mm: float = -FAR_MM
    high_mm: float = FAR_MM


NO_SLAB = Slab(np.array([0.0, 0.0, 1.0]))


@dataclass(frozen=True)
class Piece:
    """One convex solid.

    Attributes
    ----------
    to_local : array, shape (3, 3)
        Maps jaw millimetres, taken from `at_mm`, to the local frame.
    at_mm : array, shape (3,)
    b, ra, rb
        Shape in the local frame, as the module says; unused by ball and cube.
    corners_mm : array, shape (n, 3)
        Points whose hull holds the piece: where on the film it may throw a shadow.
    """

    kind: Kind
    material: Material
    priority: float
    to_local: Array
    at_mm: Array
    corners_mm: Array
    b: Array
    ra: float = 1.0
    rb: float = 1.0
    slab: Slab = NO_SLAB

    def cut(self, slab: Slab) -> "Piece":
        """The part of the piece within a slab; it replaces an earlier one."""
        return replace(self, slab=slab)


_CUBE = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])


def ellipsoid(
    material: Material, priority: float, centre: ArrayLike, half_axes: ArrayLike, frame: Frame = JAW
) -> Piece:
    """An ellipsoid: centre and half axes in the given frame, mm."""
    return _stretched(Kind.BALL, material, priority, centre, half_axes, frame)


def box(material: Material, priority: float, centre: ArrayLike, half_axes: ArrayLike, frame: Frame = JAW) -> Piece:
    """A box: centre and half sizes in the given frame, mm."""
    return _stretched(Kind.CUBE, material, priority, centre, half_axes, frame)


def _stretched(
    kind: Kind, material: Material, priority: float, centre: ArrayLike, half_axes: ArrayLike, frame: Frame
) -> Piece:
    half = np.asarray(half_axes, dtype=np.float64)
    at = frame.to_jaw(centre)
    corners = at + (_CUBE * half) @ frame.axes.T
    to_local = np.asarray(frame.axes.T / half[:, None], dtype=np.float64)
    return Piece(kind, material, priority, to_local, at, corners, np.zeros(3))


def frustum(
    material: Material,
    priority: float,
    ends: tuple[ArrayLike, ArrayLike],
    radii_mm: tuple[float, float],
    frame: Frame = JAW,
    *,
    flattening: float = 1.0,
) -> Piece:
    """A frustum with flat ends square to the frame's z; its axis may lean.

    Parameters
    ----------
    ends : two points of the frame, mm
        Centres of the two ends; they differ in z.
    radii_mm : two floats
        Half widths along the frame's x.
    flattening : float
        Half width along y over half width along x.
    """
    low, high = (np.asarray(end, dtype=np.float64) for end in ends)
    ring = np.array([[1, 1, 0], [1, -1, 0], [-1, 1, 0], [-1, -1, 0]]) * np.array([1, flattening, 1])
    corners = np.vstack([low + ring * radii_mm[0], high + ring * radii_mm[1]])
    local_to_frame = np.diag([1.0, flattening, 1.0])
    local_to_frame[:, 2] = high - low
    to_local = np.asarray(np.linalg.inv(frame.axes @ local_to_frame), dtype=np.float64)
    return Piece(
        Kind.FRUSTUM, material, priority, to_local, frame.to_jaw(low), frame.to_jaw(corners), np.zeros(3), *radii_mm
    )


def round_cone(
    material: Material,
    priority: float,
    ends: tuple[ArrayLike, ArrayLike],
    radii_mm: tuple[float, float],
    frame: Frame = JAW,
    *,
    flattening: float = 1.0,
) -> Piece:
    """The hull of two balls, stretched along the frame's y by `flattening`; centres in the frame, mm."""
    stretch = np.array([1.0, flattening, 1.0])
    first, second = (np.asarray(end, dtype=np.float64) for end in ends)
    corners = np.vstack([first + _CUBE * radii_mm[0] * stretch, second + _CUBE * radii_mm[1] * stretch])
    to_local = np.asarray(frame.axes.T / stretch[:, None], dtype=np.float64)
    b = (second - first) / stretch
    at = frame.to_jaw(first)
    return Piece(Kind.ROUND_CONE, material, priority, to_local, at, frame.to_jaw(corners), b, *radii_mm)


def chain(
    material: Material,
    priority: float,
    points: Array,
    radii_mm: ArrayLike,
    frame: Frame = JAW,
    *,
    flattening: float | Sequence[float] | Array = 1.0,
    slab: Slab = NO_SLAB,
) -> list[Piece]:
    """Round cones along a line of points, shape (n, 3): a root, a canal or an instrument.

    `radii_mm` and `flattening` may vary from point to point; each link takes the mean flattening of its ends.
    """
    radii = np.broadcast_to(np.asarray(radii_mm, dtype=np.float64), len(points)).tolist()
    flat = np.broadcast_to(np.asarray(flattening, dtype=np.float64), len(points)).tolist()
    return [
        round_cone(material, priority, (p, q), (r, s), frame, flattening=(f + g) / 2).cut(slab)
        for (p, q), (r, s), (f, g) in zip(pairwise(points), pairwise(radii), pairwise(flat), strict=True)
    ]


@dataclass(frozen=True)
class Circle:
    """Part of a section across the jaw: y and z of its centre, and its radius, mm."""

    y_mm: float
    z_mm: float
    radius_mm: float


def beam(
    material: Material,
    priority: float,
    reach_mm: tuple[float, float],
    section: tuple[Circle, Circle],
    *,
    rise: float = 0.0,
) -> Piece:
    """The hull of two circles drawn out along x between two places, climbing by `rise` mm per mm.

    The section is that at the first place.
    """
    start, end = reach_mm
    first, second = section
    to_local = np.array([[0, 0, 0], [0, 1, 0], [-rise, 0, 1.0]])
    at = np.array([start, first.y_mm, first.z_mm])
    corners = np.array(
        [
            [x, c.y_mm + j * c.radius_mm, c.z_mm + k * c.radius_mm + rise * (x - start)]
            for x in reach_mm
            for c in section
            for j in (-1, 1)
            for k in (-1, 1)
        ]
    )
    b = np.array([0.0, second.y_mm - first.y_mm, second.z_mm - first.z_mm])
    radii = (first.radius_mm, second.radius_mm)
    slab = Slab(np.array([1.0, 0.0, 0.0]), start, end)
    return Piece(Kind.ROUND_CONE, material, priority, to_local, at, corners, b, *radii, slab)
