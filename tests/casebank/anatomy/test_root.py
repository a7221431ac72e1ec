"""Roots: their widths, their tip, and what no root can be."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Course, Leg, Root, Station

CONE = Root(
    name="R",
    start_mm=(0.5, 1.0, 0.0),
    course=Course((Leg(12.0),)),
    stations=(Station(0, 2.0), Station(0.5, 1.6), Station(1, 0.5)),
    flattening=1.5,
)


def test_widths_stand_at_the_points_of_the_centre_line():
    # a quarter of the way between 2.0 and 1.6: 1.8; three quarters: between 1.6 and 0.5: 1.05
    assert CONE.radii_mm(5) == pytest.approx([2.0, 1.8, 1.6, 1.05, 0.5])
    line = CONE.centre_line(step_mm=3.0)
    assert line == pytest.approx(line[0] + [[0, 0, -depth] for depth in (0.0, 3.0, 6.0, 9.0, 12.0)])


def test_the_apex_lies_one_tip_radius_beyond_the_course():
    assert CONE.apex_mm == pytest.approx((0.5, 1.0, -12.5))


@given(st.floats(1.0, 60.0), st.floats(4.0, 20.0))
def test_a_bent_root_carries_its_apex_on_along_its_last_direction(turn, radius):
    bent = replace(CONE, course=Course((Leg(4.0), Leg(radius * math.radians(turn), radius, 0.0))))
    x, _, z = bent.apex_mm - bent.centre_line()[-1]
    assert (x, z) == pytest.approx((0.5 * math.sin(math.radians(turn)), -0.5 * math.cos(math.radians(turn))), abs=1e-9)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        pytest.param({"name": ""}, "needs a name", id="no name"),
        pytest.param({"stations": (Station(0, 2.0),)}, "root R: stations must rise", id="one station"),
        pytest.param({"stations": CONE.stations[::-1]}, "root R: stations must rise", id="tip first"),
        pytest.param({"stations": CONE.stations[1:]}, "root R: stations must rise", id="no neck"),
        pytest.param({"stations": CONE.stations[:2]}, "root R: stations must rise", id="no tip"),
        pytest.param({"stations": (*CONE.stations, Station(1, 0.4))}, "each once", id="two tips"),
        pytest.param({"flattening": 0.4}, "root R: a flattening", id="too flat"),
        pytest.param({"flattening": 4.1}, "root R: a flattening", id="too deep"),
        pytest.param(
            {"course": Course((Leg(4.0), Leg(4 * math.radians(81), 4.0)))}, "root R turns 81 degrees", id="sideways"
        ),
        pytest.param(
            {"course": Course((Leg(4 * math.radians(30), 4.0),), lean_deg=51.0)}, "root R turns 81", id="lean and bend"
        ),
    ],
)
def test_what_cannot_be_a_root_is_refused_in_words(change, sentence):
    with pytest.raises(ValueError, match=sentence):
        replace(CONE, **change)


@pytest.mark.parametrize(("share", "radius"), [(-0.1, 1.0), (1.1, 1.0), (0.5, 0.0), (0.5, -1.0)])
def test_a_station_off_the_root_or_without_width_is_refused(share, radius):
    with pytest.raises(ValueError, match="give a"):
        Station(share, radius)


def test_a_root_has_at_least_two_widths_to_ask_for():
    with pytest.raises(ValueError, match="2 widths or more"):
        CONE.radii_mm(1)
