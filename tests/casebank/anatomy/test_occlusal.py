"""Which way round a crown lies on its map, and where its fine relief runs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy import Crown
from casebank.anatomy.occlusal import MapFrame, surface_lines
from casebank.radiograph.shapes import JAW

CROWN = Crown(7.5, 10.0, 11.0, 8.0, 10.0)
PLACES = st.floats(-20, 20)
ALL = [10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 9)]


# as in a chart of the mouth read from the front, worked by hand: where 2 mm distal and 3 mm buccal of the middle falls
@pytest.mark.parametrize(
    ("number", "expected", "left", "top"),
    [
        (16, (-2.0, -3.0), "distal", "buccal"),
        (26, (2.0, -3.0), "mesial", "buccal"),
        (36, (2.0, 3.0), "mesial", "lingual"),
        (46, (-2.0, 3.0), "distal", "lingual"),
    ],
)
def test_a_back_tooth_lies_as_in_a_chart_of_the_mouth(number, expected, left, top):
    frame = MapFrame(number, CROWN)
    assert frame.to_map(2.0, -3.0) == expected
    assert (frame.sides.left, frame.sides.top) == (left, top)


# where 2 mm distal, 6 mm above the neck falls
@pytest.mark.parametrize(
    ("number", "expected", "left", "top"),
    [
        (11, (-2.0, -6.0), "distal", "edge"),
        (23, (2.0, -6.0), "mesial", "edge"),
        (31, (2.0, 6.0), "mesial", "neck"),
        (43, (-2.0, 6.0), "distal", "neck"),
    ],
)
def test_a_front_tooth_shows_its_tongue_side_with_the_edge_where_the_cheek_side_would_be(number, expected, left, top):
    frame = MapFrame(number, CROWN)
    assert frame.seen_from == "the tongue's side"
    assert frame.to_map(2.0, 6.0) == expected
    assert (frame.sides.left, frame.sides.top) == (left, top)


R, A, S = np.eye(3)  # patient's axes: right, front, up
BACK = {1: (-A, -R, -S), 2: (-A, R, -S), 3: (-A, R, S), 4: (-A, -R, S)}  # distal, lingual, occlusal in them
FRONT = {1: (R, -A, -S), 2: (-R, -A, -S), 3: (-R, -A, S), 4: (R, -A, S)}


@pytest.mark.parametrize("number", ALL)
def test_no_map_is_a_mirror_image(number):
    # in the patient's own axes, right and up on the map must make a right-handed frame with the way to the eye
    frame = MapFrame(number, CROWN)
    tooth = np.stack((FRONT if number % 10 <= 3 else BACK)[number // 10], axis=1)
    right = tooth @ np.array([frame.x_right, 0.0, 0.0])
    up = tooth @ (-frame.along_down * frame.along)
    assert np.cross(right, up) == pytest.approx(tooth @ frame.toward_eye)


@given(st.sampled_from(ALL), PLACES, PLACES)
@settings(max_examples=50)
def test_to_the_map_and_back_is_where_it_was(number, x, along):
    frame = MapFrame(number, CROWN)
    assert frame.from_map(*frame.to_map(x, along)) == (x, along)


@given(st.floats(-40, 40), st.floats(-40, 40), PLACES, PLACES, PLACES)
@settings(max_examples=40)
def test_a_leaning_crown_is_turned_as_the_film_turns_it(toward_distal, toward_lingual, x, y, z):
    frame = MapFrame(36, Crown(7.5, 10.0, 11.0, 8.0, 10.0, toward_distal, toward_lingual))
    point = np.array([[x, y, z]])
    assert frame.to_tooth(point)[0] == pytest.approx(JAW.leaning(toward_distal, toward_lingual).to_jaw(point[0]))
    assert frame.to_crown(frame.to_tooth(point)) == pytest.approx(point)


def test_a_crown_that_leans_distally_has_its_top_distal_of_its_neck():
    frame = MapFrame(36, Crown(10.0, 10.0, 11.0, 8.0, 10.0, 30.0, 0.0))
    # sin 30 degrees of 10 mm
    assert frame.to_tooth(np.array([[0.0, 0.0, 10.0]]))[0] == pytest.approx([5.0, 0.0, 10 * math.cos(math.radians(30))])
    # and on the map, which looks along the crown, top and neck are one place
    assert frame.on_map(frame.to_tooth(np.array([[0.0, 0.0, 10.0]]))) == pytest.approx(np.zeros((1, 2)))


@pytest.mark.parametrize("place", range(1, 9))
@pytest.mark.parametrize("quadrant", [1, 4])
def test_every_kind_of_tooth_has_lines_and_they_stay_on_its_crown(quadrant, place):
    crown = Crown(8.0, 9.0, 10.0, 7.0, 8.0)
    lines = surface_lines(MapFrame(10 * quadrant + place, crown))
    assert lines.grooves or lines.fine
    assert lines.ridges
    low, high = (0.0, 8.0) if place <= 3 else (-5.0, 5.0)
    for line in (*lines.grooves, *lines.fine, *lines.ridges):
        assert np.abs(line[:, 0]).max() <= 4.5
        assert low <= line[:, 1].min() <= line[:, 1].max() <= high
    assert all(pit.depth_mm > 0 for pit in lines.hollows)
    if place > 3:  # the outline's limit reaches the greatest widths, and a little beyond them where its curve swings
        assert np.abs(lines.within).max(axis=0) == pytest.approx([4.5, 5.0], abs=0.12)


def test_lines_grow_with_the_crown():
    small, large = (surface_lines(MapFrame(46, Crown(7.5, size, 10.0, 9.0, 9.0))) for size in (10.0, 12.0))
    assert large.grooves[0][:, 0] == pytest.approx(1.2 * small.grooves[0][:, 0])
    assert large.grooves[0][:, 1] == pytest.approx(small.grooves[0][:, 1])


def test_what_is_no_tooth_or_no_place_is_refused():
    with pytest.raises(ValueError, match="19 is no permanent tooth"):
        MapFrame(19, CROWN)
    with pytest.raises(ValueError, match="x_mm is nan"):
        MapFrame(16, CROWN).to_map(math.nan, 0.0)
    with pytest.raises(ValueError, match="down_mm is inf"):
        MapFrame(16, CROWN).from_map(0.0, math.inf)
