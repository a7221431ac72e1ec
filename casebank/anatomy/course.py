"""The course of a canal or root: straight legs and arcs, one after the other, in three dimensions.

Tooth frame, millimetres: x distal, y lingual (palatal in the upper jaw), z occlusal; the origin is the centre of the
tooth at its neck. Directions across the tooth are given as a bearing in degrees: 0 distal, 90 buccal, 180 mesial,
270 lingual. The same numbers therefore serve all four quadrants; the film alone mirrors.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.finite import evenly_spaced, finite_array, require_finite

Points = NDArray[np.float64]
Vector = NDArray[np.float64]
Position = tuple[float, float, float]

NO_PLANE = 1e-6  # sine of the angle between course and bearing below which rounding would choose the plane of the bend


def bearing(toward_deg: float) -> Vector:
    """Unit vector, shape (3,), across the tooth in the given bearing.

    Parameters
    ----------
    toward_deg : float
        0 distal, 90 buccal, 180 mesial, 270 lingual.

    Raises
    ------
    ValueError
        If the bearing is not finite.

    Examples
    --------
    >>> bearing(90).round(6).tolist()
    [0.0, -1.0, 0.0]
    """
    require_finite("a bearing", [("toward_deg", toward_deg)])
    turn = np.radians(toward_deg)
    return np.array([np.cos(turn), -np.sin(turn), 0.0])


@dataclass(frozen=True)
class Leg:
    """One stretch of a course: straight without a radius, an arc with one.

    Attributes
    ----------
    length_mm : float
        Length along the course.
    radius_mm : float or None
        Radius of the arc; none means straight.
    toward_deg : float
        Bearing the arc bends to; a straight leg ignores it.

    Raises
    ------
    ValueError
        If the length or a given radius is not above 0, the arc turns more than 120 degrees, or a number is not finite.
    """

    length_mm: float
    radius_mm: float | None = None
    toward_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a leg", [(name, getattr(self, name)) for name in ("length_mm", "radius_mm", "toward_deg")])
        if not self.length_mm > 0:
            raise ValueError(
                f"a leg of {self.length_mm} mm has no length: give a length above 0 mm or leave the leg out"
            )
        if self.radius_mm is not None and not self.radius_mm > 0:
            raise ValueError(
                f"a bend with a radius of {self.radius_mm} mm cannot be drawn: give a radius above 0 mm, "
                "or none for a straight leg"
            )
        if self.turn_deg > 120:
            raise ValueError(
                f"an arc of {self.turn_deg:.0f} degrees turns back on itself: shorten it or widen its radius"
            )

    @property
    def turn_deg(self) -> float:
        """Angle between the arc's two end tangents, degrees; 0 for a straight leg."""
        return 0.0 if self.radius_mm is None else float(np.degrees(self.length_mm / self.radius_mm))


