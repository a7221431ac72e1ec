"""Fillings and seals that were made at the bench: the film shows those, whatever was answered."""

import pytest

from casebank.casefile.end_state_film import end_state
from casebank.casefile.fills import KINDS, fills_of
from casebank.instruments import CoronalSeal, Dry, FillCanal, FitCone, NextVisit, Provisional, Seal
from casebank.instruments.closing_moves import FILL_METHODS
from tests.casebank.casefile.test_fills import FORAMEN_MM, SHAPED, bench_after
from tests.teeth import lower_molar

LENGTH_MM = FORAMEN_MM - 0.5
CONE = FitCone(40, 0.04, LENGTH_MM)


@pytest.fixture(scope="module")
def shaped():
    return bench_after(*SHAPED)


def made(bench, *moves):
    for move in moves:
        bench, _ = bench.make("D", move)
    return bench


@pytest.mark.parametrize("method", FILL_METHODS)
def test_the_filling_made_at_the_bench_is_the_one(shaped, method):
    bench = made(shaped, CONE, Dry(), Seal(18.0), FillCanal(method, 40, 0.04, LENGTH_MM))
    (fill,) = fills_of(bench, {"D": 15.0}, sealed=True, kind="cold lateral")
    kept = bench.lumen("D").contents.fill
    assert fill.kind == KINDS[method]
    assert fill.short_mm == pytest.approx(kept.short_mm)
    assert fill.tried is kept.tried
    assert fill.top_mm == 1.0
    (uncut,) = fills_of(bench, {}, sealed=False)
    assert uncut.dense_share == pytest.approx(kept.dense_share)


def test_a_canal_filled_wet_and_bare_shows_more_open_than_the_same_cone_taken_as_filled_well(shaped):
    thin = FillCanal("cold lateral", 20, 0.02, LENGTH_MM)
    (bare,) = fills_of(made(shaped, FitCone(20, 0.02, LENGTH_MM), thin), {}, sealed=True)
    (well,) = fills_of(made(shaped, FitCone(20, 0.02, LENGTH_MM)), {}, sealed=True)
    assert bare.dense_share < well.dense_share - 0.05


def test_the_seal_made_at_the_bench_outranks_the_answer(shaped):
    anatomy = lower_molar()
    sealed = made(shaped, CONE, FillCanal("cold lateral", 40, 0.04, LENGTH_MM), CoronalSeal())
    assert end_state(anatomy, sealed, {}, "cotton").seal == "over the orifices"
    closed = made(shaped, Provisional())
    assert end_state(anatomy, closed, {}, "same-day").seal == "soft filling"
    assert end_state(anatomy, made(closed, NextVisit()), {}, "same-day").seal == "over the orifices"
    assert end_state(anatomy, shaped, {}, "").seal == "open"
