"""What a plan may be: outlines that can be worked with, axes, depths and marks; everything else is refused in words."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Crown
from casebank.anatomy.access import judge_access
from casebank.anatomy.access_plan import AccessPlan, BurAxis, along_crown, along_root
from casebank.anatomy.access_polygon import area_mm2, checked_outline, within_mm
from casebank.anatomy.occlusal import map_frame
from tests.casebank.anatomy.access_boxes import box, box_tooth, rectangle

SQUARE = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))


@pytest.mark.parametrize(
    ("outline", "said"),
    [
        (((0, 0), (1, 0)), "give 3 at least"),
        (((0, 0), (1, 0), (1, 0), (0, 0)), "2 different points: give 3 at least"),
        (((0, 0), (2, 2), (2, 0), (0, 2)), "crosses itself between points 1 and 2 and points 3 and 4"),
        (((0, 0), (4, 0), (2, 0), (2, 2)), "crosses itself"),  # a side that runs back along another
        (((0, 0), (2, 0), (1, 1), (2, 2), (0, 2), (1, 1)), "crosses itself"),  # a point met twice
        (((0, 0), (1, 0), (math.nan, 1)), "point 3 of the outline is not finite"),
        (((0, 0), (math.inf, 0), (1, 1)), "point 2 of the outline is not finite"),
        (((0, 0), (2, 0), (1, 1e-3)), "next to nothing"),
        (((0, 0), (1, 1), (2, 2)), "crosses itself|next to nothing"),
        (tuple((math.cos(n / 50), math.sin(n / 50)) for n in range(201)), "201 points: draw it with 200 at most"),
        ((1.0, 2.0, 3.0), "two numbers, right and down"),
        (((0, 0, 0), (1, 0, 0), (1, 1, 0)), "two numbers, right and down"),
        ((("a", "b"), (1, 0), (1, 1)), "two numbers, right and down"),
        (((0, 0), (1,), (1, 1)), "two numbers, right and down"),
    ],
)
def test_an_outline_nobody_could_cut_is_refused(outline, said):
    with pytest.raises(ValueError, match=said):
        AccessPlan(outline, 5.0)


@pytest.mark.parametrize("depth", [0, -1, 16.1, math.nan, math.inf])
def test_a_depth_out_of_range_is_refused(depth):
    with pytest.raises(ValueError, match="depth"):
        AccessPlan(SQUARE, depth)


@pytest.mark.parametrize("flare", [-1, 21, math.nan])
def test_a_flare_no_bur_has_is_refused(flare):
    with pytest.raises(ValueError, match=r"close in|flare"):
        AccessPlan(SQUARE, 5.0, flare_deg=flare)


@pytest.mark.parametrize("marks", [((math.nan, 0.0),), ((0.0, math.inf),), ((0.0,),), ((0.0, 0.0),) * 13])
def test_marks_that_are_no_places_are_refused(marks):
    with pytest.raises(ValueError, match=r"mark"):
        AccessPlan(SQUARE, 5.0, marks=marks)


@pytest.mark.parametrize(("distal", "lingual"), [(46, 0), (0, -46), (math.nan, 0), (0, math.inf)])
def test_an_axis_that_does_not_cut_into_the_crown_is_refused(distal, lingual):
    with pytest.raises(ValueError, match="axis"):
        BurAxis(distal, lingual)


def test_an_outline_off_the_crown_is_refused_with_the_point_that_lies_off():
    with pytest.raises(
        ValueError, match=r"point 2 of the outline, 5\.0 mm right and -1\.0 mm down, lies off the crown"
    ):
        judge_access(box(), rectangle(2.0, -1.0, 5.0, 1.0, 5.0))


def test_a_bur_along_the_roots_undoes_what_the_crown_leans():
    # out of the tooth along the roots is the frame's own z, whatever the crown does
    tooth = box_tooth()
    for lean in ((0.0, 0.0), (20.0, 0.0), (-12.0, 8.0), (24.0, 4.0)):
        crown = Crown(7.5, 9.0, 9.0, 9.0, 9.0, *lean)
        leant = type(tooth)(36, crown, tooth.chamber, tooth.roots, tooth.canals)
        assert along_root(leant).out_of(leant) == pytest.approx([0, 0, 1], abs=1e-9)
        assert along_crown().out_of(leant) == pytest.approx(map_frame(leant).axes[:, 2])


@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=1, max_size=20))
def test_how_far_within_a_square_is_its_closed_form(points):
    # within a square of half width 2: 2 - max(|x|, |y|) inside; outside the length of what lies beyond
    square = np.array([[-2.0, -2.0], [2.0, -2.0], [2.0, 2.0], [-2.0, 2.0]])
    places = np.array(points)
    beyond = np.maximum(np.abs(places) - 2, 0)
    inside = 2 - np.abs(places).max(axis=1)
    by_hand = np.where(inside > 0, inside, -np.hypot(*beyond.T))
    assert within_mm(places, square) == pytest.approx(by_hand, abs=1e-9)


def test_area_is_that_of_the_shoelace():
    assert area_mm2(np.array([[0.0, 0.0], [4.0, 0.0], [0.0, 3.0]])) == 6.0  # a right triangle: half of 4 × 3
    assert len(checked_outline([*SQUARE, SQUARE[0]])) == 4  # a closing point that repeats the first is dropped