@dataclass(frozen=True)
class Course:
    """Legs from coronal to apical, leaving the start in a direction that may lean off the tooth's axis.

    Attributes
    ----------
    legs : tuple of Leg
        At least one.
    lean_deg, lean_toward_deg : float
        Angle of the first direction to the tooth's axis, 0 to 60, and the bearing it leans to.

    Raises
    ------
    ValueError
        If there is no leg, the lean is outside 0 to 60 degrees or not finite, or an arc is to bend to the very bearing
        in which the course already runs square to the tooth's axis, so that the bend has no plane.
    """

    legs: tuple[Leg, ...]
    lean_deg: float = 0.0
    lean_toward_deg: float = 0.0

    def __post_init__(self) -> None:
        if not self.legs:
            raise ValueError("a course without legs leads nowhere: give at least one")
        require_finite("a course", [("lean_deg", self.lean_deg), ("lean_toward_deg", self.lean_toward_deg)])
        if not 0 <= self.lean_deg <= 60:
            raise ValueError(
                f"a course that leans {self.lean_deg} degrees does not enter a root: keep it within 0 to 60"
            )
        self._walk((0.0, 0.0, 0.0), np.zeros(1))  # meets every bend once, so that one without a plane is refused here

    @property
    def length_mm(self) -> float:
        """Sum of the legs' lengths."""
        return sum(leg.length_mm for leg in self.legs)

    def points(self, start_mm: Position, *, step_mm: float = 0.1) -> Points:
        """Points along the course, shape (n, 3), mm, evenly spaced within `step_mm`; first `start_mm`, last the end.

        ValueError if the step is not above 0 mm or a coordinate of the start is not finite.

        >>> Course((Leg(1.0),)).points((0.0, 0.0, 7.0), step_mm=0.5)[:, 2].tolist()
        [7.0, 6.5, 6.0]
        """
        return self.at(start_mm, evenly_spaced(self.length_mm, step_mm))

    def at(self, start_mm: Position, depths_mm: NDArray[np.float64]) -> Points:
        """Positions, shape (n, 3), mm, at the given lengths along the course, shape (n,), ascending or not.

        A length beyond either end follows on in the first or last leg. ValueError if a number is not finite.
        """
        return self._walk(start_mm, depths_mm)[0]

    def bends(self, depths_mm: NDArray[np.float64]) -> Points:
        """Curvature vectors, shape (n, 3), 1/mm: they point to the centre of the bend; zero where straight."""
        return self._walk((0.0, 0.0, 0.0), depths_mm)[1]

    def directions(self, depths_mm: NDArray[np.float64]) -> Points:
        """Unit tangents, shape (n, 3), pointing apically."""
        return self._walk((0.0, 0.0, 0.0), depths_mm)[2]

    def _walk(self, start_mm: Position, depths_mm: NDArray[np.float64]) -> tuple[Points, Points, Points]:
        """Positions, curvature vectors and unit tangents at lengths along the course."""
        depths = finite_array("a length along a course", depths_mm)
        where = np.empty((depths.size, 3))
        bend = np.zeros((depths.size, 3))
        along = np.empty((depths.size, 3))
        begin = finite_array("the start of a course", start_mm)
        lean = np.radians(self.lean_deg)
        heading = np.cos(lean) * np.array([0.0, 0.0, -1.0]) + np.sin(lean) * bearing(self.lean_toward_deg)
        passed = 0.0
        for number, leg in enumerate(self.legs):
            first, last = number == 0, number == len(self.legs) - 1
            here = (depths >= passed if not first else depths > -np.inf) & (
                depths < passed + leg.length_mm if not last else depths < np.inf
            )
            within = depths[here] - passed
            side = _bend_side(heading, leg)
            where[here], along[here] = _follow(begin, heading, side, leg, within)
            if leg.radius_mm is not None:
                turned = within / leg.radius_mm
                bend[here] = (np.outer(np.cos(turned), side) - np.outer(np.sin(turned), heading)) / leg.radius_mm
            end, tangent = _follow(begin, heading, side, leg, np.array([leg.length_mm]))
            begin, heading, passed = end[0], tangent[0], passed + leg.length_mm
        return where, bend, along


def _bend_side(heading: Vector, leg: Leg) -> Vector:
    """Unit vector at right angles to `heading` on the side the leg bends to; zero for a straight leg."""
    if leg.radius_mm is None:
        return np.zeros(3)
    toward = bearing(leg.toward_deg)
    side = toward - (toward @ heading) * heading
    size = float(np.linalg.norm(side))
    if size < NO_PLANE:
        raise ValueError(
            f"an arc cannot bend towards {leg.toward_deg:g} degrees where the course already runs that way or straight "
            "against it, square to the tooth's axis: turn it less before, or bend it to another side"
        )
    return np.asarray(side / size)


def _follow(
    begin: Vector, heading: Vector, side: Vector, leg: Leg, within: NDArray[np.float64]
) -> tuple[Points, Points]:
    """Positions and unit tangents at lengths `within` one leg."""
    if leg.radius_mm is None:
        return begin + np.outer(within, heading), np.tile(heading, (within.size, 1))
    turned = within / leg.radius_mm
    where = begin + leg.radius_mm * (np.outer(np.sin(turned), heading) + np.outer(1 - np.cos(turned), side))
    return where, np.outer(np.cos(turned), heading) + np.outer(np.sin(turned), side)
