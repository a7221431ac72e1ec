"""A sound treatment of the lower molar for tests, by hand."""

from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    ReadLength,
    Recapitulate,
)
from tests.casebank.instruments.canals import FORAMEN_MM

RINSE = Irrigate()


def sound_moves(foramen_mm: float, gauges: tuple[int, int], files: tuple[int, ...]) -> list[Move]:
    """Scout, flare, path, length, gauge, shape with a small file back at length each time, gauge, last rinse, cone."""
    length_mm = round(foramen_mm - 0.5, 1)
    moves: list[Move] = [
        RINSE,
        HandFile(10, to_mm=15.0),
        RINSE,
        CoronalFlare(depth_mm=4.0),
        RINSE,
        HandFile(10, to_mm=foramen_mm, precurve_per_mm=0.1),
        ReadLength(),
        RINSE,
        HandFile(15, to_mm=length_mm, precurve_per_mm=0.1),
        RINSE,
        Gauge(gauges[0], to_mm=length_mm),
        Gauge(gauges[1], to_mm=length_mm),
    ]
    for size in files:
        moves += [EngineFile(size, 0.04, to_mm=length_mm), RINSE, Recapitulate(to_mm=foramen_mm), RINSE]
    return [
        *moves,
        ReadLength(),
        Gauge(files[-1], to_mm=length_mm),
        Gauge(files[-1] + 5, to_mm=length_mm),
        Irrigate(ml=2.0, solution="EDTA"),
        Irrigate(ml=5.0),
        FitCone(files[-1], 0.04, to_mm=length_mm),
    ]


SOUND: list[tuple[str, Move]] = [
    *(("MB", move) for move in sound_moves(FORAMEN_MM["MB"], (20, 25), (20, 25, 30, 35))),
    *(("ML", move) for move in sound_moves(FORAMEN_MM["ML"], (20, 25), (20, 25, 30, 35))),
    *(("D", move) for move in sound_moves(FORAMEN_MM["D"], (30, 35), (30, 35, 40, 45))),
]
