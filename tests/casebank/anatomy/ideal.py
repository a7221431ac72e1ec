"""Ideal canals whose curvature has a closed form: straight leg, one arc, straight apical leg."""

import math
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st

from casebank.anatomy import Course, Leg, Points

ORIGIN = (0.0, 0.0, 0.0)
BEARINGS = st.floats(0.0, 360.0)


def ideal_course(
    leg_mm: float, radius_mm: float, turn_deg: float, apical_mm: float = 0.0, toward_deg: float = 0.0
) -> Course:
    """A canal that runs straight, turns once and, with an apical length, runs straight again."""
    legs = [Leg(leg_mm), Leg(radius_mm * math.radians(turn_deg), radius_mm, toward_deg)]
    if apical_mm:
        legs.append(Leg(apical_mm))
    return Course(tuple(legs))


def joints_mm(course: Course) -> np.ndarray:
    """Depths at which one leg passes into the next, both ends included."""
    return np.cumsum([0.0, *(leg.length_mm for leg in course.legs)])


def through_joints(course: Course, pieces: int = 100) -> Points:
    """A polyline with a point at each joint and as many pieces to each leg, so that no joint falls between points."""
    joints = joints_mm(course)
    depths = [np.linspace(begin, end, pieces + 1)[1:] for begin, end in pairwise(joints)]
    return course.at(ORIGIN, np.concatenate([[0.0], *depths]))


@st.composite
def courses(draw: st.DrawFn) -> Course:
    """Courses of one to four legs, straight or bent up to 25 degrees to any side, leaning up to 20 degrees."""
    legs = []
    for _ in range(draw(st.integers(1, 4))):
        length = draw(st.floats(0.5, 8.0))
        bent = draw(st.booleans())
        radius = length / math.radians(draw(st.floats(1.0, 25.0))) if bent else None
        legs.append(Leg(length, radius, draw(BEARINGS)))
    return Course(tuple(legs), draw(st.floats(0.0, 20.0)), draw(BEARINGS))
