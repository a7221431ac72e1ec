"""The electronic locator: right to half a millimetre, and wrong where blood, a hole or metal leads the current away.

The spread of a steady reading is the tolerance studies of locators use; how far a spoilt one is off is a teaching
choice. Nothing is random: the same canal, prepared to the same size, reads the same.
"""

from dataclasses import dataclass

from casebank.instruments.damage import perforation_mm
from casebank.instruments.felt import Felt, Number, Outcome, Reach, Why, half_mm, read_off
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.moves import ReadElectronically
from casebank.instruments.settled import settled_share
from casebank.instruments.teaching import TEACHING

AT_FORAMEN_MM = 0.05
ROUNDING_MM = 0.25  # reading it off to half a millimetre takes up so much of the tolerance
LEAKS_FROM, LEAKS_TO = 0.2, 0.6  # share of the canal at which current led away shows the end: a teaching choice


@dataclass(frozen=True)
class Spoilt:
    """Why a reading is wrong, and the depth below the orifice at which it shows the end."""

    cause: str
    shows_mm: float


def read_electronically(lumen: Lumen, move: ReadElectronically, *, metal: bool = False) -> Outcome:
    """Length to where the locator shows the end, rounded to half a millimetre.

    Parameters
    ----------
    metal : bool
        Whether a crown or large filling of metal leads the current away while the chamber is wet.
    """
    file, foramen_mm = hand_file(move.size), lumen.shape.length_mm
    tip_mm = passive_stop_mm(lumen, file, foramen_mm, precurve_per_mm=TEACHING.recapitulation_precurve_per_mm)
    spoilt = _spoilt(lumen, metal)
    if spoilt and min(spoilt.shows_mm, foramen_mm) <= tip_mm + AT_FORAMEN_MM:
        at_mm = read_off(lumen, spoilt.shows_mm)
        words = f"{file.spoken}: the display jumps, unsteady; it shows the end at {at_mm:.1f} mm"
        why = Why(spoilt.shows_mm, spoilt.cause, "current leaves before the foramen, or around it", ())
        reach = Reach(tip_mm, foramen_mm - tip_mm, tip_mm, "unsteady")
        return Outcome(lumen, Felt(words, at_mm), reach, (why,))
    if foramen_mm - tip_mm > AT_FORAMEN_MM:
        at_mm = read_off(lumen, tip_mm)
        words = f"{file.spoken}: the end does not show, the file stands at {at_mm:.1f} mm and goes no deeper"
        return Outcome(lumen, Felt(words, at_mm), Reach(tip_mm, foramen_mm - tip_mm, tip_mm, "short"))
    off_mm = (2 * _share(lumen, "steady") - 1) * (TEACHING.locator_mm - ROUNDING_MM)
    at_mm = half_mm(lumen.reading_of(foramen_mm) + off_mm)
    numbers = (Number("foramen", lumen.reading_of(foramen_mm), "mm"), Number("off", off_mm, "mm"))
    why = Why(foramen_mm, "length", "reading = foramen + off, rounded to 0.5 mm", numbers)
    felt = Felt(f"{file.spoken}: steady, the end shows at {at_mm:.1f} mm", at_mm)
    return Outcome(lumen, felt, Reach(tip_mm, 0.0, tip_mm, "read"), (why,))


def _spoilt(lumen: Lumen, metal: bool) -> Spoilt | None:
    """What spoils a reading: metal at the wet chamber, then a hole, then blood."""
    length_mm = lumen.shape.length_mm
    if metal and lumen.wet > TEACHING.locator_wet:
        return Spoilt("metal", length_mm * (LEAKS_FROM + (LEAKS_TO - LEAKS_FROM) * _share(lumen, "metal")))
    holed_mm = perforation_mm(lumen)
    if holed_mm is not None:
        return Spoilt("perforation", holed_mm)
    if lumen.contents.bleeding != "none":
        off_mm = TEACHING.locator_wrong_mm * (1 + _share(lumen, "blood"))
        reads_long = _share(lumen, "way") < 1 / 2
        return Spoilt("blood", length_mm + (off_mm if reads_long else -off_mm))
    return None


def _share(lumen: Lumen, what: str) -> float:
    size = lumen.terminus.size if lumen.terminus else 0
    return settled_share(what, lumen.shape.name, round(lumen.shape.length_mm, 2), size)
