"""How long the bench takes: a move 2 ms in the middle and 5 ms at most, 40 moves 60 ms, a log of 200 moves 150 ms.

Time of the processor is taken, so that other work on the machine counts little; of many runs the least is judged
against the most a move may take, and the middle one against what it should.
"""

from statistics import median
from time import process_time

import pytest

from casebank.instruments import (
    Bench,
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    ReadLength,
    Recapitulate,
    replay,
)
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.sequences import SOUND

MOST_S, MIDDLE_S = 0.005, 0.002
FORTY_S, TWO_HUNDRED_S = 0.060, 0.150

HEAVIEST: tuple[Move, ...] = (
    HandFile(10, 19.8, 12),
    HandFile(8, 19.8, 12, precurve_per_mm=0.1),
    HandFile(30, 19.3, 12, "firm"),
    EngineFile(25, 0.06, 19.3, 3),
    EngineFile(20, 0.04, 19.3, 3, "light", "away"),
    EngineFile(50, 0.06, 19.3, 3, "firm", "away"),
    CoronalFlare(8.0, 30),
    Irrigate(),
    Recapitulate(19.8),
    ReadLength(),
    Gauge(25, 19.3),
    FitCone(35, 0.04, 19.3),
)
MUDDY: tuple[Move, ...] = (
    Irrigate(),
    HandFile(10, 19.8, 6),
    HandFile(15, 19.3, 6),
    EngineFile(25, 0.06, 19.3, 2),
    EngineFile(25, 0.06, 19.3),
)


def bench_after(*moves: Move) -> Bench:
    return replay(narrowed_molar(), [("MB", move) for move in moves])


def taken_s(bench: Bench, move: Move, runs: int = 40) -> list[float]:
    """Time of the processor for one move, run by run."""
    bench.make("MB", move)
    times = []
    for _ in range(runs):
        begun = process_time()
        bench.make("MB", move)
        times.append(process_time() - begun)
    return sorted(times)


@pytest.mark.parametrize("before", [(Irrigate(),), MUDDY], ids=["untouched", "muddy"])
@pytest.mark.parametrize("move", HEAVIEST, ids=lambda move: f"{move.kind}-{getattr(move, 'size', '')}")
def test_the_heaviest_form_of_each_move(before, move):
    times = taken_s(bench_after(*before), move)
    assert times[0] < MOST_S
    assert median(times) < MIDDLE_S


@pytest.mark.benchmark(timer=process_time)
def test_a_whole_treatment_replayed(benchmark):
    bench = benchmark(replay, molar(), SOUND)
    assert len(bench.record) == 102
    assert benchmark.stats.stats.min / len(bench.record) < MIDDLE_S


@pytest.mark.benchmark(timer=process_time)
def test_forty_moves(benchmark):
    # each kind in its heaviest form in turn: heavier than what a student does in forty moves
    bench = bench_after(Irrigate())

    def forty():
        return [bench.make("MB", HEAVIEST[number % len(HEAVIEST)])[1] for number in range(40)]

    assert "refused" not in {step.reach.hold for step in benchmark(forty)}
    assert benchmark.stats.stats.min < FORTY_S


@pytest.mark.benchmark(timer=process_time)
def test_a_log_of_two_hundred_moves_replayed(benchmark):
    log = (SOUND * 2)[:200]
    bench = benchmark(replay, molar(), log)
    assert len(bench.record) == 200
    assert "refused" not in {step.reach.hold for step in bench.record}
    assert benchmark.stats.stats.min < TWO_HUNDRED_S
