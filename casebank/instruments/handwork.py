"""A hand file worked to a length, stroke by stroke."""

from dataclasses import replace

from casebank.instruments import damage
from casebank.instruments.cutting import widen
from casebank.instruments.debris import settle, stir
from casebank.instruments.felt import (
    HAND_WORDS,
    Felt,
    Hold,
    Outcome,
    Reach,
    Why,
    because,
    because_barred,
    because_it_bows,
    not_entered,
    read_off,
    stopped_words,
)
from casebank.instruments.iso3630 import Instrument, hand_file
from casebank.instruments.lumen import Lumen, Terminus
from casebank.instruments.mechanics import Cause, Grip, binding, borne_n, passive_stop_mm, worked_stop_mm
from casebank.instruments.moves import HandFile, Recapitulate
from casebank.instruments.reasons import reasons
from casebank.instruments.teaching import TEACHING

STUCK_MM = 1e-3
SCOUT_SIZE, PATH_SIZE = 10, 15  # the largest that only finds the way, and the largest that only widens it
NEAR_THE_END_MM = 1.0
FEEL_MM = 4.0  # length behind the tip over which the hand judges loose or snug


def push_n(push: str) -> float:
    """Axial force of a light or a firm hand."""
    return TEACHING.push_firm_n if push == "firm" else TEACHING.push_light_n


def recapitulate(lumen: Lumen, move: Recapitulate) -> Outcome:
    """A small file, a little pre-curved, back to length with a light hand."""
    return work(
        lumen,
        HandFile(
            move.size,
            move.to_mm,
            strokes=int(TEACHING.recapitulation_strokes),
            precurve_per_mm=TEACHING.recapitulation_precurve_per_mm,
        ),
    )


def work(lumen: Lumen, move: HandFile) -> Outcome:
    """Lay the file in, then stroke: each stroke stirs, goes as deep as it may, and cuts."""
    file, grip = hand_file(move.size), Grip(push_n(move.push), move.precurve_per_mm)
    goal_mm = lumen.depth_of(move.to_mm)
    if goal_mm <= 0 or move.strokes == 0:
        return not_entered(lumen, file, goal_mm)
    before = lumen
    tip_mm = passive_stop_mm(lumen, file, goal_mm, precurve_per_mm=move.precurve_per_mm)
    most_mm = TEACHING.zone_mm + TEACHING.bite_mm / file.taper
    chips, stuck = 0.0 * lumen.width_mm, 0
    for stroke in range(1, move.strokes + 1):
        at_start = lumen
        lumen = stir(lumen, file, tip_mm)
        limit_mm = min(goal_mm, tip_mm + most_mm)
        deeper_mm = worked_stop_mm(lumen, file, grip, start_mm=tip_mm, limit_mm=limit_mm)
        is_stuck = deeper_mm - tip_mm < STUCK_MM and deeper_mm < goal_mm - STUCK_MM
        stuck, moved, tip_mm = stuck + is_stuck, deeper_mm > tip_mm, deeper_mm
        overcut_mm = min(TEACHING.overcut_most_mm, TEACHING.overcut_mm * stroke)
        lumen, made = widen(lumen, file, tip_mm, overcut_mm=overcut_mm, precurve_per_mm=move.precurve_per_mm)
        chips = chips + made
        if lumen is at_start and not moved and overcut_mm == TEACHING.overcut_most_mm:
            stuck += (move.strokes - stroke) * is_stuck  # nothing changes any more: the strokes left are like this one
            break
    lumen = stir(lumen, file, tip_mm)
    short_mm = goal_mm - tip_mm
    cause, why = _held(lumen, file, tip_mm, grip) if short_mm > TEACHING.reading_mm else (None, ())
    events: tuple[str, ...] = ()
    if stuck and tip_mm < lumen.shape.length_mm and cause in ("tip", "curve", "mud"):
        lumen, ledged = damage.notched(lumen, file, tip_mm, stuck * grip.push_n, move.precurve_per_mm)
        events = (damage.LEDGE,) if ledged else ()
    lumen = settle(lumen, file, tip_mm, chips)
    events += damage.harm_between(before, lumen)
    felt, hold = _felt(lumen, file, tip_mm, short_mm, cause)
    if hold != "short":
        lumen = with_terminus(lumen, file, tip_mm)
    slides_mm = passive_stop_mm(lumen, file, tip_mm, precurve_per_mm=move.precurve_per_mm)
    return Outcome(
        lumen, felt, Reach(tip_mm, short_mm, slides_mm, hold), (*why, *reasons(before, lumen, events)), events
    )


def with_terminus(lumen: Lumen, instrument: Instrument, tip_mm: float) -> Lumen:
    """Remember where the prepared end lies: the largest instrument worked to its length near the deepest such length.

    A file of 10 or smaller scouts and prepares nothing; one worked much higher up than another shapes coronally only.
    The end of a path, made with a 15, holds until something larger shapes, even if that ends higher up.
    """
    old = lumen.terminus
    of_path = old is not None and old.size <= PATH_SIZE < instrument.size
    if instrument.size <= SCOUT_SIZE or (old and not of_path and tip_mm < old.at_mm - NEAR_THE_END_MM):
        return lumen
    larger = not old or (instrument.size, instrument.taper) >= (old.size, old.taper)
    if not larger and old and tip_mm <= old.at_mm + NEAR_THE_END_MM:
        return lumen
    return replace(lumen, terminus=Terminus(tip_mm, instrument.size, instrument.taper))


def barred_by(lumen: Lumen, instrument: Instrument, tip_mm: float, precurve_per_mm: float = 0.0) -> Cause | None:
    """Whether a ledge or a fragment is what the tip stands on."""
    if tip_mm < lumen.barrier_mm(instrument, precurve_per_mm) - 0.05:
        return None
    return "fragment" if lumen.fragment and tip_mm >= lumen.fragment.top_mm - 0.05 else "ledge"


def _held(lumen: Lumen, file: Instrument, tip_mm: float, grip: Grip) -> tuple[Cause, tuple[Why, ...]]:
    barred = barred_by(lumen, file, tip_mm, grip.precurve_per_mm)
    if barred:
        return barred, (because_barred(barred, tip_mm),)
    held = binding(lumen, file, tip_mm + 0.01, grip)
    why = because(held, file)
    if held.cause == "buckle":
        return held.cause, (why, because_it_bows(held, grip.push_n, borne_n(file, grip.push_n)))
    return held.cause, (why,)


def _felt(lumen: Lumen, file: Instrument, tip_mm: float, short_mm: float, cause: Cause | None) -> tuple[Felt, Hold]:
    at_mm = read_off(lumen, tip_mm)
    if cause is not None:
        return Felt(f"{file.spoken}: {stopped_words(HAND_WORDS[cause], at_mm, short_mm)}", at_mm), "short"
    levels = lumen.shape.levels_mm
    from_mm = min(tip_mm - FEEL_MM, lumen.shape.length_mm - STUCK_MM)  # a tip far beyond is felt at the canal's end
    felt_over = (levels <= tip_mm) & (levels > from_mm)
    clearance_mm = float((lumen.width_mm - file.diameters_mm(tip_mm - levels))[felt_over].min())
    hold: Hold = "loose" if clearance_mm >= TEACHING.overcut_most_mm - 1e-6 else "snug"
    words = f"{file.spoken}: {hold} at {at_mm:.1f} mm"
    if tip_mm > lumen.shape.length_mm + TEACHING.reading_mm:
        words += ", the tip feels free beyond the canal"
    return Felt(words, at_mm), hold
