"""A tooth: parts that must fit each other, and positions that follow from them."""

from dataclasses import replace

import pytest

from casebank.anatomy import Chamber, Course, Crown, Leg, Section, Tooth
from tests.teeth import lower_molar

MOLAR = lower_molar().tooth
MB, ML, D = MOLAR.canals


def test_the_orifice_lies_as_deep_as_the_cusp_says():
    # crown 7.0 mm high, orifice of MB 8.5 mm below the cusp: 1.5 mm below the neck
    assert MOLAR.orifice_of(MB) == pytest.approx((-2.5, -1.5, -1.5))
    assert MOLAR.centre_line(MB)[0] == pytest.approx((-2.5, -1.5, -1.5))


def test_the_length_of_a_tooth_runs_from_cusp_to_its_furthest_apex():
    # D: starts 0.4 above the neck, 9.6 mm straight, 3.1 mm on radius 40 (turn 3.1/40 rad: 40 sin 0.0775 = 3.0969), tip
    # radius 0.66 along the last direction (cos 0.0775 = 0.9970): 7.0 - 0.4 + 9.6 + 3.0969 + 0.6580 = 19.955
    assert MOLAR.length_mm == pytest.approx(19.955, abs=1e-3)


def test_foramen_to_apex_is_the_straight_distance_between_the_two():
    # a straight canal in a straight root: foramen 0.3 mm short of the apex and 0.4 mm beside it: 0.5 mm
    root = replace(MOLAR.root("D"), course=Course((Leg(12.0),)))  # tip centre at z -11.6, apex at -12.26
    canal = replace(
        D,
        orifice_mm=(2.9, 0.0),
        course=Course((Leg(10.66),)),
        constriction=Section(0.2, 0.2),
        orifice=Section(0.3, 0.3),
    )
    assert replace(MOLAR, roots=(MOLAR.root("M"), root), canals=(canal,)).foramen_to_apex_mm(canal) == pytest.approx(
        0.5
    )


@pytest.mark.parametrize(
    ("number", "is_upper", "is_molar"),
    [(11, True, False), (18, True, True), (25, True, False), (26, True, True), (35, False, False), (46, False, True)],
)
def test_number_tells_jaw_and_kind(number, is_upper, is_molar):
    tooth = replace(MOLAR, number=number)
    assert (tooth.is_upper, tooth.is_molar) == (is_upper, is_molar)


@pytest.mark.parametrize("number", [0, 9, 10, 19, 20, 29, 30, 40, 49, 51, 85, -37, 370])
def test_a_number_that_is_no_permanent_tooth_is_refused(number):
    with pytest.raises(ValueError, match=f"{number} is no permanent tooth"):
        replace(MOLAR, number=number)


def test_asking_for_a_canal_or_root_it_does_not_have_names_those_it_has():
    assert MOLAR.canal("ML") is ML
    assert MOLAR.root("D") is MOLAR.roots[1]
    with pytest.raises(KeyError, match="no canal DB: this tooth has MB, ML, D"):
        MOLAR.canal("DB")
    with pytest.raises(KeyError, match="no root P: this tooth has M, D"):
        MOLAR.root("P")


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        pytest.param({"roots": ()}, "at least one root", id="no roots"),
        pytest.param({"roots": (MOLAR.roots[0], MOLAR.roots[0])}, "its own name", id="a root twice"),
        pytest.param({"canals": ()}, "at least one canal", id="no canals"),
        pytest.param({"canals": (MB, MB)}, "its own name", id="a canal twice"),
        pytest.param({"canals": (replace(MB, root="P"),)}, r"canal MB names root P.*\['M', 'D'\]", id="unknown root"),
        pytest.param(
            {"canals": (replace(MB, root="D"),)}, "canal MB leaves root D 0.0 mm below", id="in the other root"
        ),
        pytest.param(
            {"canals": (replace(D, course=Course((Leg(8.0),))),)}, "canal D ends.* inside root D", id="too short"
        ),
        pytest.param({"furcation_mm": 8.3}, "lies in the chamber", id="furcation at the floor"),
    ],
)
def test_parts_that_do_not_fit_are_refused_in_words(change, sentence):
    with pytest.raises(ValueError, match=sentence):
        replace(MOLAR, **change)


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: Chamber(8.3, 6.8, 5.6, 4.2), "upside down", id="roof below floor"),
        pytest.param(lambda: Chamber(6.8, 6.8, 5.6, 4.2), "upside down", id="no height"),
        pytest.param(lambda: Chamber(0.0, 6.8, 5.6, 4.2), "upside down", id="open to the mouth"),
        pytest.param(lambda: Chamber(6.8, 8.3, 0.0, 4.2), "widths above 0", id="no width"),
        pytest.param(lambda: Crown(0.0, 10.6, 10.0, 9.6, 9.0), "above 0 mm", id="no height of crown"),
        pytest.param(lambda: Crown(7.0, 10.6, 10.0, 9.6, -9.0), "above 0 mm", id="negative neck"),
    ],
)
def test_what_cannot_be_a_crown_or_chamber_is_refused(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()


def test_a_chambers_height_is_floor_less_roof():
    assert Chamber(6.8, 8.3, 5.6, 4.2).height_mm == pytest.approx(1.5)


def test_a_tooth_may_have_one_root_and_one_canal():
    single = Tooth(37, MOLAR.crown, MOLAR.chamber, (MOLAR.root("D"),), (D,))
    assert single.furcation_mm is None
    assert single.length_mm == pytest.approx(MOLAR.length_mm)
