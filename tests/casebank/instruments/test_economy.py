"""Moves that brought nothing: counted one by one, and only beyond a tenth of all."""

import pytest

from casebank.instruments import (
    Bench,
    CoronalFlare,
    EngineFile,
    FilmLength,
    Gauge,
    HandFile,
    Irrigate,
    Recapitulate,
    replay,
)
from casebank.instruments.economy import economy, wasted
from tests.casebank.instruments.canals import molar, narrowed_molar, tight_mouthed_molar
from tests.casebank.instruments.sequences import RINSE, SOUND

TEN = HandFile(10, 19.8)


def lost(*moves, tooth=None):
    record = replay(tooth or molar(), [("MB", move) for move in moves]).record_of("MB")
    return [step.number for step, _ in wasted(record)]


def test_a_sound_treatment_wastes_nothing():
    bench = replay(molar(), SOUND)
    found = economy(bench)
    assert found.is_full
    assert found.of == len(SOUND)
    assert [wasted(bench.record_of(canal)) for canal in bench.canals] == [(), (), ()]


@pytest.mark.parametrize(
    ("moves", "numbers"),
    [
        pytest.param([RINSE, TEN, TEN], [3], id="a file that was loose at length, at once again"),
        pytest.param([RINSE, TEN, RINSE, TEN], [], id="rinsed in between"),
        pytest.param([RINSE, RINSE], [], id="a rinse is never wasted"),
        pytest.param([RINSE, TEN, Recapitulate(19.8)], [], id="nor is a recapitulation"),
        pytest.param([RINSE, HandFile(10, 2.0)], [2], id="a stop set above the orifice"),
        pytest.param([Irrigate(ml=0)], [1], id="an empty syringe"),
        pytest.param([RINSE, Gauge(30, 19.3), Gauge(30, 19.3)], [3], id="the same gauge, the same stop"),
        pytest.param([RINSE, TEN, *[FilmLength(10, 19.3), RINSE] * 3], [7], id="the third film of one canal"),
    ],
)
def test_what_brings_nothing_is_numbered(moves, numbers):
    assert lost(*moves) == numbers


def test_a_flare_that_finds_no_room_has_told_something():
    flare = CoronalFlare(4.0)
    assert lost(RINSE, flare, tooth=tight_mouthed_molar()) == []


def test_moves_after_a_separation_are_for_nothing():
    forced = [EngineFile(25, 0.06, 19.3, push="firm")] * 6
    bench = replay(narrowed_molar(), [("MB", move) for move in (RINSE, *forced)])
    assert bench.lumen("MB").fragment
    after, step = bench.make("MB", RINSE)
    assert step.number in [one.number for one, _ in wasted(after.record_of("MB"))]


def test_up_to_a_tenth_is_let_pass_and_more_is_counted_whole():
    # twenty moves, two of them for nothing: a tenth; one film more that answers nothing: 3 of 21
    moves = [*[RINSE, TEN] * 8, TEN, RINSE, TEN, TEN]
    bench = replay(molar(), [("MB", move) for move in moves])
    assert [step.number for step, _ in wasted(bench.record_of("MB"))] == [17, 20]
    assert economy(bench).is_full
    found = economy(bench, films=1, extra_films=1)
    assert (found.met, found.of) == (18, 21)
    assert len(found.notes) == 3


def test_an_untouched_bench_earns_nothing():
    assert economy(Bench.of(molar())).met == 0


def test_more_extra_films_than_films_are_refused():
    with pytest.raises(ValueError, match="2 of 1 further films"):
        economy(Bench.of(molar()), films=1, extra_films=2)
