"""A canal's shape from the anatomy, and the state around it."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.instruments import shape_of, untouched
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import passive_stop_mm
from tests.casebank.instruments.canals import bent, molar, narrowed_molar


def test_a_mesial_canal_bends_towards_the_furcation_and_a_distal_one_away():
    # the molar's canals all bend distally: radius 10 mm in MB, 12 mm in D; the furcation lies distal of M, mesial of D
    mesial, distal = shape_of(molar(), "MB"), shape_of(molar(), "D")
    assert mesial.bend_per_mm[-1] == pytest.approx(1 / 10, rel=1e-9)
    assert mesial.bend_furcation_per_mm[-1] == pytest.approx(1 / 10, rel=0.01)
    assert distal.bend_furcation_per_mm[-1] == pytest.approx(-1 / 12, rel=1e-9)
    assert mesial.bend_per_mm[0] == 0.0


def test_a_bend_turned_out_of_the_furcation_plane_keeps_its_strength():
    # the same arc turned 15 degrees buccally, in a canal that leaves the orifice along the tooth's axis:
    # at its start the bend has cos 15 of itself towards the furcation and sin 15 across it
    tooth = molar()
    canal = tooth.canal("D")
    straight_leg, arc = canal.course.legs
    turned = replace(canal, course=replace(canal.course, legs=(straight_leg, replace(arc, toward_deg=15.0))))
    canals = tuple(turned if each.name == "D" else each for each in tooth.canals)
    shape = shape_of(replace(tooth, canals=canals), "D")
    start = int(np.argmax(shape.bend_per_mm > 0))
    assert shape.bend_per_mm[start] == pytest.approx(1 / 12)
    assert shape.bend_furcation_per_mm[start] == pytest.approx(-np.cos(np.radians(15)) / 12, rel=1e-3)
    assert abs(shape.bend_across_per_mm[start]) == pytest.approx(np.sin(np.radians(15)) / 12, rel=1e-3)


def test_levels_constriction_and_working_length_are_the_anatomys():
    shape = shape_of(molar(), "MB")
    assert shape.length_mm == pytest.approx(11.3)
    assert shape.step_mm == pytest.approx(0.1)
    assert shape.width_mm[np.searchsorted(shape.levels_mm, shape.constriction_at_mm - 1e-9)] == pytest.approx(0.20)
    assert shape.working_depth_mm == pytest.approx(10.8)


def test_one_bend_is_one_span_and_an_s_curve_is_two():
    # 2 mm straight, 3 mm one way, 3 mm the other, 2 mm straight
    bend = np.repeat([0.0, 0.1, -0.1, 0.0], [20, 30, 30, 21])
    span = bent(np.full(101, 0.3), bend).shape.span_mm
    assert span[[10, 30, 60, 90]] == pytest.approx([0.0, 3.0, 3.0, 0.0])


def test_a_narrowing_of_the_anatomy_stops_a_file_there():
    # narrowest 0.069 mm at 8.5 mm: a 08 (0.08) cannot lie past it without force
    lumen = untouched(shape_of(narrowed_molar(), "MB"))
    assert 8.0 < passive_stop_mm(lumen, hand_file(8), 11.3) < 8.5


def test_length_and_depth_are_inverse():
    lumen = untouched(shape_of(molar(), "ML"))
    assert lumen.reading_of(lumen.depth_of(17.3)) == pytest.approx(17.3)
    # hugging the bend a file runs a little shorter than the first centre line of 19.6 mm
    assert 19.5 < lumen.reading_of(lumen.shape.length_mm) < 19.6


def test_a_state_cannot_be_changed_in_place():
    lumen = untouched(shape_of(molar(), "D"))
    with pytest.raises(ValueError, match="read-only"):
        lumen.width_mm[0] = 9.0


def test_an_unknown_canal_is_refused_by_name():
    with pytest.raises(ValueError, match="no canal MB2: this tooth has MB, ML, D"):
        shape_of(molar(), "MB2")
