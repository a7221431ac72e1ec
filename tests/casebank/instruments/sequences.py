"""Treatments for tests: a sound one of the lower molar by hand, and seeded ones, defensible or with one fault."""

import random
from dataclasses import dataclass, field

from casebank.anatomy import Tooth
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
    Record,
    Step,
)
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import passive_stop_mm
from tests.casebank.instruments.canals import FORAMEN_MM

RINSE = Irrigate()
FAULTS = ("no path", "no irrigation", "no recapitulation", "skipped sizes", "brushed toward", "no length")


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


@dataclass
class Operator:
    """Someone at the bench who chooses, from a seed, among what the trade would defend."""

    bench: Bench
    canal: str
    dice: random.Random
    fault: str | None = None
    flared: bool = field(default=False, init=False)

    @property
    def foramen_mm(self) -> float:
        lumen = self.bench.lumen(self.canal)
        return round(lumen.reading_of(lumen.shape.length_mm), 1)

    def make(self, move: Move) -> Step:
        self.bench, step = self.bench.make(self.canal, move)
        return step

    def rinse(self) -> None:
        if self.fault != "no irrigation":
            self.make(Irrigate(ml=self.dice.choice([1.0, 2.0, 3.0])))

    def file(self, size: int, to_mm: float) -> Step:
        self.rinse()
        strokes, precurve = self.dice.randint(4, 8), self.dice.choice([0.05, 0.1, 0.15])
        return self.make(HandFile(size, to_mm, strokes, precurve_per_mm=precurve))

    def flare(self) -> None:
        toward = self.fault == "brushed toward"
        self.rinse()
        strokes = self.dice.choice([3, 4, 5]) * (4 if toward else 1)
        side = "toward" if toward else "away"
        step = self.make(CoronalFlare(self.dice.choice([3.0, 4.0, 5.0]), strokes, side))
        self.flared = step.reach.hold == "brushed"

    def slides(self, size: int) -> bool:
        lumen = self.bench.lumen(self.canal)
        return passive_stop_mm(lumen, hand_file(size), lumen.shape.length_mm) >= lumen.shape.length_mm - 0.02

    def find_the_path(self) -> None:
        self.rinse()
        self.make(HandFile(10, 15.0, 3))
        self.flare()
        if self.fault == "no path":
            return
        for _ in range(14):
            if self.slides(10):
                break
            for size in self.dice.choice([(8, 10), (6, 8, 10), (8, 8, 10)]):
                self.file(size, self.foramen_mm)
            if not self.flared:
                self.flare()
        for _ in range(2):
            self.file(10, self.foramen_mm)
        if self.fault != "no length":
            self.make(ReadLength())
        for _ in range(6):
            if self.file(15, self.foramen_mm - 0.5).reach.at_length:
                break

    def shape(self, size: int, taper: float) -> None:
        forced = self.fault in ("no path", "skipped sizes")
        for _ in range(12):
            self.rinse()
            brush = None if self.fault == "brushed toward" else self.dice.choice([None, "away"])
            push = "firm" if forced else "light"
            step = self.make(EngineFile(size, taper, self.foramen_mm - 0.5, 1, push, brush))
            if self.fault != "no recapitulation":
                self.rinse()
                self.make(Recapitulate(self.foramen_mm))
            if step.reach.at_length or step.after.fragment:
                return

    def gauge(self, size: int) -> bool:
        fits = self.make(Gauge(size, self.foramen_mm - 0.5)).reach.at_length
        return fits and not self.make(Gauge(size + 5, self.foramen_mm - 0.5)).reach.at_length


def treated(tooth: Tooth, canal: str, seed: int, fault: str | None = None) -> Record:
    """The record of one canal treated by a seeded operator."""
    operator = Operator(Bench.of(tooth), canal, random.Random(seed), fault)
    operator.find_the_path()
    wide = canal == "D"
    plans = [[30, 35, 40, 45], [35, 40], [30, 40]] if wide else [[20, 25, 30, 35], [20, 25, 30], [20, 30], [25, 30]]
    sizes = [50 if wide else 45] if fault == "skipped sizes" else operator.dice.choice(plans)
    taper = 0.06 if fault == "skipped sizes" else 0.04
    for size in sizes:
        operator.shape(size, taper)
    if fault != "no length":
        operator.rinse()
        operator.make(ReadLength())
    for _ in range(3):
        if operator.gauge(sizes[-1]):
            break
        operator.shape(sizes[-1], taper)
    operator.make(FitCone(sizes[-1], taper, operator.foramen_mm - 0.5))
    return operator.bench.record_of(canal)
