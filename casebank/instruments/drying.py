"""Paper points: what dries a canal, and what they tell when one will not come out dry."""

from dataclasses import replace

from casebank.instruments.dressing import PASTE
from casebank.instruments.felt import Felt, Hold, Outcome, Reach, read_off
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.teaching import TEACHING

POINT = Instrument(15)  # a thin paper point, taken as wide as the hand file of its label
NEAR_ENOUGH_MM = 1.0  # paper draws up moisture from a little ahead of its tip: a teaching choice


def dry(lumen: Lumen) -> Outcome:
    """Paper points, one after another. A foramen that was torn, or that bleeds, keeps the last of them moist."""
    shape, contents = lumen.shape, lumen.contents
    goal_mm = shape.working_depth_mm
    tip_mm = passive_stop_mm(lumen, POINT, goal_mm)
    at_mm = read_off(lumen, tip_mm)
    torn = lumen.width_mm[-1] > TEACHING.foramen_torn * shape.width_mm[-1]
    hold: Hold
    if goal_mm - tip_mm > NEAR_ENOUGH_MM:
        hold, words = "short", f"stop at {at_mm:.1f} mm; what lies deeper is not dried"
    elif contents.bleeding != "none":
        hold, words = "bloody", "one after the other comes out with blood on its tip"
    elif torn:
        hold, words = "moist", "the tip of the last one is still moist; the end of the canal lets fluid in"
    else:
        hold, words = "dry", "the last one comes out dry"
    if contents.medication:
        words += f", with {PASTE[contents.medication.agent]} on it"
    after = replace(lumen, wet=0.0, contents=replace(contents, dried=hold == "dry", gel=None))
    return Outcome(after, Felt(f"paper points: {words}"), Reach(tip_mm, goal_mm - tip_mm, tip_mm, hold))
