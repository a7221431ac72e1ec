"""Instruments laid in without force, to feel how they fit: gauge, cone, trial instrument. Their fit is geometry.

What is tried in is remembered, because the filling is made with it. A cone that was not gauged is as wide at its tip as
it happens to be: by the canal and the label alone it is settled whether it is in gauge, small or large.
"""

import math
from dataclasses import replace

from casebank.instruments.closing_moves import TrialFit
from casebank.instruments.contents import Contents, Fit, TriedIn
from casebank.instruments.disinfection import cone_tolerance_mm
from casebank.instruments.felt import Felt, Number, Outcome, Reach, Why, not_entered, read_off, stopped_words
from casebank.instruments.iso3630 import Instrument, cone, hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.moves import FitCone, Gauge
from casebank.instruments.settled import settled_share
from casebank.instruments.teaching import TEACHING

SNUG_OVER_MM = 3.0
LAID_IN = "p = min over s of s + (c - D0) / T"


def gauge(lumen: Lumen, move: Gauge) -> Outcome:
    """A hand file laid in without force."""
    file, goal_mm = hand_file(move.size), lumen.depth_of(move.to_mm)
    if goal_mm <= 0:
        return not_entered(lumen, file, goal_mm)
    tip_mm, fit = laid_in(lumen, file, goal_mm)
    at_mm = read_off(lumen, tip_mm)
    words = stopped_words("stops", at_mm, goal_mm - tip_mm) if fit == "short" else f"{fit} at {at_mm:.1f} mm"
    return _tried(lumen, file, goal_mm, tip_mm, fit, "gauge", words)


def fit_cone(lumen: Lumen, move: FitCone) -> Outcome:
    """A master cone laid in without force."""
    off_mm = 0.0 if move.gauged else off_label_mm(lumen, move.size, move.taper)
    snug, loose = "goes to {at} mm, with a little pull on the way out", "goes to {at} mm, no pull, it is loose"
    outcome, cone_in = _tried_in(lumen, move, off_mm, "cone", snug, loose)
    return _kept(outcome, replace(lumen.contents, cone=cone_in)) if cone_in else outcome


def trial_fit(lumen: Lumen, move: TrialFit) -> Outcome:
    """A trial instrument, true to its label, laid in without force."""
    snug, loose = "goes to {at} mm and touches all round", "drops to {at} mm, it is loose"
    outcome, trial_in = _tried_in(lumen, move, 0.0, "trial instrument", snug, loose)
    return _kept(outcome, replace(lumen.contents, trial=trial_in)) if trial_in else outcome


def _tried_in(
    lumen: Lumen, move: FitCone | TrialFit, off_mm: float, what: str, snug: str, loose: str
) -> tuple[Outcome, TriedIn | None]:
    """Something shaped as a cone, tried in; nothing is kept of one that did not enter."""
    point, goal_mm = cone(move.size, move.taper, off_mm), lumen.depth_of(move.to_mm)
    if goal_mm <= 0:
        return not_entered(lumen, point, goal_mm), None
    tip_mm, fit = laid_in(lumen, point, goal_mm)
    at_mm = read_off(lumen, tip_mm)
    if fit == "short":
        words = stopped_words("stops", at_mm, goal_mm - tip_mm)
    else:
        words = (snug if fit == "snug" else loose).format(at=f"{at_mm:.1f}")
    outcome = _tried(lumen, point, goal_mm, tip_mm, fit, what, words)
    return outcome, TriedIn(move.size, move.taper, off_mm, tip_mm, fit)


def laid_in(lumen: Lumen, instrument: Instrument, goal_mm: float) -> tuple[float, Fit]:
    """Depth to which an instrument goes without force, and how it holds there."""
    tip_mm = passive_stop_mm(lumen, instrument, goal_mm)
    if goal_mm - tip_mm > TEACHING.reading_mm:
        return tip_mm, "short"
    return tip_mm, "snug" if _clearance_mm(lumen, instrument, tip_mm) <= TEACHING.snug_mm else "loose"


def off_label_mm(lumen: Lumen, size: int, taper: float) -> float:
    """How far the tip of a cone from the box is off its label: the tolerance either way, or nothing.

    As many are small, and as many large, as Bielawiec et al. found (J Pre-Clin Clin Res 2023;17:70).
    """
    share = settled_share("cone", lumen.shape.name, round(lumen.shape.length_mm, 2), size, round(taper, 2))
    if share < TEACHING.cone_small_share:
        return -cone_tolerance_mm(size)
    return cone_tolerance_mm(size) if share >= 1 - TEACHING.cone_large_share else 0.0


def _tried(
    lumen: Lumen, instrument: Instrument, goal_mm: float, tip_mm: float, fit: Fit, what: str, words: str
) -> Outcome:
    numbers = (Number("D0", instrument.tip_mm, "mm"), Number("T", instrument.taper, "mm/mm"))
    why = Why(tip_mm, what, LAID_IN, (*numbers, Number("p", tip_mm, "mm")))
    felt = Felt(f"{what}, {instrument.spoken}: {words}", read_off(lumen, tip_mm))
    return Outcome(lumen, felt, Reach(tip_mm, goal_mm - tip_mm, tip_mm, fit), (why,))


def _kept(outcome: Outcome, contents: Contents) -> Outcome:
    return replace(outcome, lumen=replace(outcome.lumen, contents=contents))


def _clearance_mm(lumen: Lumen, instrument: Instrument, tip_mm: float) -> float:
    """Least play over the last millimetres behind the tip."""
    levels = lumen.shape.levels_mm
    near = (levels <= tip_mm) & (levels >= tip_mm - SNUG_OVER_MM)
    if not near.any():
        return math.inf
    return float((lumen.width_mm - instrument.diameters_mm(tip_mm - levels))[near].min())
