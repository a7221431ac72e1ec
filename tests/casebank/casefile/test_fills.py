"""Fillings as they follow from a bench: where they end, what they leave open, and why."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.casefile.fills import CanalFill, fills_of
from casebank.instruments import Bench, CoronalFlare, EngineFile, FitCone, HandFile, Irrigate, Recapitulate
from casebank.instruments.iso3630 import cone
from tests.teeth import lower_molar

WET = Irrigate()
FORAMEN_MM = 19.3  # of the distal canal, from the cusp: 8.3 + 11.0, as built in tests/teeth.py
SHAPED = [
    *(WET, HandFile(10, FORAMEN_MM), WET, HandFile(15, FORAMEN_MM - 0.5), WET, CoronalFlare(4.0), WET),
    *(EngineFile(20, 0.04, FORAMEN_MM - 0.5), WET, Recapitulate(FORAMEN_MM), WET),
    *(EngineFile(30, 0.04, FORAMEN_MM - 0.5), WET, Recapitulate(FORAMEN_MM), WET),
    *(EngineFile(40, 0.04, FORAMEN_MM - 0.5), WET, Recapitulate(FORAMEN_MM), WET),
]


def bench_after(*moves, canal="D"):
    bench = Bench.of(lower_molar().tooth)
    for move in moves:
        bench, _ = bench.make(canal, move)
    return bench


@pytest.fixture(scope="module")
def shaped():
    return bench_after(*SHAPED)


def with_cone(bench, size, to_mm, taper=0.04):
    return bench.make("D", FitCone(size, taper, to_mm))[0]


def only_fill(bench, kind="cold lateral", sealed=True, lengths_mm=None):
    (fill,) = fills_of(bench, lengths_mm or {}, sealed=sealed, kind=kind)
    return fill


def test_a_tooth_that_was_not_worked_has_no_filling():
    assert fills_of(Bench.of(lower_molar().tooth), {"D": 18.8}, sealed=True) == ()


def test_a_cone_that_goes_to_length_fills_to_length(shaped):
    fill = only_fill(with_cone(shaped, 40, FORAMEN_MM - 0.5))
    assert fill.short_mm == pytest.approx(0.5, abs=0.15)  # the canal has been straightened a little
    assert fill.top_mm == 1.0
    assert fill.gaps == ()
    assert fill.tried


def test_a_filling_under_a_seal_is_cut_back_below_the_orifice_and_else_reaches_it(shaped):
    assert [only_fill(with_cone(shaped, 40, 18.8), sealed=sealed).top_mm for sealed in (True, False)] == [1.0, 0.0]


def test_a_cone_too_large_leaves_the_end_empty(shaped):
    # 0.60 mm at its tip in a canal cut to D0 + T x = 0.40 + 0.04 x from its prepared end: it stops 5 mm short of that
    fill = only_fill(with_cone(shaped, 60, FORAMEN_MM - 0.5))
    assert fill.short_mm == pytest.approx(0.5 + 5.0, abs=0.5)


def test_a_small_cone_pushed_too_far_stands_beyond_the_foramen(shaped):
    fill = only_fill(with_cone(shaped, 20, FORAMEN_MM + 1.0, taper=0.02))
    assert fill.short_mm == pytest.approx(-1.0, abs=0.1)
    assert fill.width_mm[-1] == pytest.approx(0.2)


def test_the_last_cone_that_was_tried_is_the_one(shaped):
    twice = with_cone(with_cone(shaped, 60, 18.8), 40, 18.8)
    assert only_fill(twice).cone == cone(40, 0.04)


def test_without_a_try_the_last_files_label_is_trusted_to_the_answered_length(shaped):
    fill = only_fill(shaped, lengths_mm={"D": FORAMEN_MM - 2.0})
    assert (fill.cone, fill.tried) == (cone(40, 0.04), False)
    assert fill.short_mm == pytest.approx(2.0, abs=0.15)


def test_a_thin_cone_with_sealer_alone_leaves_a_gap_and_packing_closes_it_but_near_its_tip(shaped):
    # x mm above the end 0.40 + 0.04 x holds 0.20 + 0.02 x and 0.05 of sealer on each side: 0.12 mm stay open from
    # x = 1 on; a spreader closes all but the last 1.5 mm
    thin = with_cone(shaped, 20, FORAMEN_MM - 0.5, taper=0.02)
    alone, packed, warm = (only_fill(thin, kind) for kind in ("single cone", "cold lateral", "warm vertical"))
    assert alone.gaps[0].top_mm == 1.0
    assert alone.gaps[0].end_mm == pytest.approx(alone.end_mm - 1.0, abs=0.3)
    (near_tip,) = packed.gaps
    assert near_tip.top_mm == pytest.approx(packed.end_mm - 1.5, abs=0.11)
    assert warm.gaps == ()
    assert alone.dense_share < packed.dense_share < warm.dense_share == pytest.approx(1.0)


@pytest.mark.parametrize(("kind", "flow_mm"), [("cold lateral", 0.0), ("warm vertical", 0.5), ("carrier", 1.0)])
def test_softened_filling_flows_on_in_the_canal_and_cold_filling_does_not(shaped, kind, flow_mm):
    cold = only_fill(with_cone(shaped, 40, FORAMEN_MM - 2.0))
    assert only_fill(with_cone(shaped, 40, FORAMEN_MM - 2.0), kind).end_mm == pytest.approx(cold.end_mm + flow_mm)


def test_a_sound_foramen_holds_softened_filling_and_a_torn_one_lets_it_out(shaped):
    at_length = with_cone(shaped, 40, FORAMEN_MM - 0.5)
    assert only_fill(at_length, "carrier").short_mm == pytest.approx(0.0, abs=1e-6)
    lumen = at_length.lumens["D"]
    wide = lumen.width_mm.copy()
    wide[-1] = 1.3 * lumen.shape.width_mm[-1]
    torn = replace(at_length, lumens={**at_length.lumens, "D": replace(lumen, width_mm=wide)})
    assert only_fill(torn, "carrier").short_mm == pytest.approx(0.5 - 1.0, abs=0.15)


def test_chips_left_in_the_canal_keep_the_filling_off_the_wall():
    dry = [move for move in SHAPED if not isinstance(move, Irrigate)]
    fill = only_fill(with_cone(bench_after(*dry), 40, FORAMEN_MM - 0.5))
    assert sum(gap.length_mm for gap in fill.gaps) > 1.0


def test_a_canal_too_tight_for_any_filling_has_none(shaped):
    assert fills_of(with_cone(shaped, 140, FORAMEN_MM), {}, sealed=True) == ()


@given(
    st.sampled_from([15, 25, 40, 60, 80]),
    st.sampled_from([0.02, 0.04, 0.06]),
    st.floats(12, 22),
    st.sampled_from(["single cone", "cold lateral", "warm vertical", "carrier"]),
    st.booleans(),
)
def test_a_filling_is_never_wider_than_its_canal_nor_longer_than_its_cone_and_flow(
    shaped, size, taper, to_mm, kind, sealed
):
    for fill in fills_of(with_cone(shaped, size, to_mm, taper), {}, sealed=sealed, kind=kind):
        assert (fill.width_mm <= fill.lumen_mm + 1e-9).all()
        assert 0 < fill.dense_share <= 1 + 1e-9
        assert fill.end_mm <= max(to_mm - 8.3 + 0.2, 0) + 1.0  # set depth, slack of a straightened canal, greatest flow
        assert fill.end_mm - fill.top_mm >= 2.0 - 1e-9 or not sealed


@pytest.mark.parametrize(
    ("depths", "widths"),
    [([1.0], [0.4]), ([1.0, 2.0], [0.4]), ([2.0, 1.0], [0.4, 0.4]), ([1.0, 2.0], [0.4, 0.0])],
)
def test_a_filling_without_shape_is_refused(depths, widths):
    lumen = np.full(len(depths), 0.5)
    with pytest.raises(ValueError, match="filling of canal D needs"):
        CanalFill("D", "cold lateral", cone(40, 0.04), True, np.array(depths), np.array(widths), lumen, 0.5)
