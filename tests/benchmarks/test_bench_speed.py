"""How long a move at the bench takes: 2 ms on average, none above 5 ms. The least of many runs is judged, so load on
the machine does not decide."""

import pytest

from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    ReadLength,
    Recapitulate,
    replay,
)
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.sequences import SOUND

MOST_S, AIM_S = 0.005, 0.002


@pytest.mark.parametrize(
    "move",
    [
        HandFile(10, 19.8, 12),
        HandFile(8, 19.8, 12, precurve_per_mm=0.1),
        HandFile(30, 19.3, 12, "firm"),
        EngineFile(25, 0.06, 19.3, 3),
        EngineFile(50, 0.06, 19.3, 3, "firm", "away"),
        CoronalFlare(8.0, 30),
        Irrigate(),
        Recapitulate(19.8),
        ReadLength(),
        Gauge(25, 19.3),
        FitCone(35, 0.04, 19.3),
    ],
    ids=lambda move: f"{move.kind}-{getattr(move, 'size', '')}",
)
def test_the_heaviest_form_of_each_move(benchmark, move):
    bench = replay(narrowed_molar(), [("MB", Irrigate())])
    benchmark(bench.make, "MB", move)
    assert benchmark.stats.stats.min < MOST_S


def test_a_whole_treatment_replayed(benchmark):
    bench = benchmark(replay, molar(), SOUND)
    assert benchmark.stats.stats.min / len(bench.record) < AIM_S
