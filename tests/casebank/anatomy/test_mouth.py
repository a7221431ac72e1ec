"""Where the tooth stands, and what is round it."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Bone, Lesion, Neighbour, Placement, Prosthesis, Support
from tests.teeth import lower_molar

APEX, CUSP, MESIAL = np.array([[0.0, 0.0, -10.0]]), np.array([[0.0, 0.0, 10.0]]), np.array([[-5.0, 0.0, 0.0]])
ANGLES = st.floats(-60.0, 60.0)


def test_a_mesial_tilt_takes_the_cusp_mesially_and_the_apex_distally():
    # 10 mm at 30 degrees: 5 mm aside; x is distal
    tilted = Placement(tilt_deg=30.0)
    assert tilted.to_jaw(CUSP)[0] == pytest.approx((-5.0, 0.0, 8.6603), abs=1e-4)
    assert tilted.to_jaw(APEX)[0] == pytest.approx((5.0, 0.0, -8.6603), abs=1e-4)


def test_a_rotation_takes_the_mesial_side_buccally():
    # 5 mm at 30 degrees: 2.5 mm to the buccal, which is -y; height stays
    assert Placement(rotation_deg=30.0).to_jaw(MESIAL)[0] == pytest.approx((-4.3301, -2.5, 0.0), abs=1e-4)


def test_a_tooth_turns_about_its_own_axis_before_it_tilts():
    # the mesial side first goes to the buccal, where a mesial tilt leaves it at its height
    placed = Placement(tilt_deg=30.0, rotation_deg=90.0)
    assert placed.to_jaw(MESIAL)[0] == pytest.approx((0.0, -5.0, 0.0), abs=1e-9)


@given(ANGLES, ANGLES)
def test_placing_a_tooth_changes_no_distance_and_no_handedness(tilt, rotation):
    axes = Placement(tilt, rotation).to_jaw(np.eye(3))
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-9)
    assert np.linalg.det(axes) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: Placement(tilt_deg=61.0), "outside what can be drawn", id="lying tooth"),
        pytest.param(lambda: Placement(rotation_deg=-91.0), "outside what can be drawn", id="back to front"),
        pytest.param(lambda: Placement().to_jaw(np.array([[0.0, np.nan, 0.0]])), "point of a tooth", id="point nan"),
        pytest.param(lambda: Support(ligament_mm=0.0), "thickness above 0", id="no ligament"),
        pytest.param(lambda: Support(lamina_mm=-0.1), "thickness above 0", id="negative lamina"),
        pytest.param(lambda: Bone(seed=-1), "seed of 0 or more", id="negative seed"),
        pytest.param(lambda: Bone(contrast=1.1), "contrast from 0 to 1", id="too much contrast"),
        pytest.param(lambda: Lesion("M", 0.0, 4.0, 5.0), "root M", id="lesion without width"),
        pytest.param(lambda: Lesion("M", 4.0, 4.0, -5.0), "root M", id="lesion of negative height"),
        pytest.param(lambda: Lesion("M", 4.0, 4.0, 5.0, seed=-1), "seed is 0 or more", id="lesion's seed"),
        pytest.param(lambda: Neighbour(39, 9.0), "39 is no permanent tooth", id="unknown neighbour"),
        pytest.param(lambda: Prosthesis("bridge", "metal", spans=(35, 360)), "360 is no permanent", id="unknown span"),
    ],
)
def test_what_cannot_stand_round_a_tooth_is_refused_in_words(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()


def test_a_lesion_on_a_root_the_tooth_does_not_have_is_refused():
    anatomy = lower_molar()
    with pytest.raises(ValueError, match=r"names root P.*\['M', 'D'\]"):
        replace(anatomy, lesions=(Lesion("P", 4.0, 4.0, math.pi),))
