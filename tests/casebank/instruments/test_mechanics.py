"""Stops, cuts and needles against closed forms on ideal canals.

Binding model: the canal is c(x) = Dc + tc x, x mm coronal to its constriction; an instrument Di, ti stops max(0,
(Di - Dc) / tc, xo - (Dc + tc xo - Di) / ti) short of it, xo the orifice.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.instruments import Instrument
from casebank.instruments.cutting import lean_share, widen
from casebank.instruments.damage import greatest_strain, notched
from casebank.instruments.iso3630 import engine_file, hand_file
from casebank.instruments.mechanics import (
    Grip,
    binding,
    depth_narrower_mm,
    held,
    passive_stop_mm,
    side_force_n,
    worked_stop_mm,
)
from tests.casebank.instruments.canals import bent, straight


def short_mm(size, constriction_mm, taper):
    return 12.0 - passive_stop_mm(straight(constriction_mm, taper), hand_file(size), 12.0)


@pytest.mark.parametrize(
    ("size", "constriction_mm", "taper", "expected_mm"),
    [
        pytest.param(30, 0.25, 0.06, 0.8333, id="30/.02 in 25/.06: (0.30 - 0.25) / 0.06"),
        pytest.param(25, 0.25, 0.06, 0.0, id="25/.02 in 25/.06 goes to the end"),
        pytest.param(20, 0.25, 0.04, 0.0, id="20/.02 in 25/.04 goes to the end"),
    ],
)
def test_a_gauge_stops_where_the_closed_form_says(size, constriction_mm, taper, expected_mm):
    assert short_mm(size, constriction_mm, taper) == pytest.approx(expected_mm, abs=1e-3)


def test_two_gauges_give_the_local_taper():
    # size difference over stop difference: 0.05 / 0.8333
    local = 0.05 / (short_mm(30, 0.25, 0.06) - short_mm(25, 0.25, 0.06))
    assert local == pytest.approx(0.06, abs=1e-3)


def test_a_needle_binds_where_the_canal_is_as_wide_as_it_is():
    # (0.31 - 0.25) / 0.06 = 1.0 mm coronal to the constriction
    assert 12.0 - depth_narrower_mm(straight(0.25, 0.06), 0.31) == pytest.approx(1.0, abs=1e-6)


def test_strain_at_the_bend_is_diameter_over_twice_the_radius():
    # a 30/.02 with its tip in a bend of radius 5 mm at depth 10: widest inside the bend 2 mm behind, d = 0.34
    lumen = bent(np.full(101, 0.6), np.where(np.arange(101) >= 80, 1 / 5, 0.0))
    strain, level_mm = greatest_strain(lumen, hand_file(30), 10.0)
    assert level_mm == pytest.approx(8.0)
    assert strain == pytest.approx(0.34 / (2 * 5), abs=1e-6)


def test_a_centred_instrument_takes_half_of_its_excess_from_each_wall():
    # 1.10 - (0.30 + 0.06 * 8 - 0.40) / 2 = 0.91
    lumen, _ = widen(straight(0.40, 0.0), engine_file(30, 0.06), 12.0)
    level = 40  # 4 mm below the orifice, 8 mm from the tip
    assert lumen.furcation_mm[level] == pytest.approx(0.91, abs=1e-6)
    assert lumen.outer_mm[level] == pytest.approx(0.91, abs=1e-6)


def test_the_volume_of_a_prepared_canal_is_that_of_a_frustum():
    # 30/.06 over 10 mm: pi * 10 / 12 * (0.90^2 + 0.90 * 0.30 + 0.30^2) = 3.0631 mm3
    lumen = straight(0.30, 0.06, orifice_mm=10.0)
    assert lumen.cell_mm3.sum() == pytest.approx(3.0631, abs=1e-3)


def test_bored_chips_are_the_difference_of_two_volumes():
    before = straight(0.20, 0.02)
    after, chips = widen(before, engine_file(30, 0.04), 12.0)
    assert chips.sum() == pytest.approx(after.cell_mm3.sum() - before.cell_mm3.sum(), abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from([10, 15, 20, 25, 30, 40]),
    st.floats(0.10, 0.45),
    st.floats(0.0, 0.08),
    st.floats(6.0, 16.0),
)
def test_the_passive_stop_agrees_with_a_march(size, constriction_mm, taper, length_mm):
    """Slow twin: move the tip down 0.01 mm at a time until some level is too narrow."""
    length_mm = round(length_mm, 1)
    lumen, file = straight(constriction_mm, taper, orifice_mm=length_mm), hand_file(size)
    marched = 0.0
    for tip in np.arange(0.0, length_mm + 1e-9, 0.01):
        if held(lumen, file, float(tip), Grip(0.0)):
            break
        marched = tip
    assert passive_stop_mm(lumen, file, length_mm) == pytest.approx(marched, abs=0.0101)


def test_a_worked_file_follows_a_lumen_seven_tenths_of_its_tip_when_wet():
    # size 20 needs 0.14 mm with its whole push; where a canal narrows steeply only the tip binds, so it stops there
    lumen = replace(straight(0.04, 0.20, orifice_mm=10.0), wet=1.0)
    start = passive_stop_mm(lumen, hand_file(20), 10.0)
    stop = worked_stop_mm(lumen, hand_file(20), Grip(1.0), start_mm=start, limit_mm=10.0)
    width = np.interp(stop, lumen.shape.levels_mm, lumen.width_mm)
    assert width == pytest.approx(0.14, abs=0.2 * 1e-3)  # a stop is found within 0.001 mm
    held = binding(lumen, hand_file(20), stop + 0.01, Grip(1.0))
    assert held.cause == "tip"


def test_a_bend_out_of_the_furcation_plane_forces_a_file_as_hard_but_thins_no_side():
    width, bend = np.full(121, 0.30), np.where(np.arange(121) >= 60, 0.1, 0.0)
    in_plane, across = bent(width, bend), bent(width, bend, across=True)
    file = engine_file(35, 0.04)
    assert side_force_n(across, file, 12.0) == pytest.approx(side_force_n(in_plane, file, 12.0))
    assert side_force_n(across, file, 12.0).max() > 0
    cut_across, _ = widen(across, file, 12.0)
    assert cut_across.furcation_mm == pytest.approx(cut_across.outer_mm)
    cut_in_plane, _ = widen(in_plane, file, 12.0)
    assert cut_in_plane.furcation_mm[80] < cut_in_plane.outer_mm[80]  # inside of the bend higher up
    assert cut_in_plane.furcation_mm[119] > cut_in_plane.outer_mm[119]  # outside at the tip


def test_a_file_thinner_than_the_play_of_the_bend_leans_on_nothing():
    # sagitta of the play: 8 * (0.9 - 0.2) / 6^2 = 0.16 per mm, more than the bend of 0.1
    lumen = bent(np.full(121, 0.9), np.where(np.arange(121) >= 60, 0.1, 0.0))
    assert side_force_n(lumen, hand_file(10), 12.0) == pytest.approx(0.0)


def test_half_of_a_cut_goes_to_one_wall_at_the_named_force():
    assert lean_share(np.array([0.0, 2.5])) == pytest.approx([0.0, 0.5])


def test_near_notches_are_one_and_far_ones_two():
    lumen = bent(np.full(121, 0.2), np.where(np.arange(121) >= 60, 0.2, 0.0))
    stiff = Instrument(40)
    lumen, _ = notched(lumen, stiff, 9.0, 2.0)
    lumen, _ = notched(lumen, stiff, 9.3, 2.0)
    lumen, _ = notched(lumen, stiff, 7.0, 2.0)
    assert [notch.at_mm for notch in lumen.notches] == [7.0, 9.0]
    assert lumen.notches[1].depth_mm > lumen.notches[0].depth_mm


def test_a_ledge_stops_a_stiff_file_but_not_a_small_precurved_one():
    lumen = bent(np.full(121, 0.5), np.where(np.arange(121) >= 60, 0.2, 0.0))
    lumen, ledged = notched(lumen, Instrument(40), 9.0, 20.0)
    assert ledged
    assert passive_stop_mm(lumen, hand_file(15), 12.0) == pytest.approx(9.0)
    assert passive_stop_mm(lumen, hand_file(10), 12.0) == pytest.approx(9.0)
    assert passive_stop_mm(lumen, hand_file(10), 12.0, precurve_per_mm=0.1) == pytest.approx(12.0)
