"""Dentine round a canal: closed forms in a cylinder, published thickness in a lower molar, canals off their root."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Canal, Course, Leg, Root, Section, Station, around, facing_furcation
from casebank.anatomy.walls import require_inside
from tests.teeth import lower_molar

CYLINDER = Root("M", (-2.5, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 1.5), Station(1, 1.5)), flattening=2.0)
CONE = replace(CYLINDER, name="cone", stations=(Station(0, 1.8), Station(1, 0.3)))
EVEN = Section(0.4, 0.4)
CANAL = Canal("C", "M", 8.0, (-2.5, 0.0), Course((Leg(11.0),)), EVEN, EVEN, EVEN)
MOLAR = lower_molar().tooth


def level_index(canal, level_mm):
    return int(np.argmin(np.abs(canal.levels() - level_mm)))


@pytest.mark.parametrize(
    ("orifice", "furcation", "outer"),
    [
        # half width 1.5, half depth 3.0, lumen 0.2: centred 1.5 - 0.2
        pytest.param((-2.5, 0.0, 0.0), 1.3, 1.3, id="centred"),
        pytest.param((-2.0, 0.0, 0.0), 0.8, 1.8, id="half a millimetre towards the furcation"),
        # at 1.8 of 3.0 mm lingually the ellipse is 1.5 * sqrt(1 - 0.36) = 1.2 wide to each side
        pytest.param((-2.5, 1.8, 0.0), 1.0, 1.0, id="lingual in an oval root"),
        pytest.param((-2.5, -1.8, 0.0), 1.0, 1.0, id="buccal in an oval root"),
    ],
)
def test_walls_in_a_cylinder(orifice, furcation, outer):
    walls = around(CANAL, orifice, CYLINDER)
    assert walls.furcation_mm.shape == walls.outer_mm.shape == CANAL.levels().shape
    assert walls.furcation_mm == pytest.approx(np.full(111, furcation), abs=1e-9)
    assert walls.outer_mm == pytest.approx(np.full(111, outer), abs=1e-9)


def test_a_distal_root_faces_the_furcation_with_its_mesial_side():
    distal = replace(CYLINDER, start_mm=(2.5, 0.0, 0.0))
    assert facing_furcation(CYLINDER) == pytest.approx((1.0, 0.0, 0.0))
    assert facing_furcation(distal) == pytest.approx((-1.0, 0.0, 0.0))
    walls = around(CANAL, (2.0, 0.0, 0.0), distal)
    assert (walls.furcation_mm[0], walls.outer_mm[0]) == pytest.approx((0.8, 1.8))


# the roots of an upper molar, straight: half width 1.5 mesio-distally, half depth 1.5 * 2 = 3.0 bucco-lingually
PALATAL = replace(CYLINDER, name="P", start_mm=(0.3, 2.5, 0.0))
MESIOBUCCAL = replace(CYLINDER, name="MB", start_mm=(-2.4, -1.6, 0.0))
DISTOBUCCAL = replace(CYLINDER, name="DB", start_mm=(2.2, -2.2, 0.0))
THREE = (MESIOBUCCAL, DISTOBUCCAL, PALATAL)
OVAL = Section(0.4, 1.0)
PALATAL_CANAL = replace(CANAL, root="P", orifice_mm=(0.3, 2.5), orifice=OVAL, constriction=OVAL, foramen=OVAL)


@pytest.mark.parametrize(
    ("root", "roots", "side"),
    [
        pytest.param(PALATAL, THREE, (0.0, -1.0, 0.0), id="palatal, buccally"),
        # 4.1 mm off the palatal root bucco-lingually, but 4.6 mm off the distobuccal one mesio-distally
        pytest.param(MESIOBUCCAL, THREE, (1.0, 0.0, 0.0), id="mesiobuccal, distally"),
        pytest.param(DISTOBUCCAL, THREE, (-1.0, 0.0, 0.0), id="distobuccal, mesially"),
        pytest.param(PALATAL, (), (-1.0, 0.0, 0.0), id="alone and a little distal of the axis, mesially"),
        pytest.param(PALATAL, (PALATAL,), (-1.0, 0.0, 0.0), id="the only root of its tooth"),
        pytest.param(
            replace(CYLINDER, name="B", start_mm=(0.0, -2.0, 0.0)),
            (replace(CYLINDER, name="L", start_mm=(0.1, 2.0, 0.0)),),
            (0.0, 1.0, 0.0),
            id="the buccal one of a premolar, lingually",
        ),
        pytest.param(MOLAR.root("M"), MOLAR.roots, (1.0, 0.0, 0.0), id="mesial of a lower molar, distally"),
        pytest.param(MOLAR.root("D"), MOLAR.roots, (-1.0, 0.0, 0.0), id="distal of a lower molar, mesially"),
    ],
)
def test_a_root_faces_the_furcation_with_the_side_its_neighbours_are_on(root, roots, side):
    assert facing_furcation(root, roots) == pytest.approx(side)


@pytest.mark.parametrize(
    ("orifice", "furcation", "outer"),
    [
        # half depth 3.0, half the wide diameter 0.5: centred 3.0 - 0.5
        pytest.param((0.3, 2.5, 0.0), 2.5, 2.5, id="centred"),
        pytest.param((0.3, 1.5, 0.0), 1.5, 3.5, id="a millimetre towards the cheek"),
        # at 0.9 of 1.5 mm distally the ellipse is 3.0 * sqrt(1 - 0.36) = 2.4 deep to each side
        pytest.param((1.2, 2.5, 0.0), 1.9, 1.9, id="distal in an oval root"),
    ],
)
def test_the_walls_of_a_palatal_root_are_measured_bucco_lingually(orifice, furcation, outer):
    walls = around(PALATAL_CANAL, orifice, PALATAL, THREE)
    assert walls.furcation_mm == pytest.approx(np.full(111, furcation), abs=1e-9)
    assert walls.outer_mm == pytest.approx(np.full(111, outer), abs=1e-9)


def test_in_a_palatal_root_that_leans_walls_are_measured_square_to_the_root():
    # root and canal lean 20 degrees palatally; the canal lies 0.4 mm from the root's middle, square to it, cheekwards:
    # a round root of 1.5 leaves 1.5 - 0.4 - 0.2 on that side and 1.5 + 0.4 - 0.2 on the other
    lean = math.radians(20)
    course = Course((Leg(12.0),), lean_deg=20.0, lean_toward_deg=270.0)
    root = replace(PALATAL, course=course, flattening=1.0)
    canal = replace(CANAL, course=replace(course, legs=(Leg(10.0),)))
    walls = around(canal, (0.3, 2.5 - 0.4 * math.cos(lean), -0.4 * math.sin(lean)), root, THREE)
    assert walls.furcation_mm == pytest.approx(np.full(101, 0.9), abs=1e-3)
    assert walls.outer_mm == pytest.approx(np.full(101, 1.7), abs=1e-3)


def test_in_a_bent_root_walls_are_measured_square_to_the_root():
    # canal and root follow circles round one centre, radii 10 and 10.4: the canal keeps 0.4 mm inside the root's middle
    turn = math.radians(40)
    root = replace(CYLINDER, start_mm=(-10.4, 0.0, 0.0), course=Course((Leg(10.4 * turn, 10.4, 0.0),)))
    canal = replace(CANAL, course=Course((Leg(10 * turn, 10.0, 0.0),)))
    walls = around(canal, (-10.0, 0.0, 0.0), root)
    assert walls.furcation_mm == pytest.approx(np.full(walls.furcation_mm.size, 0.9), abs=1e-3)
    assert walls.outer_mm == pytest.approx(np.full(walls.outer_mm.size, 1.7), abs=1e-3)


@given(st.floats(-1.0, 1.0), st.floats(-0.5, 0.5), st.floats(0.0, 5.0), st.floats(0.0, 360.0))
def test_walls_and_canal_make_up_the_roots_width_at_their_level(x, y, lean, toward):
    canal = replace(CANAL, course=Course((Leg(8.0),), lean, toward), orifice=Section(0.8, 1.0))
    orifice = (-2.5 + x, y, 0.0)
    walls = around(canal, orifice, CONE)
    levels = canal.levels()
    centre = canal.course.at(orifice, levels)
    half = 1.8 - 1.5 * -centre[:, 2] / 12.0  # the cone's half width, straight down
    width = 2 * half * np.sqrt(np.clip(1 - (centre[:, 1] / (2 * half)) ** 2, 0, None))
    # the root's sections stand 0.1 mm apart, over which its half width changes by 0.0125 mm
    assert walls.furcation_mm + walls.outer_mm + canal.narrow_mm(levels) == pytest.approx(width, abs=0.04)


@given(st.floats(0.1, 0.5), st.floats(-0.5, 0.5), st.floats(0.0, 5.0), st.floats(0.0, 360.0))
def test_mirroring_tooth_and_canal_changes_no_wall(x, y, lean, toward):
    mirrored_root = replace(CONE, start_mm=(2.5, 0.0, 0.0))
    canal = replace(CANAL, course=Course((Leg(9.0),), lean, toward))
    mirrored = replace(CANAL, course=Course((Leg(9.0),), lean, 180.0 - toward))
    one, other = around(canal, (-2.5 + x, y, 0.0), CONE), around(mirrored, (2.5 - x, y, 0.0), mirrored_root)
    assert one.furcation_mm == pytest.approx(other.furcation_mm, abs=1e-9)
    assert one.outer_mm == pytest.approx(other.outer_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # De-Deus et al., Int Endod J 2019;52:1501-1507: mesial root of lower molars, dentine in the danger zone 1.13 mm
        # (0.67 to 1.93) at the mesiobuccal canal, 1.10 (0.77 to 1.89) at the mesiolingual
        pytest.param("MB", 0.67, 1.93),
        pytest.param("ML", 0.77, 1.89),
    ],
)
def test_mesial_canals_of_the_lower_molar_have_a_published_wall_in_the_whole_danger_zone(name, low, high):
    # the zone reaches 7 mm below the furcation, which lies 11.0 mm below the cusp, the orifice 8.4 or 8.5 mm
    canal = MOLAR.canal(name)
    wall_mm = around(canal, MOLAR.orifice_of(canal), MOLAR.root(canal.root)).furcation_mm
    top_mm = 11.0 - canal.cusp_to_orifice_mm
    zone = wall_mm[level_index(canal, top_mm) : level_index(canal, top_mm + 7.0) + 1]
    assert low <= zone.min()
    assert zone.max() <= high


@pytest.mark.parametrize("canal", MOLAR.canals, ids=lambda canal: canal.name)
def test_every_canal_of_the_lower_molar_lies_in_its_root(canal):
    require_inside(canal, MOLAR.orifice_of(canal), MOLAR.root(canal.root))
    walls = around(canal, MOLAR.orifice_of(canal), MOLAR.root(canal.root))
    above_the_last = canal.levels() < canal.length_mm - 1.0
    assert min(walls.furcation_mm[above_the_last].min(), walls.outer_mm[above_the_last].min()) > 0.1


# the canal's foramen at the tip of the cone, z -12.3: 12 mm of course and 0.3 of tip
TO_THE_TIP = replace(CANAL, root="cone", course=Course((Leg(12.3),)))


@pytest.mark.parametrize("length_mm", [12.0, 12.3, 12.6])
def test_a_canal_may_end_within_the_slack_of_the_roots_surface(length_mm):
    require_inside(replace(TO_THE_TIP, course=Course((Leg(length_mm),))), (-2.5, 0.0, 0.0), CONE)


@pytest.mark.parametrize(
    ("canal", "orifice", "sentence"),
    [
        pytest.param(
            replace(TO_THE_TIP, course=Course((Leg(13.0),))),
            (-2.5, 0.0, 0.0),
            r"canal C ends, 13\.0 mm below its orifice, 0\.7 mm outside root cone",
            id="0.7 mm beyond the apex",
        ),
        pytest.param(
            replace(TO_THE_TIP, course=Course((Leg(18.0),))),
            (-2.5, 0.0, 0.0),
            r"canal C leaves root cone 12\.0 mm below",  # 0.3 mm of dentine beyond the tip's centre less 0.2 of lumen
            id="far beyond the apex",
        ),
        pytest.param(
            replace(TO_THE_TIP, course=Course((Leg(10.0),))),
            (-2.5, 0.0, 0.0),
            r"canal C ends, 10\.0 mm below its orifice, 0\.6 mm inside root cone",  # half width 1.8 - 1.25
            id="short of the surface",
        ),
        pytest.param(
            # leans 10 degrees mesially: off the middle by x sin 10, the cone half 1.8 - 0.125 x cos 10 wide, so that a
            # wall of 0.1 beside 0.2 of lumen is reached at 1.5 / (0.1736 + 0.1231) = 5.1 mm; levels stand 0.25 mm apart
            replace(TO_THE_TIP, course=Course((Leg(12.0),), 10.0, 180.0)),
            (-2.5, 0.0, 0.0),
            r"canal C leaves root cone 5\.[0-5] mm below its orifice",
            id="through the mesial wall",
        ),
        pytest.param(
            TO_THE_TIP,
            (-2.5, 3.5, 0.0),
            r"canal C leaves root cone 0\.0 mm below its orifice",
            id="lingual of the root",
        ),
        pytest.param(
            # 0.4 mm wide mesio-distally but 3.5 mm bucco-lingually, in a root of 1.8 * 2 = 3.6 to 0.6 half depth
            replace(TO_THE_TIP, orifice=Section(0.4, 3.5), constriction=Section(0.4, 3.5), foramen=Section(0.4, 3.5)),
            (-2.5, 0.0, 0.0),
            r"canal C leaves root cone 7\.\d mm below",  # (3.6 - 0.25 x) - 1.75 < 0.1 beyond 7.0 mm
            id="a ribbon deeper than its root",
        ),
        pytest.param(TO_THE_TIP, (-2.5, math.nan, 0.0), "start of a course", id="orifice nan"),
    ],
)
def test_a_canal_off_its_root_is_refused_with_canal_root_and_level(canal, orifice, sentence):
    with pytest.raises(ValueError, match=sentence):
        require_inside(canal, orifice, CONE)


def test_walls_need_a_step_and_a_finite_orifice():
    with pytest.raises(ValueError, match="step above 0"):
        around(CANAL, (-2.5, 0.0, 0.0), CYLINDER, step_mm=0.0)
    with pytest.raises(ValueError, match="not finite"):
        around(CANAL, (math.inf, 0.0, 0.0), CYLINDER)
