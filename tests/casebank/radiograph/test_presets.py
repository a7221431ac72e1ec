"""Paralleling and bisecting, on exact projections, against the closed forms of a ray, a tooth and a receptor."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Placement
from casebank.radiograph import Receptor, aim, aim_at
from casebank.radiograph.presets import (
    LEAN_LOWER_DEG,
    LEAN_UPPER_DEG,
    bisecting,
    bisector_deg,
    image_over_true,
    paralleling,
    tooth_axis_lean_deg,
)
from casebank.radiograph.view import covers
from tests.teeth import lower_molar

QUADRANTS = pytest.mark.parametrize("number", [17, 27, 37, 47])


def upright(number=37):
    anatomy = replace(lower_molar(), placement=Placement(), prosthesis=None, neighbours=())
    return replace(anatomy, tooth=replace(anatomy.tooth, number=number))


def drawn_length(view, axis_deg):
    """Length of a short rod on the film, along an axis that leans lingually, magnification taken out."""
    half = 0.005
    lean = np.radians(axis_deg)
    rod = half * np.array([[0, np.sin(lean), np.cos(lean)], [0, -np.sin(lean), -np.cos(lean)]])
    projection = aim_at(np.zeros(3), 37, view, Receptor())
    top, bottom = projection.to_film_mm(rod)
    far, near = (np.linalg.norm(end - projection.source_mm) for end in (projection.centre_mm, np.zeros(3)))
    return np.linalg.norm(top - bottom) / (2 * half) / (far / near)


@pytest.mark.parametrize(
    ("between", "off", "ratio"),
    [
        # cos(theta/2 + off) / cos(theta/2 - off), off + towards square to the receptor
        pytest.param(30, 0, 1.0, id="by the rule: as long as it is"),
        pytest.param(30, -10, 1.0992, id="cos 5 / cos 25: too flat, too long"),
        pytest.param(30, 10, 0.9098, id="cos 25 / cos 5: too steep, too short"),
        pytest.param(40, -20, 1.3054, id="square to the tooth: 1 / cos 40"),
        pytest.param(40, 20, 0.7660, id="square to the receptor: cos 40"),
    ],
)
def test_the_bisecting_rule_and_its_two_errors(between, off, ratio):
    anatomy = upright()
    view = bisecting(anatomy, between_deg=between, off_deg=off)
    assert drawn_length(view, tooth_axis_lean_deg(anatomy)) == pytest.approx(ratio, abs=2e-4)
    assert image_over_true(between, off) == pytest.approx(ratio, abs=1e-4)


@given(st.floats(0, 45), st.floats(-15, 15))
def test_steeper_is_shorter_and_flatter_is_longer(between, off):
    shorter, longer = image_over_true(between, abs(off)), image_over_true(between, -abs(off))
    assert shorter <= 1 + 1e-9 <= longer + 2e-9


def test_paralleling_keeps_the_tooths_length_and_the_beam_square():
    anatomy = upright()
    view = paralleling(anatomy)
    assert view.incidence_deg == pytest.approx(0, abs=1e-4)  # an arc cosine near 1
    assert drawn_length(view, tooth_axis_lean_deg(anatomy)) == pytest.approx(1.0, abs=1e-4)


@QUADRANTS
@pytest.mark.parametrize("preset", [paralleling, bisecting])
@pytest.mark.parametrize("horizontal", [-20, 0, 20])
def test_both_ways_show_every_root_end_in_every_quadrant(number, preset, horizontal):
    anatomy = upright(number)
    view = preset(anatomy, horizontal)
    assert covers(anatomy, view, Receptor()) == ("M", "D")
    assert view.horizontal_deg == horizontal


@QUADRANTS
@pytest.mark.parametrize("preset", [paralleling, bisecting])
def test_a_mesial_marker_falls_on_the_side_of_the_midline(number, preset):
    # seen from the front, the patient's left lies at the picture's right: mesial is left in quadrants 2 and 3
    anatomy = upright(number)
    marker, root_end = np.array([[-4.0, 0.0, 3.0]]), np.array([[0.0, 0.0, -12.0]])
    projection = aim(preset(anatomy), Receptor(), anatomy)
    middle = projection.to_film_mm(np.array([[0.0, 0.0, 3.0]]))[0]
    assert np.sign((projection.to_film_mm(marker)[0] - middle)[0]) == (-1 if number in (27, 37) else 1)
    assert np.sign((projection.to_film_mm(root_end)[0] - middle)[1]) == (1 if number in (37, 47) else -1)


def test_the_usual_angle_is_greatest_before_the_palate_and_least_at_lower_molars():
    # order of the vertical angles in a military dental manual: canine and incisor above premolar above molar
    for lean in (LEAN_UPPER_DEG, LEAN_LOWER_DEG):
        assert min(lean[1], lean[2], lean[3]) > max(lean[4], lean[5]) > max(lean[6], lean[7], lean[8])
    assert all(LEAN_UPPER_DEG[place] > LEAN_LOWER_DEG[place] for place in LEAN_UPPER_DEG)


def test_the_bisector_lies_half_way():
    assert bisector_deg(10, -30) == -10


def test_an_angle_between_tooth_and_receptor_out_of_range_is_refused():
    with pytest.raises(ValueError, match="give 0 to 45"):
        bisecting(upright(), between_deg=50)
