"""Courses against closed forms, and what holds for every course."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Course, Leg, bearing
from tests.casebank.anatomy.ideal import BEARINGS, ORIGIN, courses, ideal_course, joints_mm


@pytest.mark.parametrize(
    ("toward_deg", "direction"),
    [
        # the frame's own definition: x distal, y lingual
        pytest.param(0, (1, 0, 0), id="distal"),
        pytest.param(90, (0, -1, 0), id="buccal"),
        pytest.param(180, (-1, 0, 0), id="mesial"),
        pytest.param(270, (0, 1, 0), id="lingual"),
    ],
)
def test_a_bearing_points_to_its_side(toward_deg, direction):
    assert bearing(toward_deg) == pytest.approx(direction, abs=1e-12)


@pytest.mark.parametrize(
    ("leg", "radius", "turn", "apical", "length", "offset"),
    [
        # length = L + R a + La; offset = R (1 - cos a) + La sin a, by hand: 10 * 0.133975 = 1.3397;
        # 5 * 0.5 = 2.5; 1.3397 + 4 * 0.5 = 3.3397. Check values 13, 17, 25 give the lengths.
        pytest.param(8, 10, 30, 0, 13.2360, 1.3397, id="13: moderate arc"),
        pytest.param(10, 5, 60, 0, 15.2360, 2.5000, id="17: sharp arc"),
        pytest.param(8, 10, 30, 4, 17.2360, 3.3397, id="25: with an apical leg"),
    ],
)
def test_an_ideal_canal_ends_where_the_closed_form_says(leg, radius, turn, apical, length, offset):
    course = ideal_course(leg, radius, turn, apical)
    assert course.length_mm == pytest.approx(length, abs=0.01)
    x, y, z = course.points(ORIGIN)[-1]
    a = math.radians(turn)
    assert (x, y) == pytest.approx((offset, 0.0), abs=1e-4)
    assert z == pytest.approx(-(leg + radius * math.sin(a) + apical * math.cos(a)), abs=1e-9)


def test_chord_and_sagitta_of_an_arc():
    # check values 27 and 29: chord 2 R sin(a/2) = 20 * 0.258819; sagitta R (1 - cos(a/2)) = 5 * 0.133975
    gentle, sharp = Course((Leg(10 * math.radians(30), 10.0),)), Course((Leg(5 * math.radians(60), 5.0),))
    ends = gentle.at(ORIGIN, np.array([0.0, gentle.length_mm]))
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(5.1764, abs=1e-3)
    start, middle, end = sharp.at(ORIGIN, sharp.length_mm * np.array([0.0, 0.5, 1.0]))
    assert np.linalg.norm(middle - (start + end) / 2) == pytest.approx(0.6699, abs=1e-3)


def test_a_leaning_course_leaves_in_its_direction():
    # 10 mm at 30 degrees off the axis towards the tongue: 5 mm aside, 8.66 mm down
    leaning = Course((Leg(10.0),), lean_deg=30.0, lean_toward_deg=270.0)
    assert leaning.points((1.0, 2.0, 3.0))[-1] == pytest.approx((1.0, 7.0, 3.0 - 8.6603), abs=1e-4)


@given(courses(), st.floats(0.05, 1.0))
def test_a_course_starts_at_its_start_and_is_as_long_as_its_legs(course, step_mm):
    start = (1.0, -2.0, 3.0)
    points = course.points(start, step_mm=step_mm)
    pieces = np.linalg.norm(np.diff(points, axis=0), axis=1)
    assert points[0] == pytest.approx(start, abs=1e-12)
    assert pieces.max() <= step_mm + 1e-9
    # a chord of length c on radius R is short of its arc by about c^3 / (24 R^2); the sharpest radius drawn is 1.14 mm,
    # and at a joint a chord cuts no more than an arc of that radius would
    sharpest = min((leg.radius_mm for leg in course.legs if leg.radius_mm is not None), default=math.inf)
    assert pieces.sum() <= course.length_mm + 1e-9
    assert pieces.sum() == pytest.approx(course.length_mm, rel=1.1 * step_mm**2 / (24 * sharpest**2) + 1e-9)


@given(courses())
def test_tangents_are_unit_vectors_along_the_course(course):
    depths = np.linspace(0.0, course.length_mm, 41)
    along = course.directions(depths)
    assert np.linalg.norm(along, axis=1) == pytest.approx(np.ones(41), abs=1e-9)
    # against the positions themselves: a central difference over 1e-5 mm
    apart = course.at(ORIGIN, depths + 5e-6) - course.at(ORIGIN, depths - 5e-6)
    assert apart / 1e-5 == pytest.approx(along, abs=1e-4)


@given(courses())
def test_a_bend_is_one_over_its_radius_square_to_the_course_and_zero_where_straight(course):
    joints = joints_mm(course)
    middles = (joints[:-1] + joints[1:]) / 2
    bends, along = course.bends(middles), course.directions(middles)
    expected = [0.0 if leg.radius_mm is None else 1 / leg.radius_mm for leg in course.legs]
    assert np.linalg.norm(bends, axis=1) == pytest.approx(expected, abs=1e-9)
    assert (bends * along).sum(axis=1) == pytest.approx(np.zeros(len(expected)), abs=1e-9)


@given(st.floats(2.0, 20.0), st.floats(5.0, 60.0), BEARINGS)
def test_a_bend_points_to_the_centre_of_its_circle(radius, turn, toward):
    arc = ideal_course(4.0, radius, turn, toward_deg=toward)
    depths = np.linspace(4.0, arc.length_mm, 7)
    bends = arc.bends(depths)
    centres = arc.at(ORIGIN, depths) + bends * radius**2
    assert centres == pytest.approx(np.tile([0.0, 0.0, -4.0] + radius * bearing(toward), (7, 1)), abs=1e-9)


@given(courses())
def test_legs_join_without_a_step_or_a_corner(course):
    joints = joints_mm(course)[1:-1]
    for read in (lambda depths: course.at(ORIGIN, depths), course.directions):
        assert read(joints - 1e-9) == pytest.approx(read(joints + 1e-9), abs=1e-7)


@given(courses())
def test_mirroring_every_bearing_mirrors_the_course(course):
    mirrored = Course(
        tuple(Leg(leg.length_mm, leg.radius_mm, 180.0 - leg.toward_deg) for leg in course.legs),
        course.lean_deg,
        180.0 - course.lean_toward_deg,
    )
    assert mirrored.points(ORIGIN) == pytest.approx(course.points(ORIGIN) * [-1, 1, 1], abs=1e-9)


def test_depths_may_come_in_any_order_and_follow_on_beyond_the_ends():
    course = ideal_course(4.0, 8.0, 30.0, 2.0)
    down, up = course.at(ORIGIN, np.array([1.0, 5.0, 9.0])), course.at(ORIGIN, np.array([9.0, 5.0, 1.0]))
    assert np.array_equal(down, up[::-1])
    above, below = course.at(ORIGIN, np.array([-1.0, course.length_mm + 1.0]))
    end, tangent = course.points(ORIGIN)[-1], course.directions(np.array([course.length_mm]))[0]
    assert above == pytest.approx((0.0, 0.0, 1.0))
    assert below == pytest.approx(end + tangent)


def test_a_straight_leg_may_follow_an_arc_of_ninety_degrees_in_any_bearing():
    # the leg's own bearing, 0 by default, is the direction in which the course then runs
    course = Course((Leg(4 * math.radians(90), 4.0, 0.0), Leg(2.0)))
    assert course.points(ORIGIN)[-1] == pytest.approx((6.0, 0.0, -4.0))


@pytest.mark.parametrize("toward_deg", [0.0, 180.0])
def test_an_arc_without_a_plane_to_bend_in_is_refused(toward_deg):
    square_to_the_axis = Leg(4 * math.radians(90), 4.0, 0.0)
    with pytest.raises(ValueError, match="an arc cannot bend towards"):
        Course((square_to_the_axis, Leg(2.0, 4.0, toward_deg)))


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: Leg(0.0), "has no length", id="no length"),
        pytest.param(lambda: Leg(-1.0), "has no length", id="negative length"),
        pytest.param(lambda: Leg(5.0, -10.0), "cannot be drawn", id="negative radius"),
        pytest.param(lambda: Leg(5.0, 0.0), "cannot be drawn", id="no radius"),
        pytest.param(lambda: Leg(10.0, 4.0), "turns back on itself", id="143 degrees"),
        pytest.param(lambda: Course(()), "leads nowhere", id="no legs"),
        pytest.param(lambda: Course((Leg(1.0),), lean_deg=-1.0), "does not enter a root", id="negative lean"),
        pytest.param(lambda: Course((Leg(1.0),), lean_deg=61.0), "does not enter a root", id="lying down"),
        pytest.param(lambda: bearing(math.nan), "a bearing: toward_deg is nan", id="bearing nan"),
        pytest.param(lambda: Course((Leg(1.0),)).points(ORIGIN, step_mm=0.0), "give a step above 0", id="no step"),
        pytest.param(lambda: Course((Leg(1.0),)).points(ORIGIN, step_mm=-0.1), "give a step above 0", id="step back"),
        pytest.param(lambda: Course((Leg(1.0),)).points(ORIGIN, step_mm=math.nan), "above 0", id="step nan"),
        pytest.param(lambda: Course((Leg(1.0),)).points((0.0, math.nan, 0.0)), "start of a course", id="start nan"),
        pytest.param(lambda: Course((Leg(1.0),)).at(ORIGIN, np.array([0.5, np.nan])), "length along", id="depth nan"),
        pytest.param(lambda: Course((Leg(1.0),)).bends(np.array([np.inf])), "length along", id="bend at infinity"),
        pytest.param(lambda: Course((Leg(1.0),)).directions(np.array([np.nan])), "length along", id="direction nan"),
    ],
)
def test_what_cannot_be_a_course_is_refused_in_words(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()
