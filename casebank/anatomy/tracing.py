"""A course of legs and arcs traced along a given line: what turns a drawn curve into a canal.

Between two points of the line with their tangents run two arcs that meet in a common tangent (a biarc); each pair is
stretched as far along the line as it stays close to it. Every leg starts from where the legs before it really end, so
nothing drifts.
"""

from collections.abc import Iterable

import numpy as np

from casebank.anatomy.course import Course, Leg, Points, Position, Vector
from casebank.anatomy.finite import finite_array

CLOSE_MM = 0.012  # how far a traced course may lie off its line
SAMPLE_MM = 0.2  # between the places at which that is looked at
FLAT_MM = 0.001  # an arc that leaves its chord by less is drawn straight
MOST_LEANING_DEG = 60.0  # a course can start no further off the tooth's axis
ALIGNED_DEG = 0.5  # how far its last direction may lie off the line's
SHRINK = 0.75  # of its span, for a pair of arcs that strayed
LENGTH_DIGITS, RADIUS_DIGITS, BEARING_DIGITS = 4, 4, 4  # so that a written course reads like one


def course_along(
    line_mm: Points, tangents: Points, *, joints: Iterable[int] = (), close_mm: float = CLOSE_MM
) -> Course:
    """The course that starts at the line's first point and follows it to its last.

    Parameters
    ----------
    line_mm : array, shape (n, 3), mm
        Points about 0.25 mm apart, in order.
    tangents : array, shape (n, 3)
        Unit tangents there, pointing along the line.
    joints : iterable of int
        Points at which the line changes its nature, such as where a bend begins: no leg runs across one.
    close_mm : float
        How far the course may lie off the line; what leads to a neighbouring point is kept as it is.

    Raises
    ------
    ValueError
        If there are fewer than two points, a number is not finite, or the line leans more
        than 60 degrees off the tooth's axis somewhere.

    Examples
    --------
    >>> depth = np.linspace(0.0, 5.0, 21)
    >>> line = np.stack([0 * depth, 0 * depth, -depth], axis=1)
    >>> course_along(line, np.tile([0.0, 0.0, -1.0], (21, 1))).legs
    (Leg(length_mm=5.0, radius_mm=None, toward_deg=0.0),)
    """
    line = finite_array("a line to trace", line_mm)
    headings = finite_array("a tangent of a line to trace", tangents)
    if len(line) < 2 or line.shape != headings.shape:
        raise ValueError("a line to trace needs two points or more and a tangent at each")
    if not (headings[:, 2] < -np.cos(np.radians(MOST_LEANING_DEG))).all():
        raise ValueError("a line to trace must run apically everywhere, within 60 degrees of the axis: bend it less")
    lean_deg, lean_toward_deg = (round(part, BEARING_DIGITS) for part in _lean(headings[0]))
    at, now = line[0], Course((Leg(1.0),), lean_deg, lean_toward_deg).directions(np.zeros(1))[0]
    legs: list[Leg] = []
    reached = 0
    for stop in sorted({*joints, len(line) - 1} - {0}):
        while reached < stop:
            more, reached = _further(at, now, line, headings, reached, stop, close_mm)
            at, now = _end(at, now, more)
            if more and legs and more[0].radius_mm is None and legs[-1].radius_mm is None:
                legs[-1] = Leg(round(legs[-1].length_mm + more.pop(0).length_mm, LENGTH_DIGITS))
            legs += more
    return Course(tuple(legs), lean_deg, lean_toward_deg)


def off_line_mm(points_mm: Points, line_mm: Points) -> np.ndarray:
    """Distance, shape (n,), mm, of each point, shape (n, 3), from a polyline, shape (m, 3), m at least 2.

    >>> off_line_mm(np.array([[3.0, 4.0, 5.0]]), np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 9.0]])).tolist()
    [5.0]
    """
    begin, along = line_mm[:-1], np.diff(line_mm, axis=0)
    length_2 = np.maximum((along**2).sum(axis=1), 1e-18)
    share = np.clip(((points_mm[:, None] - begin) * along).sum(axis=2) / length_2, 0.0, 1.0)
    nearest = begin + share[..., None] * along
    return np.asarray(np.sqrt(((points_mm[:, None] - nearest) ** 2).sum(axis=2).min(axis=1)))


