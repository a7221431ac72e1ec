"""Laws of the bench that hold whatever is done, and the words it answers with."""

import re

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from casebank.instruments import (
    Bench,
    CoronalFlare,
    CoronalSeal,
    EngineFile,
    FilmLength,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Lumen,
    Provisional,
    ReadElectronically,
    ReadLength,
    Recapitulate,
    Seal,
    TrialFit,
    replay,
)
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.measuring import safe_needle_mm
from casebank.instruments.mechanics import passive_stop_mm
from fixtures.sequences import tooth_of
from tests.casebank.instruments.canals import FORAMEN_MM, molar, narrowed_molar, tight_mouthed_molar
from tests.casebank.instruments.sequences import SOUND

TEETH = {
    "as built": molar(),
    "narrowed": narrowed_molar(),
    "tight": tight_mouthed_molar(),
    "map-engraver": tooth_of("map-engraver"),
    "drawn 36": tooth_of("36/1"),
}
ARRAYS = ("width_mm", "furcation_mm", "outer_mm", "loose_mm3", "packed_mm3")
HAND = (6, 8, 10, 15, 20, 25, 30, 40)
ENGINE = (15, 20, 25, 30, 40, 50)

places = st.sampled_from([(name, canal.name) for name, tooth in TEETH.items() for canal in tooth.canals])
lengths = st.sampled_from([12.0, 15.0, 17.5, 18.8, 19.3, 19.8, 20.3])
pushes = st.sampled_from(["light", "firm"])
moves = st.one_of(
    st.builds(HandFile, st.sampled_from(HAND), lengths, st.integers(0, 8), pushes, st.sampled_from([0.0, 0.1, 0.2])),
    st.builds(
        EngineFile,
        st.sampled_from(ENGINE),
        st.sampled_from([0.02, 0.04, 0.06]),
        lengths,
        st.integers(0, 2),
        pushes,
        st.sampled_from([None, "away", "toward"]),
    ),
    st.builds(CoronalFlare, st.floats(0, 8), st.integers(0, 8), st.sampled_from(["away", "toward"])),
    st.builds(Irrigate, st.floats(0, 5)),
    st.builds(Recapitulate, lengths, st.sampled_from([8, 10])),
)
scripts = st.lists(moves, max_size=6)
law = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def played(place, script) -> Bench:
    tooth, canal = place
    return replay(TEETH[tooth], [(canal, move) for move in script])


def same(a: Lumen, b: Lumen) -> bool:
    scalars = ("wet", "stirred_mm", "notches", "life", "terminus", "fragment", "extruded_mm3")
    return all(np.array_equal(getattr(a, name), getattr(b, name)) for name in ARRAYS) and all(
        getattr(a, name) == getattr(b, name) for name in scalars
    )


@law
@given(places, scripts, st.sampled_from(HAND), st.sampled_from(HAND))
def test_a_larger_file_never_lies_deeper(place, script, one, other):
    lumen = played(place, script).lumen(place[1])
    small, large = sorted((one, other))
    assert passive_stop_mm(lumen, hand_file(large), 20.0) <= passive_stop_mm(lumen, hand_file(small), 20.0) + 1e-9


@law
@given(places, scripts, st.sets(st.sampled_from(HAND[2:]), min_size=2, max_size=2), st.integers(1, 8), pushes)
def test_a_larger_file_is_never_worked_deeper(place, script, sizes, strokes, push):
    bench, canal = played(place, script), place[1]
    small, large = (bench.make(canal, HandFile(size, 19.8, strokes, push))[1] for size in sorted(sizes))
    assert large.reach.tip_mm <= small.reach.tip_mm + 5e-3


@law
@given(places, scripts, st.sampled_from(ENGINE), st.sampled_from(ENGINE), st.sampled_from([0.02, 0.04, 0.06]))
def test_a_larger_engine_file_never_goes_deeper(place, script, one, other, taper):
    bench, canal = played(place, script), place[1]
    small, large = (bench.make(canal, EngineFile(size, taper, 19.3))[1] for size in sorted((one, other)))
    assert large.reach.tip_mm <= small.reach.tip_mm + 1e-2


