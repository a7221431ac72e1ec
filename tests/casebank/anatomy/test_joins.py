"""Where canals run as one, read from their courses, and the code of a tooth."""

from dataclasses import replace

import pytest

from casebank.anatomy import Canal, Course, Leg, Root, Section, Station, Tooth
from casebank.anatomy.joins import joins, notation, path_of
from tests.teeth import lower_molar

MOLAR = lower_molar().tooth


def canal(name, *, legs, lean_deg=0.0, toward_deg=0.0, y_mm=0.0):
    wide = Section(0.2, 0.2)
    return Canal(name, "R", 7.0, (0.0, y_mm), Course(legs, lean_deg, toward_deg), wide, wide, Section(0.4, 0.4))


def single(*canals):
    # a straight round root of 12 mm from the neck, its tip centre 12 mm down and its apex 12.5 mm down
    root = Root("R", (0.0, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 3.0), Station(1, 0.5)))
    return Tooth(41, MOLAR.crown, replace(MOLAR.chamber, roof_mm=5.0, floor_mm=6.5), (root,), canals)


STRAIGHT = canal("C", legs=(Leg(12.5),))


def test_two_canals_that_never_meet_share_nothing():
    assert joins(MOLAR) == ()
    assert path_of(MOLAR, "M") == (2,)
    assert path_of(MOLAR, "D") == (1,)


def test_a_shared_beginning_is_measured_along_each_canal():
    # the second canal leaves the first after 6 mm on radius 20 lingually: off by t^2 / 40, so by 0.05 mm after
    # sqrt(0.05 * 40) = 1.414 mm
    parted = canal("L", legs=(Leg(6.0), Leg(2.0, 20.0, 270.0), Leg(4.2)))
    (join,) = joins(single(STRAIGHT, parted))
    assert (join.first, join.second, join.from_orifice, join.to_foramen) == ("C", "L", True, False)
    assert join.first_mm == pytest.approx((0.0, 7.41), abs=0.11)
    assert join.second_mm == pytest.approx((0.0, 7.41), abs=0.11)
    assert path_of(single(STRAIGHT, parted), "R") == (1, 2)


def test_canals_that_meet_end_in_one_foramen():
    # from 1.0 mm lingually, leaning 8 degrees back for 1 / sin 8 = 7.185 mm less what the arc takes, then straight:
    # an arc of radius 20 takes 20 * tan 4 = 1.3985 mm from each leg and is 20 * 8 deg = 2.7925 mm long; the straight
    # leg makes up the 12.5 mm of depth: 12.5 - (7.185 * cos 8 + 1.3985) = 3.986
    meeting = canal(
        "L", y_mm=1.0, lean_deg=8.0, toward_deg=90.0, legs=(Leg(5.7868), Leg(2.7925, 20.0, 270.0), Leg(3.986))
    )
    tooth = single(STRAIGHT, meeting)
    (join,) = joins(tooth)
    assert (join.from_orifice, join.to_foramen) == (False, True)
    assert join.first_mm[1] == pytest.approx(12.5)
    # within 0.05 mm from sqrt(2 * 20 * 0.05) = 1.414 mm above the arc's end, which lies 3.986 mm above the foramen
    assert join.first_mm[0] == pytest.approx(12.5 - 3.986 - 1.414, abs=0.11)
    assert path_of(tooth, "R") == (2, 1)


def test_canals_of_different_roots_are_not_compared():
    # the distal canal is moved into a root of its own that lies where the mesial one does
    twin = replace(MOLAR.roots[0], name="D")
    tooth = replace(
        MOLAR, roots=(MOLAR.roots[0], twin), canals=(MOLAR.canals[0], replace(MOLAR.canals[0], name="X", root="D"))
    )
    assert joins(tooth) == ()


def test_a_tooth_is_written_with_its_roots_and_their_paths():
    # Ahmed et al. 2017, way of writing from memory
    assert notation(MOLAR) == "²37 M² D¹"
    assert notation(MOLAR, raised=False) == "2 37 M(2) D(1)"
    parted = canal("L", legs=(Leg(6.0), Leg(2.0, 20.0, 270.0), Leg(4.2)))
    assert notation(single(STRAIGHT, parted)) == "¹41¹⁻²"
    assert notation(single(STRAIGHT), raised=False) == "1 41 (1)"


def test_a_root_that_is_not_there_or_empty_has_no_path():
    with pytest.raises(KeyError, match="no root P"):
        path_of(MOLAR, "P")
    with pytest.raises(ValueError, match="root D of tooth 37 holds no canal"):
        path_of(replace(MOLAR, canals=MOLAR.canals[:2]), "D")
