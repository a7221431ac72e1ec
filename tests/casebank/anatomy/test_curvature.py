"""Curvature against closed forms and the constructions' own papers, on canals built as courses.

secant: Schneider, Oral Surg 1971;32:271. tangent, radius: Pruett et al., J Endod 1997;23:77. access: Gunday et al.,
J Endod 2005;31:796. With L the coronal leg, R and a the arc, La the apical leg, and the foramen at
x = R (1 - cos a) + La sin a, depth = L + R sin a + La cos a:
secant = atan(x / (depth - L)), tangent = a, access = atan(x / depth).
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from casebank.anatomy import (
    Course,
    Leg,
    circumradius_mm,
    measure,
    radius_from_chord_mm,
    summed_turning_deg,
    true_secant_deg,
)
from tests.casebank.anatomy.ideal import BEARINGS, ORIGIN, ideal_course, joints_mm, through_joints

IDEAL_CANALS = pytest.mark.parametrize(
    ("leg", "radius", "turn", "apical", "secant", "access"),
    [
        pytest.param(8, 10, 30, 0, 15.0000, 5.8840, id="11, 12, 14: moderate arc"),
        pytest.param(10, 5, 60, 0, 30.0000, 9.8961, id="15, 16, 18: same arc length, twice the angle"),
        pytest.param(8, 10, 30, 4, 21.5331, 11.4669, id="23, 24, 26: a straight apical leg raises the secant"),
    ],
)
ARCS = (st.floats(3.0, 12.0), st.floats(3.0, 40.0), st.floats(2.0, 80.0), st.floats(0.0, 6.0))
READINGS = ("secant_deg", "tangent_deg", "access_deg", "radius_mm")


@IDEAL_CANALS
@pytest.mark.parametrize("toward_deg", [0.0, 90.0, 217.0])
def test_an_ideal_canal_reads_as_its_closed_form_whichever_way_it_bends(
    leg, radius, turn, apical, secant, access, toward_deg
):
    canal = through_joints(ideal_course(leg, radius, turn, apical, toward_deg))
    reading = measure(canal)
    assert reading.secant_deg == pytest.approx(secant, abs=0.01)
    assert reading.access_deg == pytest.approx(access, abs=0.01)
    # the last piece of an arc of n chords points a / (2n) short of the end tangent: 0.3 degrees at most here
    assert reading.tangent_deg == pytest.approx(turn, abs=0.5)
    assert reading.radius_mm == pytest.approx(radius, rel=0.01)


@IDEAL_CANALS
def test_an_evenly_drawn_canal_reads_the_same_within_half_a_degree(leg, radius, turn, apical, secant, access):
    reading = measure(ideal_course(leg, radius, turn, apical).points(ORIGIN, step_mm=0.05))
    assert reading.secant_deg == pytest.approx(secant, abs=0.5)
    assert reading.tangent_deg == pytest.approx(turn, abs=0.5)
    assert reading.access_deg == pytest.approx(access, abs=0.01)


@IDEAL_CANALS
def test_a_film_of_the_plane_of_the_bend_reads_what_space_reads(leg, radius, turn, apical, secant, access):
    seen = through_joints(ideal_course(leg, radius, turn, apical))[:, [0, 2]]
    reading = measure(seen)
    assert (reading.secant_deg, reading.access_deg) == pytest.approx((secant, access), abs=0.01)


@given(*ARCS)
def test_the_secant_lies_between_half_the_tangent_angle_and_all_of_it(leg, radius, turn, apical):
    # chord and tangent of a circle differ by half the turn; a straight end draws the secant towards the tangent
    reading = measure(through_joints(ideal_course(leg, radius, turn, apical if apical > 0.1 else 0.0)))
    short_deg = turn / 200  # the last of 100 chords
    assert turn / 2 - 0.01 <= reading.secant_deg < turn
    assert turn - short_deg - 1e-6 <= reading.tangent_deg <= turn + 1e-6
    assert reading.access_deg <= reading.secant_deg + 1e-9


@given(*ARCS, BEARINGS)
def test_mirroring_the_tooth_changes_no_reading(leg, radius, turn, apical, toward):
    assume(turn * math.radians(1) * radius > 0.2)
    canal = ideal_course(leg, radius, turn, apical if apical > 0.1 else 0.0, toward).points(ORIGIN)
    one, other = measure(canal), measure(canal * [-1, 1, 1])
    for name in READINGS:
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-9)
    assert summed_turning_deg(canal) == pytest.approx(summed_turning_deg(canal * [1, -1, 1]), abs=1e-9)


@given(st.floats(3.0, 15.0), st.floats(0.0, 40.0), BEARINGS)
def test_a_straight_canal_reads_zero_however_it_leans(length, lean, toward):
    reading = measure(Course((Leg(length),), lean, toward).points((1.0, -2.0, 3.0)))
    assert (reading.secant_deg, reading.tangent_deg, reading.access_deg) == pytest.approx((0, 0, 0), abs=1e-5)
    assert reading.radius_mm == math.inf


def test_a_bend_seen_off_its_plane_reads_too_small():
    # check value 36: tan(seen) = tan(true) cos(off) ; tan 30 * cos 60 = 0.288675, atan 16.10. The bend goes 60 degrees
    # to the buccal of distal, the film shows the distal-occlusal plane.
    canal = through_joints(ideal_course(8.0, 10.0, 60.0, toward_deg=60.0))
    assert measure(canal).secant_deg == pytest.approx(30.0, abs=0.01)
    assert measure(canal[:, [0, 2]]).secant_deg == pytest.approx(16.10, abs=0.01)


def test_two_views_at_right_angles_give_the_true_secant():
    # check value 37: tan^2 = tan^2 15 + tan^2 20 = 0.071797 + 0.132474; sqrt 0.451964; atan 24.32
    assert true_secant_deg(15.0, 20.0) == pytest.approx(24.32, abs=0.01)
    assert true_secant_deg(0.0, 30.0) == pytest.approx(30.0)


@given(*ARCS, BEARINGS)
def test_two_perpendicular_films_join_to_what_space_reads(leg, radius, turn, apical, toward):
    # turned at least 3 degrees out of either film's depth, else the bend leaves the axis on that film a chord too late
    assume(min(abs(math.sin(math.radians(toward))), abs(math.cos(math.radians(toward)))) > 0.05)
    canal = through_joints(ideal_course(leg, radius, turn, apical if apical > 0.1 else 0.0, toward))
    seen = [measure(canal[:, axes], departure_mm=1e-9).secant_deg for axes in ([0, 2], [1, 2])]
    joined = true_secant_deg(*seen)
    assert joined == pytest.approx(measure(canal, departure_mm=1e-9).secant_deg, abs=1e-4)


def test_radius_from_a_chord_and_its_turn():
    # check value 28: r = chord / (2 sin(a/2)) = 5.1764 / (2 * 0.258819)
    assert radius_from_chord_mm(5.1764, 30.0) == pytest.approx(10.0, abs=0.001)
    assert radius_from_chord_mm(5.0, 0.0) == math.inf


def test_three_points_of_an_arc_give_its_radius():
    # check value 30; the construction of Estrela et al., Braz Dent J 2008;19:114
    arc = Course((Leg(8 * math.radians(50), 8.0, 130.0),), lean_deg=10.0)
    start, middle, end = arc.at(ORIGIN, arc.length_mm * np.array([0.0, 0.5, 1.0]))
    assert circumradius_mm(start, middle, end) == pytest.approx(8.0, abs=0.01)
    assert circumradius_mm(end, start, middle) == pytest.approx(8.0, abs=0.01)


def test_three_points_on_a_line_give_no_circle():
    straight = Course((Leg(9.0),), lean_deg=17.0, lean_toward_deg=33.0).at(ORIGIN, np.array([0.0, 2.0, 9.0]))
    assert circumradius_mm(*straight) == math.inf


@pytest.mark.parametrize(
    ("chords", "coronal", "apical", "turning"),
    [
        # n equal chords of an arc turn a (n - 1) / n; each leg along the end tangent adds a / (2n)
        pytest.param(10, False, False, 27.00, id="31: 30 * 9/10"),
        pytest.param(10, True, False, 28.50, id="32: + 30/20"),
        pytest.param(20, False, False, 28.50, id="33: 30 * 19/20"),
        pytest.param(20, True, False, 29.25, id="34: + 30/40"),
        pytest.param(20, True, True, 30.00, id="35: both legs"),
        pytest.param(10, True, True, 30.00, id="35: both legs, coarser"),
    ],
)
def test_summed_turning_of_an_arc_in_chords(chords, coronal, apical, turning):
    course = ideal_course(8.0, 10.0, 30.0, 4.0)
    top, begin, end, foramen = joints_mm(course)
    depths = np.linspace(begin, end, chords + 1)
    depths = np.r_[[top] * coronal, depths, [foramen] * apical]
    assert summed_turning_deg(course.at(ORIGIN, depths)) == pytest.approx(turning, abs=1e-6)


def test_only_summed_turning_shows_both_bends_of_an_s():
    # 24 degrees one way, 36 back: 60 in all, 12 between the ends. Straight legs round each arc make the sum exact.
    there, back = Leg(9 * math.radians(24), 9.0, 0.0), Leg(8 * math.radians(36), 8.0, 180.0)
    canal = through_joints(Course((Leg(3.0), there, Leg(1.5), back, Leg(1.0))))
    assert summed_turning_deg(canal) == pytest.approx(60.0, abs=1e-6)
    assert measure(canal).tangent_deg == pytest.approx(12.0, abs=1e-6)


STRAIGHT = np.c_[np.zeros(5), np.linspace(0, 8, 5)]


@pytest.mark.parametrize("read", [measure, summed_turning_deg])
@pytest.mark.parametrize(
    "canal",
    [
        pytest.param(np.zeros((2, 2)), id="two points"),
        pytest.param(np.zeros((3, 2)), id="points that coincide"),
        pytest.param(np.zeros((3, 4)), id="four dimensions"),
        pytest.param(np.where(np.arange(10).reshape(5, 2) == 4, np.nan, STRAIGHT), id="one nan"),
        pytest.param(np.where(np.arange(10).reshape(5, 2) == 9, np.inf, STRAIGHT), id="infinite foramen"),
    ],
)
def test_a_broken_polyline_is_refused_in_words(read, canal):
    with pytest.raises(ValueError, match="canal"):
        read(canal)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: measure(STRAIGHT, coronal_mm=math.nan), "coronal_mm is nan", id="coronal part nan"),
        pytest.param(lambda: measure(STRAIGHT, departure_mm=math.inf), "departure_mm is inf", id="departure inf"),
        pytest.param(lambda: measure(STRAIGHT, coronal_mm=0.0), "coronal length above 0", id="no coronal part"),
        pytest.param(lambda: measure(STRAIGHT, departure_mm=-0.1), "departure of 0 mm or more", id="departure < 0"),
        pytest.param(lambda: measure(STRAIGHT / 4), "nothing below the 2 mm", id="canal as short as its coronal part"),
        pytest.param(
            lambda: measure(np.array([[0.0, 0], [0, 4], [3, 4], [0, 0]])), "back to the same point", id="loop"
        ),
        pytest.param(lambda: radius_from_chord_mm(-1.0, 30.0), "cannot be", id="negative chord"),
        pytest.param(lambda: radius_from_chord_mm(1.0, 181.0), "cannot be", id="more than a half turn"),
        pytest.param(lambda: radius_from_chord_mm(math.nan, 30.0), "chord_mm is nan", id="chord nan"),
        pytest.param(lambda: circumradius_mm(*np.zeros((3, 2))), "coincide", id="one point three times"),
        pytest.param(lambda: circumradius_mm(*STRAIGHT[[0, 1, 0]]), "coincide", id="first and third the same"),
        pytest.param(lambda: circumradius_mm(*np.full((3, 3), np.nan)), "not finite", id="points nan"),
        pytest.param(lambda: true_secant_deg(math.nan, 20.0), "first_deg is nan", id="reading nan"),
        pytest.param(lambda: true_secant_deg(15.0, 90.0), "cannot be joined", id="reading of a right angle"),
        pytest.param(lambda: true_secant_deg(-1.0, 20.0), "cannot be joined", id="negative reading"),
    ],
)
def test_what_cannot_be_measured_is_refused_in_words(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()