def _further(
    at: Vector, now: Vector, line: Points, headings: Points, reached: int, stop: int, close_mm: float
) -> tuple[list[Leg], int]:
    """One leg or two that lead as far towards the stop as they stay close, and the point they reach."""
    span = stop - reached
    while True:
        target, heading = line[reached + span], headings[reached + span]
        for arcs in (1, 2):
            legs = _to(at, now, target, heading, arcs)
            if legs is None:
                continue
            if span == 1 and arcs == 2:
                return legs, reached + 1
            turned = np.degrees(np.arccos(np.clip(_end(at, now, legs)[1] @ heading, -1.0, 1.0)))
            if turned < ALIGNED_DEG and (_strays(at, now, legs, line[reached + 1 : reached + span]) <= close_mm).all():
                return legs, reached + span
        if span == 1:
            raise ValueError("a line to trace turns back on itself between two of its points: bend it less")
        span = max(1, int(span * SHRINK))


def _to(at: Vector, now: Vector, target: Vector, heading: Vector, arcs: int) -> list[Leg] | None:
    """One arc or two that lead on to a target, two also with a heading there; none if they would turn back."""
    legs: list[Leg] = []
    try:
        if arcs == 2:
            legs += _arc(at, now, _middle(at, now, target, heading))
        return legs + _arc(*_end(at, now, legs), target)
    except ValueError:
        return None


def _lean(heading: Vector) -> tuple[float, float]:
    """A heading as an angle to the tooth's axis and a bearing, degrees."""
    aside = float(np.hypot(heading[0], heading[1]))
    return float(np.degrees(np.arctan2(aside, -heading[2]))), _bearing_deg(heading) if aside > 1e-12 else 0.0


def _end(at: Vector, now: Vector, legs: list[Leg]) -> tuple[Vector, Vector]:
    """Where legs lead that start there in that direction, and in which direction they end."""
    if not legs:
        return at, now
    course = Course(tuple(legs), *_lean(now))
    end = np.array([course.length_mm])
    return course.at(_position(at), end)[0], course.directions(end)[0]


def _strays(at: Vector, now: Vector, legs: list[Leg], points: Points) -> np.ndarray:
    """How far points lie off legs that start there in that direction."""
    return off_line_mm(points, Course(tuple(legs), *_lean(now)).points(_position(at), step_mm=SAMPLE_MM))


def _position(vector: Vector) -> Position:
    return float(vector[0]), float(vector[1]), float(vector[2])


def _middle(at: Vector, now: Vector, target: Vector, heading: Vector) -> Vector:
    """Where the two arcs of a biarc with equal tangent lengths meet. ValueError if they would turn back."""
    gap = target - at
    if not gap @ (now + heading) > 0:
        raise ValueError("two arcs that turn back on themselves")
    both = float(gap @ (now + heading))
    reach_2, spare = float(gap @ gap), float(1 - now @ heading)
    tangent_mm = reach_2 / (both + np.sqrt(both**2 + 2 * spare * reach_2))
    return np.asarray((at + target + tangent_mm * (now - heading)) / 2)


def _arc(at: Vector, now: Vector, goal: Vector) -> list[Leg]:
    """The one arc that leaves `at` in direction `now` and passes through `goal`; nothing where that is no way.

    ValueError if it would turn back on itself.
    """
    chord = goal - at
    chord_mm = float(np.linalg.norm(chord))
    if chord_mm < 10**-LENGTH_DIGITS:
        return []
    if chord @ now <= 0:
        raise ValueError("an arc that turns back on itself")
    aside = chord - (chord @ now) * now
    half_turn = float(np.arctan2(np.linalg.norm(aside), chord @ now))
    if chord_mm * np.tan(half_turn / 2) / 2 < FLAT_MM:
        return [Leg(round(chord_mm, LENGTH_DIGITS))]
    radius_mm = chord_mm / (2 * np.sin(half_turn))
    side = aside / np.linalg.norm(aside)
    bearing_deg = round(_bearing_deg(side - side[2] / now[2] * now), BEARING_DIGITS)
    length_mm = round(float(2 * half_turn * radius_mm), LENGTH_DIGITS)
    return [Leg(length_mm, round(float(radius_mm), RADIUS_DIGITS), bearing_deg)]


def _bearing_deg(vector: Vector) -> float:
    """Bearing of a vector seen from above, 0 to 360 degrees: 0 distal, 90 buccal."""
    return float(np.degrees(np.arctan2(-vector[1], vector[0])) % 360)
