"""The working-length film: where a file stands, and what of its tip shows against the root's end."""

from dataclasses import replace

import pytest

from casebank.instruments import FilmLength, shape_of
from tests.casebank.instruments.canals import molar, straight
from tests.casebank.instruments.closing import after


def ending(foramen_to_apex_mm, lumen=None):
    lumen = lumen or straight(0.3, 0.02)
    return replace(lumen, shape=replace(lumen.shape, foramen_to_apex_mm=foramen_to_apex_mm))


@pytest.mark.parametrize(
    ("to_mm", "seen"),
    [  # the foramen at 20.0 mm, the root's end 0.6 mm beyond it
        (19.0, "about 1.5 mm short of the root's end"),  # 1.6
        (20.0, "about 0.5 mm short of the root's end"),  # 0.6
        (20.5, "at the root's end"),  # 0.1
        (22.0, "about 1.5 mm beyond the root's end"),  # 1.4
    ],
)
def test_a_tip_is_told_against_the_roots_end_to_half_a_millimetre(to_mm, seen):
    step = after(ending(0.6), FilmLength(15, to_mm))
    assert step.felt.words == f"white 15/.02: stands at {to_mm:.1f} mm; its tip is {seen} on the film"
    assert step.reach.hold == "filmed"
    assert step.reach.tip_mm == pytest.approx(to_mm - 8.0)  # where a picture has to put it
    assert step.after is step.before


def test_a_file_that_is_held_back_is_filmed_where_it_stands():
    # 0.05 + 0.02 (12 - s) = 0.15 at s = 7, that is 15.0 mm; the end of the root then lies 5.0 mm on
    step = after(ending(0.0, straight(0.05, 0.02)), FilmLength(15, 20.0))
    assert step.felt.words == (
        "white 15/.02: stands at 15.0 mm, and goes no deeper; "
        "its tip is about 5.0 mm short of the root's end on the film"
    )
    assert step.reach.short_mm == pytest.approx(5.0)


def test_a_file_above_the_orifice_makes_no_film():
    step = after(straight(0.3, 0.02), FilmLength(15, 0.0))
    assert step.reach.hold == "not entered"
    assert step.after is step.before


@pytest.mark.parametrize("canal", ["MB", "ML", "D"])
def test_the_roots_end_lies_beyond_the_foramen_by_no_more_than_their_distance(canal):
    tooth = molar()
    beyond_mm = shape_of(tooth, canal).foramen_to_apex_mm
    assert 0 <= beyond_mm <= tooth.foramen_to_apex_mm(tooth.canal(canal)) + 1e-9
