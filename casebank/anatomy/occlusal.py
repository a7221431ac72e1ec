"""The crown as whoever opens it looks at it: back teeth from above, front teeth from the tongue's side, canines too.

Which way round, the same rule for all four quadrants: as in a chart of the mouth read from the front. Mesial lies at
the right in quadrants 1 and 4 and at the left in 2 and 3, as on a film. The cheek's side, or a front tooth's edge, is
at the top for upper teeth and at the bottom for lower ones. No map is mirrored: turned in the page, each is what the
eye sees. (A chart seen from the front: common practice, no source.)

The map lies square to the crown's own axis, so a crown that leans off its roots is seen as in the mouth and gives
nothing away of them. Places on it are crown coordinates in millimetres: x distal; the second is y (lingual) where the
tooth is seen from above, and z (occlusal, 0 at the neck) where it is seen from the tongue's side.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.course import Points
from casebank.anatomy.finite import finite_array, require_finite
from casebank.anatomy.tooth import FDI_NUMBERS, Crown, Tooth

LAST_FRONT = 3  # place of the canine from the midline
CURVE_STEPS = 6  # points of a drawn line between two given ones

Axes = NDArray[np.float64]


@dataclass(frozen=True)
class MapSides:
    """What lies at each side of the map, in words."""

    left: str
    right: str
    top: str
    bottom: str


@dataclass(frozen=True)
class MapFrame:
    """How places on a crown and places on its map go over into each other.

    Attributes
    ----------
    number : int
        Two-digit designation (ISO 3950).
    crown : Crown

    Raises
    ------
    ValueError
        If there is no such tooth.
    """

    number: int
    crown: Crown

    def __post_init__(self) -> None:
        if self.number not in FDI_NUMBERS:
            raise ValueError(f"{self.number} is no permanent tooth: use the two-digit designation, 11 to 48")

    @property
    def seen_from(self) -> Literal["above", "the tongue's side"]:
        """Where the eye is."""
        return "the tongue's side" if self.number % 10 <= LAST_FRONT else "above"

    @property
    def is_upper(self) -> bool:
        """Whether the tooth stands in the upper jaw."""
        return self.number // 10 in (1, 2)

    @property
    def x_right(self) -> float:
        """+1 where distal lies at the right of the map, else -1."""
        return 1.0 if self.number // 10 in (2, 3) else -1.0

    @property
    def along_down(self) -> float:
        """+1 where the second coordinate grows downwards on the map, else -1."""
        from_above = self.seen_from == "above"
        return 1.0 if from_above == self.is_upper else -1.0

    def to_map(self, x_mm: float, along_mm: float) -> tuple[float, float]:
        """A place on the crown as right and down on the map, mm. ValueError if a number is not finite.

        >>> from casebank.anatomy.tooth import Crown
        >>> MapFrame(16, Crown(7.5, 10.0, 11.0, 8.0, 10.0)).to_map(2.0, -3.0)  # distal and buccal: left and up
        (-2.0, -3.0)
        """
        require_finite("a place on a crown", [("x_mm", x_mm), ("along_mm", along_mm)])
        return self.x_right * x_mm, self.along_down * along_mm

    def from_map(self, right_mm: float, down_mm: float) -> tuple[float, float]:
        """Right and down on the map as a place on the crown, mm. ValueError if a number is not finite."""
        require_finite("a place on a map", [("right_mm", right_mm), ("down_mm", down_mm)])
        return self.x_right * right_mm, self.along_down * down_mm

    @property
    def toward_eye(self) -> Axes:
        """Unit vector, shape (3,), crown frame."""
        return np.array([0.0, 0.0, 1.0]) if self.seen_from == "above" else np.array([0.0, 1.0, 0.0])

    @property
    def along(self) -> Axes:
        """Unit vector of the second coordinate, shape (3,), crown frame."""
        return np.array([0.0, 1.0, 0.0]) if self.seen_from == "above" else np.array([0.0, 0.0, 1.0])

    @property
    def axes(self) -> Axes:
        """The crown frame's x, y, z as columns, shape (3, 3), in the tooth frame: leant distally, then lingually."""
        a, b = np.radians([self.crown.off_root_mesiodistal_deg, self.crown.off_root_buccolingual_deg])
        distally = np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])
        lingually = np.array([[1, 0, 0], [0, np.cos(b), np.sin(b)], [0, -np.sin(b), np.cos(b)]])
        return np.asarray(distally @ lingually)

    def to_tooth(self, points_mm: Points) -> Points:
        """Points, shape (n, 3), from the crown frame to the tooth frame, mm. ValueError if one is not finite."""
        return np.asarray(finite_array("a point of a crown", points_mm) @ self.axes.T)

    def to_crown(self, points_mm: Points) -> Points:
        """Points, shape (n, 3), from the tooth frame to the crown frame, mm. ValueError if one is not finite."""
        return np.asarray(finite_array("a point of a tooth", points_mm) @ self.axes)

    def on_map(self, points_tooth_mm: Points) -> Points:
        """Points of the tooth frame, shape (n, 3), as right and down on the map, shape (n, 2), mm."""
        crown = self.to_crown(points_tooth_mm)
        return np.stack([self.x_right * crown[:, 0], self.along_down * (crown @ self.along)], axis=1)

    @property
    def sides(self) -> MapSides:
        """What lies where."""
        left, right = ("mesial", "distal") if self.x_right > 0 else ("distal", "mesial")
        if self.seen_from == "above":
            near, far = "buccal", "palatal" if self.is_upper else "lingual"
        else:
            near, far = "edge", "neck"
        return MapSides(left, right, near, far) if self.is_upper else MapSides(left, right, far, near)


