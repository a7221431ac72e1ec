"""Laws that hold for the moves beside shaping, whatever was done before."""

import re

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from casebank.instruments import (
    Bench,
    CoronalSeal,
    Dry,
    EngineFile,
    FillCanal,
    FilmLength,
    FitCone,
    HandFile,
    Irrigate,
    Lubricate,
    Medicate,
    NextVisit,
    Patency,
    Provisional,
    ReadElectronically,
    Recapitulate,
    Seal,
    TrialFit,
    replay,
)
from casebank.instruments.closing_moves import FILL_METHODS, MEDICAMENTS
from casebank.instruments.moves import LUBRICANTS
from tests.casebank.instruments.canals import molar, narrowed_molar

TEETH = {"as built": molar(), "narrowed": narrowed_molar()}
WALLS = ("width_mm", "furcation_mm", "outer_mm")
lengths = st.sampled_from([12.0, 17.5, 18.8, 19.3, 19.8, 20.8])
sizes, tapers = st.sampled_from([15, 25, 35, 50]), st.sampled_from([0.02, 0.04, 0.06])
cutting = st.one_of(
    st.builds(HandFile, st.sampled_from([8, 10, 15, 25, 40]), lengths, st.integers(1, 8), st.just("firm")),
    st.builds(EngineFile, st.sampled_from([20, 30, 40]), tapers, lengths),
    st.builds(Recapitulate, lengths),
    st.builds(Irrigate, st.floats(0, 5)),
)
closing = st.one_of(
    st.builds(Lubricate, st.sampled_from(LUBRICANTS)),
    st.builds(Patency, st.sampled_from([6, 8, 10]), st.floats(0, 1)),
    st.builds(ReadElectronically, st.sampled_from([8, 10, 15])),
    st.builds(FilmLength, st.sampled_from([10, 15]), lengths),
    st.builds(FitCone, sizes, tapers, lengths, st.booleans()),
    st.builds(TrialFit, sizes, tapers, lengths),
    st.just(Dry()),
    st.builds(Medicate, st.sampled_from(MEDICAMENTS)),
    st.builds(Seal, lengths),
    st.builds(FillCanal, st.sampled_from(FILL_METHODS), sizes, tapers, lengths),
    st.just(Provisional()),
    st.just(NextVisit()),
    st.just(CoronalSeal()),
)
places = st.sampled_from([(tooth, canal) for tooth in TEETH for canal in ("MB", "D")])
scripts = st.lists(st.one_of(cutting, closing), max_size=7)
law = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def played(place, script) -> Bench:
    tooth, canal = place
    return replay(TEETH[tooth], [(canal, move) for move in script])


@law
@given(places, scripts, closing)
def test_none_of_them_cuts_and_chips_are_neither_made_nor_lost(place, script, move):
    bench, canal = played(place, script), place[1]
    before, after = bench.lumen(canal), bench.make(canal, move)[1].after
    assert all(np.array_equal(getattr(after, name), getattr(before, name)) for name in WALLS)
    chips = before.loose_mm3.sum() + before.packed_mm3.sum()
    assert np.isclose(after.loose_mm3.sum() + after.packed_mm3.sum(), chips)
    assert (after.notches, after.life, after.terminus) == (before.notches, before.life, before.terminus)
    assert after.extruded_mm3 == before.extruded_mm3


@law
@given(places, scripts)
def test_the_same_log_gives_the_same_words_and_the_same_contents(place, script):
    one, other = played(place, script), played(place, script)
    assert [step.felt for step in one.record] == [step.felt for step in other.record]
    assert [step.reach for step in one.record] == [step.reach for step in other.record]
    assert one.lumen(place[1]).contents == other.lumen(place[1]).contents
    assert one.cavity == other.cavity


@law
@given(places, scripts)
def test_lengths_are_told_to_half_a_millimetre_and_reasons_are_not_told(place, script):
    for step in played(place, script).record:
        for number in re.findall(r"(\d+\.\d+) mm", step.felt.words):
            assert isinstance(step.move, Irrigate) or float(number) * 2 == round(float(number) * 2)
        assert step.felt.at_mm is None or step.felt.at_mm * 2 == round(step.felt.at_mm * 2)
        assert all(why.equation not in step.felt.words for why in step.why)


@law
@given(places, scripts, closing)
def test_a_refused_move_leaves_the_state_as_it_was(place, script, move):
    bench, canal = played(place, script), place[1]
    after, step = bench.make(canal, move)
    if step.reach.hold == "refused":
        assert step.after is step.before
        assert after.cavity == bench.cavity
        assert all(after.lumen(name) is bench.lumen(name) for name in bench.canals)
        assert step.events == ()


@law
@given(places, scripts, closing)
def test_a_move_leaves_the_bench_it_was_made_on_alone(place, script, move):
    bench, canal = played(place, script), place[1]
    lumens, record, cavity = dict(bench.lumens), bench.record, bench.cavity
    bench.make(canal, move)
    assert (dict(bench.lumens), bench.record, bench.cavity) == (lumens, record, cavity)


@law
@given(places, scripts, st.sampled_from(LUBRICANTS), st.sampled_from([10, 15, 20, 25]))
def test_a_gel_never_makes_a_hand_file_stop_higher(place, script, agent, size):
    bench, canal = played(place, script), place[1]
    slick = bench.make(canal, Lubricate(agent))[0]
    move = HandFile(size, 19.8)
    assert slick.make(canal, move)[1].reach.tip_mm >= bench.make(canal, move)[1].reach.tip_mm - 5e-3


@law
@given(places, scripts, st.floats(0, 5))
def test_a_rinse_never_leaves_more_of_a_medicament(place, script, ml):
    bench, canal = played(place, script), place[1]
    step = bench.make(canal, Irrigate(ml))[1]
    held = [lumen.contents.medication for lumen in (step.before, step.after)]
    before, after = (medication.left_share if medication else 0.0 for medication in held)
    assert after <= before
