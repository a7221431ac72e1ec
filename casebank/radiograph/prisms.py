"""Solids whose sections are rounded rectangles, out of convex pieces that join without a step.

Between two sections stand four leaning frustums as corners and, between their axes, wedges swept along x and along y.
Where a section is an oval or has two round ends, the corners fall together and the wedges between them are left out.
"""

from dataclasses import dataclass, replace

import numpy as np

from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Array, Frame, Kind, Piece, Slab, frustum

ALMOST_MM = 1e-3
FAN = (-1.0, -0.5, 0.0, 0.5, 1.0)  # places of a fan's frustums
CLOSE = 0.6  # distance of two of its frustums over their radius


@dataclass(frozen=True)
class RoundedSection:
    """A section square to a frame's z: its centre, shape (3,), half widths, and the x radius of its corners, mm."""

    centre: Array
    half_x: float
    half_y: float
    corner_x: float

    def lowered(self, by_mm: float) -> "RoundedSection":
        """The same section further down."""
        return replace(self, centre=self.centre - np.array([0.0, 0.0, by_mm]))

    def toward(self, other: "RoundedSection", share: float) -> "RoundedSection":
        """The section a share of the way to another one, or beyond it."""
        return RoundedSection(
            self.centre + share * (other.centre - self.centre),
            self.half_x + share * (other.half_x - self.half_x),
            self.half_y + share * (other.half_y - self.half_y),
            self.corner_x + share * (other.corner_x - self.corner_x),
        )


def between(
    material: Material, rank: float, low: RoundedSection, high: RoundedSection, frame: Frame, *, flattening: float
) -> list[Piece]:
    """The solid between two sections; `flattening` is the corners' y radius over their x radius."""
    ends = (low, high)
    away = [_axes_away(end, flattening) for end in ends]
    halves = ((low.half_y, high.half_y), (low.half_x, high.half_x))
    if _comes_to_a_point(ends, away):
        return _fan(material, rank, ends, frame)
    pieces = corners(material, rank, low, high, frame, flattening=flattening)
    for along in (0, 1):
        places = [each[along] for each in away]
        if max(places) > ALMOST_MM:
            pieces += [_wedge(material, rank, ends, frame, along, side, places, halves[along]) for side in (-1.0, 1.0)]
    return pieces


def corners(
    material: Material, rank: float, low: RoundedSection, high: RoundedSection, frame: Frame, *, flattening: float
) -> list[Piece]:
    """The corners alone: four, two or one frustum."""
    ends = (low, high)
    away = [_axes_away(end, flattening) for end in ends]
    sides = [(-1.0, 1.0) if max(each[along] for each in away) > ALMOST_MM else (0.0,) for along in (0, 1)]
    pieces = []
    for side_x in sides[0]:
        for side_y in sides[1]:
            first, second = (
                end.centre + np.array([side_x * x, side_y * y, 0.0]) for end, (x, y) in zip(ends, away, strict=True)
            )
            radii = (low.corner_x, high.corner_x)
            pieces.append(frustum(material, rank, (first, second), radii, frame, flattening=flattening))
    return pieces


def _comes_to_a_point(ends: tuple[RoundedSection, RoundedSection], away: list[tuple[float, float]]) -> bool:
    """Whether a wedge along x would be cut to a point, and frustums in its stead would stand close enough."""
    narrow, broad = sorted((0, 1), key=lambda k: away[k][0])
    long_only = away[broad][0] > ALMOST_MM and away[broad][1] < ALMOST_MM
    apart = 2 * away[broad][0] / (len(FAN) - 1)
    return long_only and away[narrow][0] < 0.5 * away[broad][0] and apart < CLOSE * ends[broad].corner_x


def _fan(material: Material, rank: float, ends: tuple[RoundedSection, RoundedSection], frame: Frame) -> list[Piece]:
    """From an oval to a long section, or back: frustums side by side."""
    oval = min(ends, key=lambda end: end.half_x - end.corner_x)
    flattening = oval.half_y / oval.corner_x
    radii = (ends[0].half_y / flattening, ends[1].half_y / flattening)
    pieces = []
    for side in FAN:
        first, second = (
            end.centre + np.array([side * max(0.0, end.half_x - radius), 0.0, 0.0])
            for end, radius in zip(ends, radii, strict=True)
        )
        pieces.append(frustum(material, rank, (first, second), radii, frame, flattening=flattening))
    return pieces


def _axes_away(section: RoundedSection, flattening: float) -> tuple[float, float]:
    """How far the corners' axes stand from the centre, along x and along y."""
    return max(0.0, section.half_x - section.corner_x), max(0.0, section.half_y - flattening * section.corner_x)


def _wedge(
    material: Material,
    rank: float,
    ends: tuple[RoundedSection, RoundedSection],
    frame: Frame,
    along: int,
    side: float,
    away: list[float],
    halves: tuple[float, float],
) -> Piece:
    """A wedge swept along x (0) or y (1), from the corners' axes on one side to the middle and beyond.

    Its cut follows those axes; the cut's other plane is parallel to it and lies no further than the far corners' axes,
    or half-way across the wider end, so that two wedges always meet.
    """
    low, high = ends
    across = 1 - along
    rise = high.centre - low.centre
    to_local = np.zeros((3, 3))
    to_local[1, across], to_local[1, 2] = 1.0, -rise[across] / rise[2]
    to_local[2, 2] = 1 / rise[2]
    near = [end.centre + side * far * np.eye(3)[along] for end, far in zip(ends, away, strict=True)]
    opposite = [end.centre - side * far * np.eye(3)[along] for end, far in zip(ends, away, strict=True)]
    step = near[1] - near[0]
    normal = np.zeros(3)
    normal[along], normal[2] = -side * step[2], side * step[along]
    normal /= np.linalg.norm(normal)
    start = float(normal @ near[0])
    reach = [float(normal @ point) - start for point in opposite]
    stop = start + max(min(reach), 0.51 * max(reach), ALMOST_MM)
    corners = np.array(
        [
            end.centre + i * far * np.eye(3)[along] + j * half * np.eye(3)[across]
            for end, far, half in zip(ends, away, halves, strict=True)
            for i in (-1, 1)
            for j in (-1, 1)
        ]
    )
    normal_jaw = frame.axes @ normal
    base = float(normal_jaw @ frame.at_mm)
    slab = Slab(normal_jaw, low_mm=base + start, high_mm=base + stop)
    at = frame.to_jaw(low.centre)
    return Piece(
        Kind.FRUSTUM, material, rank, to_local @ frame.axes.T, at, frame.to_jaw(corners), np.zeros(3), *halves, slab
    )
