"""The rinse, and the length read by locator and film together."""

from casebank.instruments import damage
from casebank.instruments.debris import rinse
from casebank.instruments.dressing import PASTE, washed
from casebank.instruments.felt import Felt, Number, Outcome, Reach, Why, read_off
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import depth_narrower_mm, passive_stop_mm
from casebank.instruments.moves import Irrigate, ReadLength
from casebank.instruments.teaching import TEACHING

AT_FORAMEN_MM = 0.05
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
    medication = lumen.contents.medication
    comes_out = f", {PASTE[medication.agent]} comes out with it" if medication else ""
    felt = Felt(f"{move.ml:g} mL {move.solution}: {manner} at {at_mm:.1f} mm{comes_out}", at_mm)
    numbers = (Number("OD", move.needle_mm, "mm"), Number("safe to", safe_needle_mm(lumen, move.needle_mm), "mm"))
    why = (Why(limit_mm, "needle", NEEDLE_BINDS, numbers),)
    reach = Reach(tip_mm, aim_mm - tip_mm, tip_mm, "rinsed", limit_mm)
    # The limit is worked out from a closed form, so a needle set exactly there counts as being there.
    forced = move.depth_mm is not None and aim_mm >= limit_mm - 1e-6
    after = washed(lumen, rinse(lumen, tip_mm, move.ml), tip_mm, move)
    return Outcome(after, felt, reach, why, (damage.IRRIGANT_FORCED,) if forced else ())


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