@law
@given(places, scripts, moves)
def test_width_never_shrinks_and_root_width_is_conserved(place, script, move):
    bench, canal = played(place, script), place[1]
    before, after = bench.lumen(canal), bench.make(canal, move)[1].after
    assert (after.width_mm >= before.width_mm).all()
    assert (after.furcation_mm <= before.furcation_mm + 1e-12).all()
    assert (after.outer_mm <= before.outer_mm + 1e-12).all()
    shape = after.shape
    root = after.width_mm + after.furcation_mm + after.outer_mm
    assert np.allclose(root, shape.width_mm + shape.furcation_mm + shape.outer_mm, atol=1e-9)
    assert (np.minimum(after.loose_mm3, after.packed_mm3) > -1e-12).all()
    assert (after.packed_mm3 <= 0.99 * after.cell_mm3 + 1e-9).all()


@law
@given(places, scripts, moves)
def test_damage_never_heals(place, script, move):
    bench, canal = played(place, script), place[1]
    before, after = bench.lumen(canal), bench.make(canal, move)[1].after
    depths = {notch.at_mm: notch.depth_mm for notch in after.notches}
    assert all(depths[notch.at_mm] >= notch.depth_mm for notch in before.notches)
    assert all(dict(after.life)[name] >= used for name, used in before.life)
    assert after.extruded_mm3 >= before.extruded_mm3
    assert after.fragment == before.fragment or before.fragment is None


@law
@given(
    places,
    scripts,
    st.floats(0, 5),
    st.sampled_from(["sodium hypochlorite", "EDTA", "water"]),  # each may follow the script's hypochlorite
    st.sampled_from([0.31, 0.42]),
    st.one_of(st.none(), st.floats(0, 1)),
)
def test_irrigation_with_an_unbound_needle_never_worsens(place, script, ml, solution, needle_mm, share):
    bench, canal = played(place, script), place[1]
    lumen = bench.lumen(canal)
    safe_mm = safe_needle_mm(lumen, needle_mm)  # 0 where the needle binds within 2 mm of the orifice
    depth_mm = lumen.reading_of(share * safe_mm) if share is not None and safe_mm > 0 else None
    rinsed, step = bench.make(canal, Irrigate(ml, solution, needle_mm, depth_mm))
    assert step.events == ()
    before, after = step.before, step.after
    assert (after.loose_mm3 <= before.loose_mm3 + 1e-12).all()
    assert np.array_equal(after.packed_mm3, before.packed_mm3)
    assert np.array_equal(after.width_mm, before.width_mm)
    assert after.wet >= before.wet
    for move in (HandFile(8, 19.8), HandFile(10, 19.8), HandFile(25, 19.3), EngineFile(25, 0.06, 19.3)):
        assert rinsed.make(canal, move)[1].reach.tip_mm >= bench.make(canal, move)[1].reach.tip_mm - 5e-3


@law
@given(places, scripts)
def test_moves_of_nothing_change_nothing(place, script):
    bench, canal = played(place, script), place[1]
    nothing = (
        HandFile(10, 0.0),
        HandFile(10, 19.8, strokes=0),
        EngineFile(25, 0.06, 0.0),
        EngineFile(25, 0.06, 19.3, passes=0),
        CoronalFlare(0.0),
        CoronalFlare(4.0, strokes=0),
        Irrigate(ml=0.0),
        Recapitulate(0.0),
        Gauge(25, 19.3),
        FitCone(35, 0.04, 19.3),
        ReadLength(),
        ReadElectronically(),
        FilmLength(10, 19.3),
        TrialFit(35, 0.04, 19.3),
        Seal(0.0),
        Provisional(thickness_mm=0.0),
        CoronalSeal(thickness_mm=0.0),
    )
    for move in nothing:
        step = bench.make(canal, move)[1]
        assert same(step.after, step.before)
        assert step.events == ()


