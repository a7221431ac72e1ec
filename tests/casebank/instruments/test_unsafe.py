"""Unsafe acts: each found where it is done, none in a sound treatment."""

import pytest

from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    HandFile,
    Irrigate,
    ReadLength,
    replay,
    unsafe_in,
    unsafe_steps,
)
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.sequences import RINSE, SOUND

TEN = HandFile(10, 19.8)
CHLORHEXIDINE, EDTA, WATER = (Irrigate(solution=name) for name in ("chlorhexidine", "EDTA", "water"))
TOWARD, AWAY = CoronalFlare(4.0, 2, "toward"), CoronalFlare(4.0, 2, "away")
FILE = EngineFile(20, 0.04, 19.3)


def acts(*moves, tooth=None):
    bench = replay(tooth or molar(), [("MB", move) for move in moves])
    return {act.rule: act for act in unsafe_steps(bench.record_of("MB"))}


def test_a_sound_treatment_holds_no_unsafe_act():
    assert unsafe_in(replay(molar(), SOUND)) == ()


@pytest.mark.parametrize(
    ("moves", "rule", "step_number"),
    [
        pytest.param([RINSE, FILE], "engine-before-path", 2, id="no loose 10 before the engine"),
        pytest.param([TEN, ReadLength(), FILE], "dry-shaping", 3, id="never rinsed"),
        pytest.param([TEN, CoronalFlare(4.0)], "dry-shaping", 2, id="flared dry"),
        pytest.param([RINSE, TEN, TEN, TEN, TEN, CoronalFlare(4.0)], "dry-shaping", 6, id="used dry again"),
        pytest.param([RINSE, HandFile(15, 20.5)], "large-through-foramen", 2, id="a 15 through the foramen"),
        pytest.param([RINSE, TEN, TOWARD], "brushed-toward-furcation", 3, id="flare"),
        pytest.param(
            [RINSE, TEN, EngineFile(20, 0.04, 19.3, brush="toward")], "brushed-toward-furcation", 3, id="file"
        ),
        # a 0.31 mm needle binds 6.84 mm below the orifice of MB, 15.3 mm from the cusp
        pytest.param([Irrigate(depth_mm=16.0)], "needle-bound", 1, id="pushed to where it binds"),
        pytest.param([Irrigate(depth_mm=14.5)], "needle-close", 1, id="less than 2 mm from there"),
        pytest.param([RINSE, TEN, FILE], "length-never-read", 3, id="no length"),
        pytest.param([RINSE, CHLORHEXIDINE], "solutions-mixed", 2, id="mixed"),
        pytest.param([RINSE, EDTA, CHLORHEXIDINE], "solutions-mixed", 3, id="EDTA"),
        # 1.45 mm of wall at the orifice: 30 strokes of 0.04 take 1.20, boring to 0.78 from 0.50 the other 0.28
        pytest.param([RINSE, TEN, CoronalFlare(6.0, 30, "toward")], "wall-perforated", 3, id="strip"),
    ],
)
def test_an_unsafe_act_is_named_at_its_step(moves, rule, step_number):
    act = acts(*moves)[rule]
    assert act.step_number == step_number
    assert act.sentence.endswith(".")
    assert act.basis


@pytest.mark.parametrize(
    ("moves", "rule"),
    [
        pytest.param(
            [RINSE, HandFile(10, 15.0), EngineFile(30, 0.04, 14.5)], "engine-before-path", id="within the scout"
        ),
        pytest.param([RINSE, HandFile(10, 20.5)], "large-through-foramen", id="a 10 keeps the foramen open"),
        pytest.param([RINSE, TEN, AWAY], "brushed-toward-furcation", id="brushed away"),
        pytest.param([Irrigate(depth_mm=13.0)], "needle-close", id="a needle well short"),
        pytest.param([RINSE, TEN, ReadLength(), FILE], "length-never-read", id="length read"),
        pytest.param([RINSE, WATER, CHLORHEXIDINE], "solutions-mixed", id="water"),
        pytest.param([RINSE, Irrigate(ml=0, solution="chlorhexidine")], "solutions-mixed", id="nothing rinsed"),
    ],
)
def test_its_safe_neighbour_is_not_named(moves, rule):
    assert rule not in acts(*moves)


def test_forcing_again_at_the_same_stop_is_named_once_with_its_count():
    forced = EngineFile(25, 0.06, 19.3, push="firm")
    act = acts(RINSE, forced, forced, forced, tooth=narrowed_molar())["forced"]
    assert (act.step_number, act.times) == (3, 2)


def test_a_light_hand_at_the_same_stop_forces_nothing():
    light = HandFile(15, 19.3)
    assert "forced" not in acts(RINSE, light, light, light, tooth=narrowed_molar())


def test_a_separated_file_is_named():
    forced = [EngineFile(25, 0.06, 19.3, push="firm")] * 6
    assert "instrument-separated" in acts(RINSE, *forced, tooth=narrowed_molar())


def test_a_needle_may_not_reach_working_length_even_where_it_never_binds():
    # D is 0.33 mm at its narrowest, wider than the needle of 0.31; its working length is 18.8 mm from the cusp
    bench = replay(molar(), [("D", Irrigate(depth_mm=19.0)), ("D", Irrigate(depth_mm=17.5)), ("D", Irrigate())])
    found = {act.rule: act.step_number for act in unsafe_steps(bench.record_of("D"))}
    assert found == {"needle-bound": 1, "needle-close": 2}


def test_solutions_mix_across_canals_in_one_chamber():
    bench = replay(molar(), [("MB", RINSE), ("ML", CHLORHEXIDINE)])
    assert [act.rule for act in unsafe_in(bench)] == ["solutions-mixed"]
    assert unsafe_steps(bench.record_of("ML")) == ()


def test_one_mixing_is_counted_once_whether_seen_from_the_canal_or_the_tooth():
    bench = replay(molar(), [("MB", move) for move in (RINSE, CHLORHEXIDINE, RINSE)])
    (act,) = unsafe_in(bench)
    assert (act.step_number, act.times) == (2, 2)
