"""What a chart names along a canal, in canals whose form is known by hand."""

from dataclasses import replace

import numpy as np
import pytest

from assess.presenting.chart_marks import bends_of, harms_of, marks
from assess.presenting.chart_sides import Sides, sides_of
from casebank.anatomy import Tooth
from casebank.instruments import Felt, Gauge, Reach, Step, Why, damage
from casebank.instruments.lumen import Fragment, Notch, Terminus
from tests.casebank.instruments.canals import bent, molar, straight

SIDES = Sides("near", "far", "Near wall", "Far wall", "to near", "to far")
WIDE = np.full(121, 0.3)  # levels 0.1 mm apart: 12 mm


def bend(per_mm, from_mm, to_mm):
    levels = np.arange(121) / 10
    return np.where((levels > from_mm - 0.05) & (levels < to_mm - 0.05), per_mm, 0.0)


def step(number, before, after, *events, tip_mm=5.0, why=()):
    return Step(
        number, "ideal", Gauge(25, 20.0), Felt("x"), why, events, Reach(tip_mm, 0.0, tip_mm, "snug"), before, after
    )


def words(lumen, *steps):
    return {mark.word: mark for mark in marks(lumen, steps, SIDES)}


def test_a_bend_is_named_by_its_angle_radius_and_side():
    """A radius of 10 mm over 5 mm turns by 5/10 rad, 28.6 degrees."""
    lumen = bent(WIDE, bend(0.1, 4, 9))
    mark = words(lumen)["bend 29°"]
    assert mark.sentence == "Bend of 29° to near, sharpest radius 10.0 mm."
    assert mark.depth_mm == pytest.approx(6.5, abs=0.06)
    away = words(bent(WIDE, -bend(0.1, 4, 9)))["bend 29°"]
    assert "to far" in away.sentence
    across = words(bent(WIDE, bend(0.1, 4, 9), across=True))["bend 29°"]
    assert "out of the plane of this drawing" in across.sentence


def test_an_s_is_two_bends_and_a_straight_canal_has_none():
    """10 mm over 3 mm is 0.3 rad, 17.2 degrees; 20 mm over 4 mm the other way is 0.2 rad, 11.5 degrees."""
    shape = bent(WIDE, bend(0.1, 2, 5) - bend(0.05, 5, 9)).shape
    assert [round(angle, 1) for _from, _to, angle, *_rest in bends_of(shape)] == [17.2, 11.5]
    assert [round(radius, 1) for *_place, radius, _share in bends_of(shape)] == [10.0, 20.0]
    assert bends_of(straight(0.2, 0.02).shape) == []


def test_a_ledge_has_the_move_that_made_it_and_a_notch_has_none():
    """0.10 mm is a ledge, by the bench's own constant."""
    lumen = straight(0.2, 0.02)
    after = replace(lumen, notches=(Notch(7.0, 0.04), Notch(10.0, 0.12)))
    named = words(after, step(9, lumen, after, damage.LEDGE))
    assert (named["ledge"].depth_mm, named["ledge"].numbers) == (10.0, (9,))
    assert named["ledge"].sentence == "Ledge, 0.12 mm deep."
    assert (named["notch"].depth_mm, named["notch"].is_harm) == (7.0, False)
    assert named["notch"].sentence == "Notch in the wall, 0.04 mm deep, no ledge."


def test_a_notch_is_on_the_outer_side_of_the_bend():
    """Towards the furcation a stiff tip leans away from it, and the other way round."""
    for way, side in ((1, 1), (-1, -1)):
        lumen = replace(bent(WIDE, way * bend(0.1, 4, 9)), notches=(Notch(6.0, 0.2),))
        assert words(lumen)["ledge"].side == side