def map_frame(tooth: Tooth) -> MapFrame:
    """The map of a tooth."""
    return MapFrame(tooth.number, tooth.crown)


@dataclass(frozen=True, eq=False)
class Hollow:
    """A shallow pit: centre and half axes in the map's crown coordinates, and depth, mm."""

    x_mm: float
    along_mm: float
    half_x_mm: float
    half_along_mm: float
    depth_mm: float


@dataclass(frozen=True, eq=False)
class SurfaceLines:
    """Fine relief of a crown, in the map's crown coordinates (x, second), mm; each line of shape (n, 2).

    `within` is a closed line that the outline stays within; none where the solids' own outline will do.
    """

    grooves: tuple[Points, ...]
    fine: tuple[Points, ...]
    ridges: tuple[Points, ...]
    hollows: tuple[Hollow, ...]
    neck_rise_mm: float
    within: Points | None


@cache
def _table() -> dict[str, dict[str, dict[str, Any]]]:
    text = (files("casebank.anatomy") / "occlusal_lines.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def surface_lines(frame: MapFrame) -> SurfaceLines:
    """Grooves, ridges and hollows of a crown, stretched to its sizes."""
    jaw = "upper" if frame.is_upper else "lower"
    row = _table()[jaw][str(frame.number % 10)]
    crown = frame.crown
    along = crown.buccolingual_mm / 2 if frame.seen_from == "above" else crown.height_mm
    scale = np.array([crown.mesiodistal_mm / 2, along])

    def lines(name: str) -> tuple[Points, ...]:
        return tuple(_curve(np.array(line, dtype=np.float64) * scale) for line in row.get(name, ()))

    hollows = tuple(
        Hollow(x * scale[0], second * scale[1], half * scale[0], half_second * scale[1], depth_mm)
        for x, second, half, half_second, depth_mm in row.get("hollows", ())
    )
    outline = row.get("outline")
    within = None if outline is None else _closed(np.array(outline, dtype=np.float64) * scale)
    rise_mm = float(row.get("neck_rise", 0.0)) * crown.height_mm
    return SurfaceLines(lines("grooves"), lines("fine"), lines("ridges"), hollows, rise_mm, within)


def _curve(points: Points) -> Points:
    """A smooth line through the given points: each stretch a cubic whose ends run along their neighbours' chord."""
    if len(points) == 2:
        return points
    padded = np.vstack([2 * points[0] - points[1], points, 2 * points[-1] - points[-2]])
    return np.vstack([_through(padded), points[-1:]])


def _closed(points: Points) -> Points:
    """A smooth closed line through the given points; its last point joins its first."""
    return _through(np.vstack([points[-1:], points, points[:2]]))


def _through(padded: Points) -> Points:
    """Points between the second and the last but one of those given, which have a neighbour at both ends."""
    share = (np.arange(CURVE_STEPS) / CURVE_STEPS)[:, None]
    stretches = []
    for before, start, end, after in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        leaving, arriving = (end - before) / 2, (after - start) / 2
        stretches.append(
            (2 * share**3 - 3 * share**2 + 1) * start
            + (share**3 - 2 * share**2 + share) * leaving
            + (3 * share**2 - 2 * share**3) * end
            + (share**3 - share**2) * arriving
        )
    return np.vstack(stretches)
