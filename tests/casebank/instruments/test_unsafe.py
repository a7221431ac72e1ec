"""Unsafe acts: each found where it is done, none in a sound treatment."""

import pytest

from casebank.instruments import (
    CoronalFlare,
    Dry,
    EngineFile,
    FillCanal,
    HandFile,
    Irrigate,
    Medicate,
    Patency,
    ReadLength,
    Recapitulate,
    Seal,
    process,
    replay,
    unsafe_in,
    unsafe_steps,
)
from casebank.instruments.unsafe_table import UNSAFE_RULES
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


@pytest.mark.parametrize(
    ("moves", "rule", "place"),
    [
        pytest.param([RINSE, FILE], "engine-before-path", ["20/.04", "canal MB", "been loose nowhere"], id="path"),
        pytest.param([TEN, ReadLength(), FILE], "dry-shaping", ["20/.04", "canal MB, which was dry"], id="dry"),
        # the foramen of MB lies 19.8 mm from the cusp, so a file at 20.5 mm stands 0.7 mm beyond
        pytest.param(
            [RINSE, HandFile(15, 20.5)], "large-through-foramen", ["file 15", "0.7 mm", "20.5 mm"], id="foramen"
        ),
        # 15.3 mm is where a 0.31 mm needle binds in MB
        pytest.param([Irrigate(depth_mm=16.0)], "needle-bound", ["0.31 mm", "at 15.3 mm", "canal MB"], id="bound"),
        pytest.param([Irrigate(depth_mm=14.5)], "needle-close", ["14.5 mm", "0.8 mm", "2 mm"], id="close"),
        pytest.param([RINSE, TEN, TOWARD], "brushed-toward-furcation", ["canal MB", "of wall are left"], id="brushed"),
        pytest.param([RINSE, TEN, FILE], "length-never-read", ["20/.04", "canal MB to"], id="length"),
        pytest.param(
            [RINSE, TEN, CoronalFlare(6.0, 30, "toward")], "wall-perforated", ["towards the furcation", "mm"], id="hole"
        ),
    ],
)
def test_an_unsafe_act_says_what_was_done_where_and_why_that_is_unsafe(moves, rule, place):
    act = acts(*moves)[rule]
    assert [words for words in place if words not in act.sentence] == []
    assert act.reason == UNSAFE_RULES[rule].reason
    assert act.basis == UNSAFE_RULES[rule].rests_on


def test_a_canal_that_lost_its_patency_is_never_an_unsafe_act():
    # shaped far short, dry of nothing, no small file back: the end packs, and nothing in the table speaks of it
    moves = [RINSE, TEN, ReadLength()]
    for size in (20, 25, 30, 35, 40):
        moves += [RINSE, EngineFile(size, 0.04, 18.0), RINSE, EngineFile(size, 0.04, 18.0)]
    bench = replay(narrowed_molar(), [("MB", move) for move in moves])
    record = bench.record_of("MB")
    assert process.patency_kept(record).met == 0
    assert not any("patency" in text for rule in UNSAFE_RULES.values() for text in (rule.id, rule.words.lower()))
    assert not {act.rule for act in unsafe_steps(record)} & {"length-kept", "patency-lost"}


def test_a_medicament_of_chlorhexidine_on_hypochlorite_is_a_mixing():
    gel, lime = Medicate("chlorhexidine gel"), Medicate("calcium hydroxide")
    assert "solutions-mixed" in acts(RINSE, gel)
    assert "solutions-mixed" not in acts(RINSE, WATER, gel)
    assert "solutions-mixed" not in acts(RINSE, lime)


def test_a_patency_file_through_the_foramen_is_allowed():
    assert "large-through-foramen" not in acts(RINSE, TEN, Patency(10, 0.5))


def test_a_filling_beyond_the_foramen_is_named_and_one_at_length_is_not():
    # the foramen lies 19.8 mm from the cusp: a cone to 21 mm through an end opened to 40 ends about 1.2 mm beyond it
    sized = [RINSE, TEN, ReadLength()]
    for size in (20, 25, 30, 35, 40):
        sized += [EngineFile(size, 0.04, 20.5), RINSE, Recapitulate(19.8), RINSE]
    long = acts(*sized, Dry(), Seal(20.0), FillCanal("single cone with sealer", 20, 0.02, 21.0))
    assert "beyond the foramen of canal MB" in long["fill-beyond-foramen"].sentence
    assert long["fill-beyond-foramen"].step_number == len(sized) + 3
    short = acts(*sized, Dry(), Seal(19.0), FillCanal("single cone with sealer", 20, 0.02, 19.0))
    assert "fill-beyond-foramen" not in short


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
