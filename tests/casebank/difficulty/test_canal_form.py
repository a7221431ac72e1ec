"""Unusual canals, recognised from their description."""

import math
from dataclasses import replace

import pytest

from casebank.anatomy import Canal, Chamber, Course, Crown, Leg, Narrowing, Root, Section, Station, Tooth
from casebank.difficulty import canal_form
from tests.teeth import lower_molar


def bend(turn_deg, toward_deg, radius_mm=8.0):
    return Leg(radius_mm * math.radians(turn_deg), radius_mm, toward_deg)


@pytest.mark.parametrize(
    ("bends", "s_shaped"),
    [
        pytest.param([(24, 0), (36, 180)], True, id="two opposite bends"),
        pytest.param([(10, 0), (10, 180)], True, id="exactly ten degrees each"),
        pytest.param([(9.9, 0), (36, 180)], False, id="the upper bend is too slight"),
        pytest.param([(36, 0), (9.9, 180)], False, id="the lower bend is too slight"),
        pytest.param([(20, 0), (20, 0)], False, id="both the same way"),
        pytest.param([(6, 0), (6, 0), (15, 180)], True, id="two arcs one way count as one bend"),
        pytest.param([(20, 0), (5, 180), (20, 0)], False, id="only a slight bend turns back"),
        pytest.param([(20, 90), (20, 270)], True, id="towards cheek and tongue"),
        # 8 degrees each at a right angle make one bend of 11.3 towards 45
        pytest.param([(8, 0), (8, 90), (12, 225)], True, id="two arcs at a right angle count as one bend"),
        pytest.param([(8, 90), (8, 180), (12, 315)], True, id="two arcs at another right angle count as one bend"),
        pytest.param([(20, 0), (20, 90)], False, id="at a right angle is no turning back"),
        pytest.param([(20, 90), (20, 180)], False, id="at another right angle neither"),
    ],
)
def test_an_s_takes_two_opposite_bends_of_ten_degrees(bends, s_shaped):
    legs = (Leg(3.0), *(bend(turn, toward) for turn, toward in bends), Leg(1.0))
    assert canal_form.is_s_shaped(Course(legs)) is s_shaped


def forked_premolar(trunk_mm, branch_mm):
    """A lower premolar whose canal of 12.5 mm sends a branch to the lingual after a common trunk."""
    root = Root("R", (0, 0, 0), Course((Leg(13.0),)), (Station(0, 2.0), Station(1, 0.3)), flattening=1.6)
    common = {
        "root": "R",
        "cusp_to_orifice_mm": 8.8,
        "orifice_mm": (0.0, 0.0),
        "orifice": Section(0.6, 0.9),
        "constriction": Section(0.2, 0.24),
        "foramen": Section(0.36, 0.36),
    }
    buccal = Canal(name="B", course=Course((Leg(12.5),)), **common)
    lingual = Canal(name="L", course=Course((Leg(trunk_mm), Leg(branch_mm, 8.0, 270.0))), **common)
    return Tooth(34, Crown(8.6, 7.0, 8.0, 5.0, 7.0), Chamber(5.6, 8.8, 2.0, 3.0), (root,), (buccal, lingual))


@pytest.mark.parametrize(
    ("trunk_mm", "branch_mm", "third"),
    [
        # the centre lines lie 0.1 mm apart sqrt(2 * 8 * 0.1) = 1.26 mm below the trunk: 3.3, 7.3 and 9.3 of 12.5 mm
        (2.0, 5.0, "coronal third"),
        (6.0, 3.5, "middle third"),
        (8.0, 3.0, "apical third"),
    ],
)
def test_a_canal_divides_where_its_branches_part(trunk_mm, branch_mm, third):
    assert canal_form.division(forked_premolar(trunk_mm, branch_mm)) == (third, "B and L")


def test_a_single_canal_and_canals_of_their_own_orifices_do_not_divide():
    forked = forked_premolar(6.0, 3.5)
    assert canal_form.division(replace(forked, canals=forked.canals[:1]))[0] == "none"
    assert canal_form.division(lower_molar().tooth)[0] == "none"


def test_canals_of_two_roots_do_not_divide_even_from_one_orifice():
    forked = forked_premolar(6.0, 3.5)
    second = replace(forked.roots[0], name="R2")
    canals = (forked.canals[0], replace(forked.canals[1], root="R2"))
    assert canal_form.division(replace(forked, roots=(*forked.roots, second), canals=canals))[0] == "none"


@pytest.mark.parametrize(
    ("number", "roots", "words"),
    [
        (31, 2, "two or more in a lower front tooth or premolar"),
        (43, 2, "two or more in a lower front tooth or premolar"),
        (45, 3, "two or more in a lower front tooth or premolar"),
        (36, 2, "as usual"),
        (14, 2, "as usual"),
        (14, 3, "three or more in an upper premolar"),
        (11, 2, "as usual"),  # the criteria single out lower front teeth only
        (16, 3, "as usual"),
    ],
)
def test_unusual_numbers_of_roots(number, roots, words):
    tooth = lower_molar().tooth
    extra = tuple(replace(tooth.roots[1], name=f"extra {k}") for k in range(roots - 2))
    assert canal_form.root_number(replace(tooth, number=number, roots=(*tooth.roots, *extra))) == words


@pytest.mark.parametrize(
    ("roof_mm", "narrowings", "seen"),
    [
        # floor at 8.3 mm, neck at 7.0 mm; the canals' own width in their coronal third is 0.40 mm
        pytest.param(6.6, (), "open", id="1.7 mm high"),
        pytest.param(6.7, (), "narrowed", id="1.6 mm high"),
        pytest.param(7.0, (), "unclear", id="roof sunk to the neck"),
        pytest.param(6.2, (Narrowing(0.83, 0.16),), "narrowed", id="a tight place near the orifice"),
        pytest.param(6.2, (Narrowing(0.83, 0.17),), "open", id="just wide enough"),
        pytest.param(6.2, (Narrowing(0.83, 0.07),), "unclear", id="too tight to be followed"),
        pytest.param(6.2, (Narrowing(8.0, 0.07, 1.0),), "open", id="a tight place below the coronal third"),
    ],
)
def test_what_shows_of_chamber_and_canals(roof_mm, narrowings, seen):
    tooth = lower_molar().tooth
    canals = (replace(tooth.canals[0], narrowings=narrowings), *tooth.canals[1:])
    assert canal_form.sight(replace(tooth, chamber=replace(tooth.chamber, roof_mm=roof_mm), canals=canals)) == seen