def test_a_thinned_wall_is_told_with_what_it_was_and_who_did_it():
    lumen = straight(0.2, 0.02)
    thinner = lumen.furcation_mm.copy()
    thinner[40] = 0.25
    after = replace(lumen, furcation_mm=thinner)
    mark = words(after, step(3, lumen, after, damage.FURCATION_THIN))["strip risk"]
    assert (mark.depth_mm, mark.numbers, mark.side) == (4.0, (3,), -1)
    assert mark.sentence == "Near wall, where it is thinnest: 0.25 mm, was 1.10 mm."
    through = replace(lumen, furcation_mm=np.where(np.arange(121) == 40, -0.1, lumen.furcation_mm))
    holed = words(through, step(4, lumen, through, damage.FURCATION_HOLED))["wall holed"]
    assert "0.00 mm, was 1.10 mm" in holed.sentence


def test_a_torn_foramen_and_a_fragment_are_named_with_their_moves():
    lumen = straight(0.2, 0.02)
    torn = lumen.width_mm.copy()
    torn[-1] = 0.5
    after = replace(lumen, width_mm=torn, fragment=Fragment(8.0, "25/.04"))
    named = words(after, step(5, lumen, after, damage.FORAMEN_TORN), step(6, lumen, after, damage.SEPARATED))
    assert named["foramen torn"].sentence == "Foramen, 0.50 mm wide, was 0.20 mm."
    assert (named["foramen torn"].depth_mm, named["foramen torn"].numbers) == (12.0, (5,))
    assert (named["fragment"].depth_mm, named["fragment"].numbers) == (8.0, (6,))
    assert "Piece of a 25/.04" in named["fragment"].sentence


def test_the_prepared_end_is_told_against_the_reference_length():
    """The foramen at 12 mm has its working length at 11.5 mm."""
    lumen = straight(0.2, 0.02)
    at_length = words(replace(lumen, terminus=Terminus(11.5, 30, 0.04)))["end 30/.04"]
    assert at_length.sentence == "Prepared end: a 30/.04 went here."
    beyond = words(replace(lumen, terminus=Terminus(12.3, 30, 0.04)))["end 30/.04"]
    assert beyond.sentence.endswith("went here, 0.8 mm beyond the reference length.")
    short = words(replace(lumen, terminus=Terminus(9.5, 30, 0.04)))["end 30/.04"]
    assert short.sentence.endswith("went here, 2.0 mm short of the reference length.")


def test_harm_of_several_moves_in_one_place_is_named_once():
    lumen = straight(0.2, 0.02)
    steps = [step(number, lumen, lumen, damage.BRUSHED_TOWARD, tip_mm=3 + number / 10) for number in (1, 2, 3)]
    steps.append(step(9, lumen, lumen, damage.BRUSHED_TOWARD, tip_mm=8.0))
    brushed = [mark for mark in marks(lumen, steps, SIDES) if mark.word == "brushed"]
    assert [mark.numbers for mark in brushed] == [(1, 2, 3), (9,)]


def test_a_stressed_file_is_marked_where_it_was_bent_most():
    lumen = straight(0.2, 0.02)
    why = (Why(6.5, "fatigue", "", ()),)
    assert [harm.depth_mm for harm in harms_of(step(4, lumen, lumen, damage.STRESSED, why=why))] == [6.5]


def test_harm_that_has_no_word_of_its_own_is_told_as_the_bench_tells_it():
    lumen = straight(0.2, 0.02)
    assert words(lumen, step(4, lumen, lumen, "gone wrong"))["gone wrong"].sentence == "Gone wrong."


def test_the_sides_of_a_lone_root_are_mesial_and_distal():
    tooth = molar()
    assert sides_of(tooth, "MB").furcation == "furcation side"
    root = tooth.root(tooth.canal("D").root)
    lone = Tooth.__new__(Tooth)
    object.__setattr__(lone, "roots", (root,))
    object.__setattr__(lone, "canals", (tooth.canal("D"),))
    assert (
        sides_of(lone, "D").outer == "distal side"
    )  # that root starts distal of the tooth's axis, so it faces mesially
    sides = sides_of(lone, "D")  # that root starts distal of the tooth's axis, so it faces it mesially
    assert (sides.furcation, sides.outer) == ("mesial side", "distal side")
