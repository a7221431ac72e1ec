"""Gel and patency: files slide more easily, mud at the end is freed, and the foramen stays as it was."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.instruments import Bench, HandFile, Irrigate, Lubricate, Patency, replay
from casebank.instruments.damage import FORAMEN_TORN
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import bending_drag_n
from tests.casebank.instruments.canals import FORAMEN_MM, molar, straight
from tests.casebank.instruments.closing import after, on_bench


def muddy(wet: float):
    """A canal 0.15 mm wide at its end, its last millimetre packed to nine tenths: 0.15 x sqrt(0.3) = 0.08 mm open."""
    lumen = straight(0.15, 0.03)
    mud = np.where(lumen.shape.levels_mm > 11.0, 0.9 * lumen.cell_mm3, 0.0)
    return replace(lumen, packed_mm3=mud, wet=wet)


@pytest.mark.parametrize("canal", ["MB", "ML"])
def test_a_gel_lowers_a_hand_files_friction_by_a_fifth(canal):
    bench = Bench.of(molar())
    with_gel = bench.make(canal, Lubricate())[0].lumen(canal)
    file, depth_mm = hand_file(20), 10.0
    bare_n = bending_drag_n(bench.lumen(canal), file, depth_mm)
    assert bare_n > 0
    assert bending_drag_n(with_gel, file, depth_mm) == pytest.approx(0.8 * bare_n)


def test_a_gel_wets_a_dry_canal_halfway_and_floods_none():
    assert after(straight(0.3, 0.02), Lubricate()).after.wet == 0.5
    assert after(straight(0.3, 0.02), Irrigate(), Lubricate()).after.wet == 1.0


def test_a_gel_is_told_and_changes_no_wall():
    step = after(straight(0.3, 0.02), Lubricate("water-soluble gel"))
    assert step.felt.words == "water-soluble gel: carried in, files slide more easily"
    assert step.after.contents.gel == "water-soluble gel"
    assert step.before.contents.gel is None
    assert step.after.width_mm is step.before.width_mm


def test_a_patency_file_goes_through_by_what_was_asked_and_widens_nothing():
    step = after(straight(0.2, 0.03), Irrigate(), Patency(10, 0.5))
    assert step.reach.tip_mm == pytest.approx(12.5)
    assert step.felt.words == "purple 10/.02: slips just through the end"
    assert step.after.width_mm is step.before.width_mm
    assert step.after.contents.bleeding == "none"
    assert step.events == ()


def test_a_patency_file_frees_mud_packed_at_the_end_of_a_wet_canal():
    step = after(muddy(wet=1.0), Patency(10, 0.0))
    assert step.reach.hold == "loose"
    assert step.reach.tip_mm == pytest.approx(12.0)
    assert step.after.packed_mm3.sum() < 0.5 * step.before.packed_mm3.sum()
    kept = step.after.packed_mm3.sum() + step.after.loose_mm3.sum()
    assert kept == pytest.approx(step.before.packed_mm3.sum())


def test_in_a_dry_canal_mud_stays_and_stops_it_softly():
    step = after(muddy(wet=0.0), Patency(10, 0.0))
    assert step.reach.hold == "short"
    assert step.felt.words == "purple 10/.02: soft, muddy stop at 19.0 mm, 1.0 mm short of its stop"
    assert np.array_equal(step.after.packed_mm3, step.before.packed_mm3)


@pytest.mark.parametrize("canal", ["MB", "D"])
def test_a_small_file_leaves_the_foramen_and_a_large_one_tears_it(canal):
    # common practice, no source: patency with a flexible 08 or 10, never with what fills the foramen
    beyond_mm = FORAMEN_MM[canal] + 1.0
    small = replay(molar(), [(canal, Irrigate()), (canal, Patency(10, 1.0))])
    assert np.array_equal(small.lumen(canal).width_mm, Bench.of(molar()).lumen(canal).width_mm)
    large = on_bench(straight(0.3, 0.04))
    for size in (30, 35, 40):
        for move in (Irrigate(), HandFile(size, beyond_mm + 1.0, 8, "firm")):
            large, _ = large.make("ideal", move)
    assert any(FORAMEN_TORN in step.events for step in large.record)
    assert large.lumen("ideal").contents.bleeding == "beyond"
