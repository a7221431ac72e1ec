"""The working-length film: an instrument stands in the canal, and what of it shows against the root's end.

Taken straight on. The picture itself, and what a beam at an angle makes of it, are made from where the tip truly is.
"""

from casebank.instruments.felt import Felt, Number, Outcome, Reach, Why, half_mm, not_entered, read_off
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.moves import FilmLength
from casebank.instruments.teaching import TEACHING


def film_length(lumen: Lumen, move: FilmLength) -> Outcome:
    """A film with a hand file set to a length; where the canal holds it back it stands there."""
    file, goal_mm = hand_file(move.size), lumen.depth_of(move.to_mm)
    if goal_mm <= 0:
        return not_entered(lumen, file, goal_mm)
    tip_mm = passive_stop_mm(lumen, file, goal_mm, precurve_per_mm=TEACHING.recapitulation_precurve_per_mm)
    at_mm, gap_mm = read_off(lumen, tip_mm), lumen.shape.length_mm + lumen.shape.foramen_to_apex_mm - tip_mm
    held = "" if goal_mm - tip_mm <= TEACHING.reading_mm else ", and goes no deeper"
    words = f"{file.spoken}: stands at {at_mm:.1f} mm{held}; its tip is {_seen(gap_mm)} on the film"
    numbers = (
        Number("foramen", lumen.shape.length_mm, "mm"),
        Number("root's end beyond it", lumen.shape.foramen_to_apex_mm, "mm"),
        Number("tip", tip_mm, "mm"),
    )
    why = Why(tip_mm, "film", "gap = foramen + root's end beyond it - tip", numbers)
    return Outcome(lumen, Felt(words, at_mm), Reach(tip_mm, goal_mm - tip_mm, tip_mm, "filmed"), (why,))


def _seen(gap_mm: float) -> str:
    """A tip against the root's end, as an eye measures it."""
    seen_mm = half_mm(abs(gap_mm))
    if seen_mm == 0:
        return "at the root's end"
    return f"about {seen_mm:.1f} mm {'short of' if gap_mm > 0 else 'beyond'} the root's end"