@law
@given(places, scripts)
def test_the_same_log_gives_the_same_state_and_the_same_words(place, script):
    one, other = played(place, script), played(place, script)
    assert same(one.lumen(place[1]), other.lumen(place[1]))
    assert [step.felt for step in one.record] == [step.felt for step in other.record]
    assert [step.why for step in one.record] == [step.why for step in other.record]


@law
@given(places, scripts, st.integers(1, 7), st.sampled_from([8, 10, 15, 25]))
def test_more_strokes_are_never_shallower(place, script, strokes, size):
    bench, canal = played(place, script), place[1]
    fewer, more = (bench.make(canal, HandFile(size, 19.8, count))[1] for count in (strokes, strokes + 1))
    assert more.reach.tip_mm >= fewer.reach.tip_mm - 5e-3


@law
@given(places, scripts)
def test_what_is_felt_is_told_to_half_a_millimetre(place, script):
    for step in played(place, script).record:
        for number in re.findall(r"(\d+\.\d+) mm", step.felt.words):
            assert float(number) * 2 == round(float(number) * 2)
        assert step.felt.at_mm is None or step.felt.at_mm * 2 == round(step.felt.at_mm * 2)


def test_work_in_one_canal_leaves_the_others_alone():
    bench = Bench.of(molar())
    after, _ = bench.make("MB", Irrigate())
    assert after.lumen("ML") is bench.lumen("ML")
    assert bench.record == ()
    assert bench.lumen("MB").wet == 0.0
    assert [step.number for step in after.record_of("MB").steps] == [1]
    assert after.record_of("D").steps == ()


def test_after_a_separation_the_canal_is_frozen_and_says_so():
    forced = [Irrigate(), *[EngineFile(25, 0.06, 19.3, push="firm")] * 6]
    bench = replay(narrowed_molar(), [("MB", move) for move in forced])
    broken = bench.lumen("MB")
    assert broken.fragment is not None
    for move in (HandFile(10, 19.8, 8, "firm"), Irrigate(), EngineFile(25, 0.06, 19.3), Gauge(20, 19.3)):
        bench, step = bench.make("MB", move)
        assert step.after is broken
        assert step.felt.words.startswith("A piece of a 25/.06 lies in canal MB")
    bench, step = bench.make("D", HandFile(10, 15.0))
    assert step.reach.hold == "loose"


def test_the_hand_is_told_colour_and_size_and_never_the_reason():
    for step in replay(molar(), SOUND).record:
        if isinstance(step.move, HandFile | EngineFile | Recapitulate | Gauge | FitCone):
            assert re.search(r"(purple|white|yellow|red|blue|green|black) \d\d/\.0\d", step.felt.words)
        assert "=" not in step.felt.words
        assert all(why.equation not in step.felt.words for why in step.why)


def test_a_reason_holds_the_level_and_the_numbers_that_met():
    bench = replay(narrowed_molar(), [("MB", Irrigate()), ("MB", HandFile(10, 19.8))])
    (why,) = bench.record[-1].why
    numbers = {number.symbol: number.value for number in why.numbers}
    assert why.cause == "tip"
    assert 8.0 < why.level_mm < 9.0  # the narrowing lies at 8.5 mm
    assert numbers["D0 + T·x"] > numbers["c"] + numbers["a"]


def test_a_file_far_beyond_the_foramen_is_still_felt_in_words():
    # once the canal is shaped, a small file set to 31 mm leaves it by more than the length over which a hand judges
    _, step = replay(molar(), SOUND).make("MB", HandFile(8, to_mm=31.0))
    assert step.reach.tip_mm > FORAMEN_MM["MB"]
    assert "free beyond the canal" in step.felt.words
