"""A course traced along a line stays close to it and is made of few legs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings

from casebank.anatomy import Course, Leg
from casebank.anatomy.tracing import CLOSE_MM, course_along, off_line_mm
from tests.casebank.anatomy.ideal import ORIGIN, courses, ideal_course


def traced(course, joints=()):
    depths = np.linspace(0.0, course.length_mm, max(2, int(course.length_mm / 0.25) + 1))
    return course_along(course.at(ORIGIN, depths), course.directions(depths), joints=joints)


def test_one_arc_comes_back_as_one_leg():
    (leg,) = traced(Course((Leg(6.0, 10.0, 30.0),))).legs
    assert leg.length_mm == pytest.approx(6.0, abs=1e-3)
    assert leg.radius_mm == pytest.approx(10.0, abs=1e-3)
    assert leg.toward_deg == pytest.approx(30.0, abs=1e-3)


def test_a_joint_parts_the_straight_leg_from_the_bend():
    course = ideal_course(8.0, 10.0, 30.0)  # check values 11 to 13: the bend is 10 * pi / 6 = 5.2360 mm long
    depths = np.concatenate([np.linspace(0.0, 8.0, 33), np.linspace(8.0, course.length_mm, 22)[1:]])
    straight, bend = course_along(course.at(ORIGIN, depths), course.directions(depths), joints=[32]).legs
    assert (straight.length_mm, straight.radius_mm) == (8.0, None)
    assert bend.length_mm == pytest.approx(10 * math.pi / 6, abs=1e-3)


@given(courses())
@settings(max_examples=15, deadline=None)
def test_a_traced_course_stays_close_to_its_line_and_ends_with_it(course):
    depths = np.linspace(0.0, course.length_mm, max(3, int(course.length_mm / 0.2) + 1))
    again = course_along(course.at(ORIGIN, depths), course.directions(depths))
    assert (off_line_mm(course.at(ORIGIN, depths), again.points(ORIGIN, step_mm=0.05)) <= 2 * CLOSE_MM).all()
    assert again.points(ORIGIN)[-1] == pytest.approx(course.points(ORIGIN)[-1], abs=5e-3)
    assert again.length_mm == pytest.approx(course.length_mm, abs=0.05)
    # one leg a leg where the line is one arc; where two meet a span may stop short a few times
    assert len(again.legs) <= 8 * len(course.legs)


def test_distance_from_a_line_is_square_to_it_and_beyond_its_end_to_the_end():
    line = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, -9.0]])
    points = np.array([[3.0, 0.0, -4.0], [0.0, 4.0, 3.0], [0.0, 0.0, -10.0]])
    assert off_line_mm(points, line) == pytest.approx([3.0, 5.0, 1.0])


@pytest.mark.parametrize(
    ("line", "tangents", "sentence"),
    [
        pytest.param([[0, 0, 0]], [[0, 0, -1]], "two points or more", id="a point"),
        pytest.param([[0, 0, 0], [0, 0, -1]], [[0, 0, -1]], "tangent at each", id="a tangent short"),
        pytest.param([[0, 0, 0], [0, 0, 1]], [[0, 0, 1], [0, 0, 1]], "run apically", id="upwards"),
        pytest.param([[0, 0, 0], [0, 0, np.nan]], [[0, 0, -1]] * 2, "not finite", id="nan"),
        pytest.param([[0, 0, 0], [0, 0, 1.0]], [[0, 0, -1]] * 2, "turns back", id="behind its start"),
    ],
)
def test_what_is_no_line_to_trace_is_refused(line, tangents, sentence):
    with pytest.raises(ValueError, match=sentence):
        course_along(np.array(line, dtype=float), np.array(tangents, dtype=float))
