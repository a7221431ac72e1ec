"""Moves that take a measure and change nothing, and the rinse: length, gauge, cone, irrigation."""

import math

from casebank.instruments import damage
from casebank.instruments.debris import rinse
from casebank.instruments.felt import Felt, Hold, Number, Outcome, Reach, Why, not_entered, read_off, stopped_words
from casebank.instruments.iso3630 import Instrument, cone, hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import depth_narrower_mm, passive_stop_mm
from casebank.instruments.moves import FitCone, Gauge, Irrigate, ReadLength
from casebank.instruments.teaching import TEACHING

AT_FORAMEN_MM = 0.05
SNUG_OVER_MM = 3.0
NEEDLE_BINDS = "needle binds where c = OD, and goes no deeper than the working length"


def needle_limit_mm(lumen: Lumen, outer_mm: float) -> float:
    """Depth a needle must stay away from: where it binds, or the working length in a canal wide enough throughout."""
    return min(depth_narrower_mm(lumen, outer_mm), lumen.shape.working_depth_mm)


def safe_needle_mm(lumen: Lumen, outer_mm: float) -> float:
    """Deepest safe needle."""
    return max(0.0, needle_limit_mm(lumen, outer_mm) - TEACHING.needle_back_mm)


def irrigate(lumen: Lumen, move: Irrigate) -> Outcome:
    """Rinse from where the needle stands. Bound, or past the working length, it forces what it carries ahead."""
    if move.ml == 0:
        return Outcome(lumen, Felt("nothing rinsed"), Reach(0.0, 0.0, 0.0, "not entered"))
    limit_mm = needle_limit_mm(lumen, move.needle_mm)
    aim_mm = safe_needle_mm(lumen, move.needle_mm) if move.depth_mm is None else max(0.0, lumen.depth_of(move.depth_mm))
    binds_mm = depth_narrower_mm(lumen, move.needle_mm)
    tip_mm = min(aim_mm, binds_mm)
    at_mm = read_off(lumen, tip_mm)
    tight = move.depth_mm is not None and aim_mm >= binds_mm - 1e-6
    manner = "needle tight, hard to press" if tight else "needle loose"
    felt = Felt(f"{move.ml:g} mL {move.solution}: {manner} at {at_mm:.1f} mm", at_mm)
    numbers = (Number("OD", move.needle_mm, "mm"), Number("safe to", safe_needle_mm(lumen, move.needle_mm), "mm"))
    why = (Why(limit_mm, "needle", NEEDLE_BINDS, numbers),)
    reach = Reach(tip_mm, aim_mm - tip_mm, tip_mm, "rinsed", limit_mm)
    # The limit is worked out from a closed form, so a needle set exactly there counts as being there.
    forced = move.depth_mm is not None and aim_mm >= limit_mm - 1e-6
    return Outcome(rinse(lumen, tip_mm, move.ml), felt, reach, why, (damage.IRRIGANT_FORCED,) if forced else ())


def read_length(lumen: Lumen, move: ReadLength) -> Outcome:
    """Length to the foramen: only when the file goes there without force."""
    file, foramen_mm = hand_file(move.size), lumen.shape.length_mm
    tip_mm = passive_stop_mm(lumen, file, foramen_mm, precurve_per_mm=TEACHING.recapitulation_precurve_per_mm)
    at_mm = read_off(lumen, tip_mm)
    if foramen_mm - tip_mm > AT_FORAMEN_MM:
        felt = Felt(f"{file.spoken}: no steady reading, the file stands at {at_mm:.1f} mm and goes no deeper", at_mm)
        return Outcome(lumen, felt, Reach(tip_mm, foramen_mm - tip_mm, tip_mm, "short"))
    felt = Felt(f"{file.spoken}: the foramen reads at {at_mm:.1f} mm", at_mm)
    why = Why(
        foramen_mm,
        "length",
        "reading = cusp to orifice + canal - slack",
        (Number("canal", foramen_mm, "mm"), Number("slack", lumen.slack_mm, "mm")),
    )
    return Outcome(lumen, felt, Reach(tip_mm, 0.0, tip_mm, "read"), (why,))


def gauge(lumen: Lumen, move: Gauge) -> Outcome:
    """A hand file laid in without force."""
    return _laid_in(lumen, hand_file(move.size), move.to_mm, "gauge")


def fit_cone(lumen: Lumen, move: FitCone) -> Outcome:
    """A master cone laid in without force; its fit is geometry."""
    return _laid_in(lumen, cone(move.size, move.taper), move.to_mm, "cone")


def _laid_in(lumen: Lumen, instrument: Instrument, to_mm: float, what: str) -> Outcome:
    goal_mm = lumen.depth_of(to_mm)
    if goal_mm <= 0:
        return not_entered(lumen, instrument, goal_mm)
    tip_mm = passive_stop_mm(lumen, instrument, goal_mm)
    short_mm, at_mm = goal_mm - tip_mm, read_off(lumen, tip_mm)
    hold: Hold = "short"
    if short_mm > TEACHING.reading_mm:
        words = stopped_words("stops", at_mm, short_mm)
    else:
        hold = "snug" if _clearance_mm(lumen, instrument, tip_mm) <= TEACHING.snug_mm else "loose"
        words = f"{hold} at {at_mm:.1f} mm" if what == "gauge" else _cone_words(hold, at_mm)
    numbers = (Number("D0", instrument.tip_mm, "mm"), Number("T", instrument.taper, "mm/mm"))
    why = Why(tip_mm, what, "p = min over s of s + (c - D0) / T", (*numbers, Number("p", tip_mm, "mm")))
    felt = Felt(f"{what}, {instrument.spoken}: {words}", at_mm)
    return Outcome(lumen, felt, Reach(tip_mm, short_mm, tip_mm, hold), (why,))


def _cone_words(hold: Hold, at_mm: float) -> str:
    return f"goes to {at_mm:.1f} mm, " + (
        "with a little pull on the way out" if hold == "snug" else "no pull, it is loose"
    )


def _clearance_mm(lumen: Lumen, instrument: Instrument, tip_mm: float) -> float:
    """Least play over the last millimetres behind the tip."""
    levels = lumen.shape.levels_mm
    near = (levels <= tip_mm) & (levels >= tip_mm - SNUG_OVER_MM)
    if not near.any():
        return math.inf
    return float((lumen.width_mm - instrument.diameters_mm(tip_mm - levels))[near].min())
