"""Canals of different teeth for what the trade says: the lower molar, bundled cases, and drawn teeth."""

from dataclasses import dataclass, replace
from functools import cached_property

from casebank.anatomy import Narrowing, Tooth
from casebank.anatomy.vary import vary
from casebank.instruments import Bench, HandFile, Irrigate, Lumen, Move, Recapitulate, Step, replay
from fixtures.sequences import bundled_teeth
from tests.casebank.instruments.canals import molar, narrowed_molar, tight_mouthed_molar

RINSE = Irrigate()
BUNDLED = bundled_teeth()


@dataclass(frozen=True)
class Place:
    """One canal of a tooth; lengths from the reference cusp."""

    tooth: Tooth
    canal: str

    @cached_property
    def foramen_mm(self) -> float:
        return round(self.tooth.canal(self.canal).total_mm, 2)

    @property
    def working_mm(self) -> float:
        return round(self.foramen_mm - 0.5, 2)

    def played(self, *moves: Move) -> Bench:
        return replay(self.tooth, [(self.canal, move) for move in moves])

    def last(self, *moves: Move) -> Step:
        return self.played(*moves).record[-1]

    def lumen(self, *moves: Move) -> Lumen:
        return self.played(*moves).lumen(self.canal)

    def scout(self, size: int, strokes: int = 6, precurve_per_mm: float = 0.1) -> HandFile:
        return HandFile(size, self.foramen_mm, strokes, precurve_per_mm=precurve_per_mm)

    def recapitulated(self) -> tuple[Move, ...]:
        return RINSE, Recapitulate(self.foramen_mm), RINSE


def _drawn(number: int, seed: int, canal: str, *narrowings: Narrowing) -> Place:
    tooth = vary(number, seed).tooth
    canals = tuple(replace(each, narrowings=narrowings) if each.name == canal else each for each in tooth.canals)
    return Place(replace(tooth, canals=canals), canal)


MOLAR = {
    "lower molar MB": Place(molar(), "MB"),
    "lower molar ML": Place(molar(), "ML"),
    "lower molar D": Place(molar(), "D"),
}
CURVED = {
    "lower molar MB": MOLAR["lower molar MB"],
    "map-engraver MB1": Place(BUNDLED["map-engraver"], "MB1"),
    "drawn 46 MB": _drawn(46, 2, "MB"),
}
# foramina of 0.40, 0.34 and 0.28 mm
SMALL_ENDED = {
    "lower molar MB": MOLAR["lower molar MB"],
    "map-engraver MB1": CURVED["map-engraver MB1"],
    "drawn 26 MB1": _drawn(26, 2, "MB1"),
}
# a hard narrowing half-way down, less wide than the 0.070 mm a pushed 10 follows (0.7 of its tip)
NARROWED = {
    "lower molar MB": Place(narrowed_molar(), "MB"),
    "lower molar ML": Place(narrowed_molar(), "ML"),
    "drawn 36 MB": _drawn(36, 1, "MB", Narrowing(7.5, 0.066, 3.0)),
}
# a 10 enters, and is gripped high up
TIGHT = {
    "lower molar MB": Place(tight_mouthed_molar(), "MB"),
    "bread-biter Li": Place(BUNDLED["bread-biter"], "Li"),
    "drawn 26 MB1": _drawn(26, 2, "MB1", Narrowing(1.5, 0.16, 2.0)),
}
# an orifice of 0.07 mm: not even a 10 enters by itself
SHUT = {
    "lower molar ML": Place(tight_mouthed_molar(), "ML"),
    "drawn 46 ML": _drawn(46, 2, "ML", Narrowing(0.0, 0.07, 2.0)),
}
