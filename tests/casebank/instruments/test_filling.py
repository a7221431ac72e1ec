"""Sealer and fillings: their length and density follow from the cone's fit and from what lies beside it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.instruments import Dry, FillCanal, FitCone, HandFile, Irrigate, Medicate, Seal, TrialFit
from casebank.instruments.closing_moves import FILL_METHODS
from casebank.instruments.contents import Contents
from casebank.instruments.damage import FILLED_BEYOND, SEALER_BEYOND
from casebank.instruments.filling import packing_of
from casebank.instruments.fitting import off_label_mm
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.closing import READY, after, holding, named, on_bench, prepared

LENGTH_MM = 19.5
PACKED_METHODS = ("cold lateral", "warm vertical", "carrier")


def tries(method, size=35, taper=0.04, to_mm=LENGTH_MM):
    return (TrialFit if method == "carrier" else FitCone)(size, taper, to_mm)


def filled(lumen, method, size=35, taper=0.04, to_mm=LENGTH_MM, tried=True):
    moves = (tries(method, size, taper, to_mm),) if tried else ()
    return after(lumen, *moves, FillCanal(method, size, taper, to_mm))


def ready(lumen=None):
    return holding(lumen or prepared(), READY)


def torn(lumen):
    wide = lumen.width_mm.copy()
    wide[-1] = 1.3 * lumen.shape.width_mm[-1]
    return replace(lumen, width_mm=wide)


def test_sealer_is_carried_in_to_its_depth_and_one_set_too_deep_goes_through():
    step = after(prepared(), Dry(), Seal(19.0))
    assert step.felt.words == "sealer: carried in to 19.0 mm"
    assert step.after.contents.sealer_to_mm == pytest.approx(11.0)
    assert step.events == ()
    assert after(prepared(), Dry(), Seal(21.0)).events == (SEALER_BEYOND,)


def test_sealer_in_a_wet_canal_is_felt_to_bead_and_a_rinse_takes_it_away():
    step = after(prepared(), Irrigate(), Seal(19.0))
    assert step.felt.words.endswith("it beads on the wet wall")
    assert after(prepared(), Dry(), Seal(19.0), Irrigate()).after.contents.sealer_to_mm == 0.0


@pytest.mark.parametrize("method", FILL_METHODS)
def test_a_tried_cone_in_a_dry_sealed_canal_fills_it_to_length_without_a_void(method):
    step = filled(ready(), method)
    fill = step.after.contents.fill
    assert fill.dense_share == pytest.approx(1.0)
    assert fill.void_share == pytest.approx(0.0)
    assert fill.cone_mm == pytest.approx(11.5)
    assert (fill.tried, fill.dry, fill.sealed, fill.clean) == (True, True, True, True)
    assert step.felt.words == f"{method}, green 35/.04: in place at 19.5 mm"
    assert step.events == ()


@pytest.mark.parametrize(
    ("method", "short_mm"),
    [("single cone with sealer", 0.5), ("cold lateral", 0.5), ("warm vertical", 0.0), ("carrier", 0.0)],
)
def test_softened_filling_flows_on_as_far_as_a_sound_foramen_and_cold_filling_stays(method, short_mm):
    # 0.5 mm from above and 1.0 mm ahead of a carrier, teaching choices; the foramen lies 0.5 mm beyond the cone
    assert filled(ready(), method).after.contents.fill.short_mm == pytest.approx(short_mm)


def test_a_torn_foramen_lets_softened_filling_out():
    step = filled(ready(torn(prepared())), "carrier")
    assert step.after.contents.fill.short_mm == pytest.approx(0.5 - 1.0)
    assert step.events == (FILLED_BEYOND,)
    assert "the end gives, nothing resists" in step.felt.words


def test_a_thin_cone_set_too_long_stands_beyond_the_foramen():
    step = filled(ready(), "single cone with sealer", 20, 0.02, 21.0)
    assert step.after.contents.fill.short_mm == pytest.approx(-1.0)
    assert step.events == (FILLED_BEYOND,)


def test_packing_drives_a_loose_cone_on_and_a_single_cone_stays():
    lateral, single = (filled(ready(), method, 25, 0.02, 18.0) for method in ("cold lateral", FILL_METHODS[0]))
    assert lateral.after.contents.fill.cone_mm == pytest.approx(10.5)
    assert single.after.contents.fill.cone_mm == pytest.approx(10.0)
    assert "packing moves it" in lateral.felt.words


def test_a_cone_too_large_stops_short_and_says_so():
    # 0.35 + 0.04 (12 - p) = 0.45 at p = 9.5, 2 mm short of a stop at 19.5
    step = filled(ready(), "cold lateral", 45)
    assert step.after.contents.fill.end_mm == pytest.approx(9.5)
    assert step.felt.words == "cold lateral, white 45/.04: stops at 17.5 mm, 2.0 mm short of its stop"


WORSE = {
    "wet": (replace(READY, dried=False), "moisture comes up beside it"),
    "no sealer": (replace(READY, sealer_to_mm=0.0), "it goes in without sealer"),
}


@pytest.mark.parametrize("method", PACKED_METHODS)
@pytest.mark.parametrize("worse", WORSE)
def test_a_wet_canal_or_one_without_sealer_is_filled_and_a_tenth_stays_open(method, worse):
    contents, said = WORSE[worse]
    step = filled(holding(prepared(), contents), method, 30, 0.02)
    fill = step.after.contents.fill
    assert said in step.felt.words
    assert 0.85 <= fill.dense_share < filled(ready(), method, 30, 0.02).after.contents.fill.dense_share


def test_without_sealer_a_single_cone_fills_no_more_than_itself():
    # a cone of 0.30 + 0.02 x in a canal of 0.35 + 0.04 (x + 0.5): at its tip 0.30 of 0.37
    step = filled(holding(prepared(), replace(READY, sealer_to_mm=0.0)), "single cone with sealer", 30, 0.02)
    packing = packing_of(step.after)
    assert packing.width_mm[-1] == pytest.approx(0.30)
    assert packing.lumen_mm[-1] == pytest.approx(0.37)
    assert step.after.contents.fill.dense_share < 0.7


def test_a_medicament_that_was_not_washed_out_keeps_the_end_of_the_filling_off_the_wall():
    step = after(
        prepared(0.45),
        Medicate(),
        Dry(),
        Seal(19.5),
        FitCone(30, 0.02, 19.5),
        FillCanal("warm vertical", 30, 0.02, 19.5),
    )
    packing = packing_of(step.after)
    is_open = packing.lumen_mm - packing.width_mm > 0.05
    assert not step.after.contents.fill.clean
    assert "paste comes up beside it" in step.felt.words
    assert is_open[packing.depths_mm > 8.6].all()  # the last 3 mm of the working length of 11.5
    assert not is_open[packing.depths_mm < 8.4].any()


@pytest.mark.parametrize("method", FILL_METHODS)
def test_a_cone_that_was_never_tried_is_as_the_box_has_it(method):
    names = (named(prepared(), f"canal {number}") for number in range(200))
    large = next(one for one in names if off_label_mm(one, 35, 0.04) > 0)
    untried = filled(ready(large), method, tried=False)
    # 0.07 mm too large in a taper of 0.04: 1.75 mm short of the foramen, 1.25 short of its stop
    assert untried.after.contents.fill.cone_mm == pytest.approx(12 - 1.75)
    assert "was tried in before" in untried.felt.words
    assert not untried.after.contents.fill.tried
    assert filled(ready(large), method).after.contents.fill.cone_mm == pytest.approx(11.5)


def test_a_cone_tried_from_the_box_is_the_one_that_fills():
    names = (named(prepared(), f"canal {number}") for number in range(200))
    large = ready(next(one for one in names if off_label_mm(one, 35, 0.04) > 0))
    step = after(large, FitCone(35, 0.04, 19.5, gauged=False), FillCanal("cold lateral", 35, 0.04, 19.5))
    assert step.after.contents.fill.tried
    assert step.after.contents.fill.off_mm == pytest.approx(0.07)


@pytest.mark.parametrize("method", FILL_METHODS)
def test_nothing_is_filled_where_nothing_goes_in(method):
    for lumen, to_mm in ((prepared(), 0.0), (straight(0.05, 0.01), 19.5)):
        step = after(lumen, FillCanal(method, 35, 0.04, to_mm))
        assert step.reach.hold == "not entered"
        assert step.after is step.before
    assert after(prepared(), Seal(0.0)).reach.hold == "not entered"


def test_after_it_is_filled_a_canal_takes_no_further_move():
    bench = on_bench(ready())
    bench, _ = bench.make("ideal", FillCanal("cold lateral", 35, 0.04, 19.5))
    kept = bench.lumen("ideal")
    for move in (Irrigate(), HandFile(10, 19.0), FillCanal("carrier", 35, 0.04, 19.5), Dry()):
        bench, step = bench.make("ideal", move)
        assert step.after is kept
        assert step.reach.hold == "refused"
        assert step.felt.words.startswith("Canal ideal is filled, so no further move is made in it")


def test_a_canal_that_is_not_filled_has_no_packing():
    with pytest.raises(ValueError, match="canal ideal is not filled: fill it first"):
        packing_of(prepared())


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(FILL_METHODS),
    st.sampled_from([15, 25, 35, 45, 60]),
    st.sampled_from([0.02, 0.04, 0.06]),
    st.floats(10.0, 22.0),
    st.booleans(),
    st.floats(0.0, 12.0),
)
def test_no_filling_is_wider_than_its_canal_and_a_flaw_makes_it_no_denser(method, size, taper, to_mm, dry, sealer_mm):
    def fill(contents):
        return after(holding(prepared(), contents), FillCanal(method, size, taper, to_mm)).after

    some, best = fill(Contents(dried=dry, sealer_to_mm=sealer_mm)), fill(Contents(dried=True, sealer_to_mm=12.0))
    if some.contents.fill is None:
        assert best.contents.fill is None
        return
    packing = packing_of(some)
    assert (packing.width_mm <= packing.lumen_mm + 1e-9).all()
    assert 0 < some.contents.fill.dense_share <= best.contents.fill.dense_share + 1e-9
    assert np.isclose(packing.dense_share, some.contents.fill.dense_share)
