"""A small file passed just through the foramen: it keeps the way open, and frees mud packed at the end."""

from casebank.instruments.debris import settle, stir
from casebank.instruments.felt import HAND_WORDS, Felt, Outcome, Reach, Why, because, because_barred, read_off
from casebank.instruments.felt import stopped_words as stopped
from casebank.instruments.handwork import barred_by
from casebank.instruments.iso3630 import Instrument, hand_file
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import Cause, Grip, binding, passive_stop_mm
from casebank.instruments.moves import Patency
from casebank.instruments.teaching import TEACHING


def keep_patent(lumen: Lumen, move: Patency) -> Outcome:
    """Laid in a little bent, stirred, never forced: it cuts nothing, so foramen and walls stay as they were."""
    file, bend_per_mm = hand_file(move.size), TEACHING.recapitulation_precurve_per_mm
    goal_mm = lumen.shape.length_mm + move.beyond_mm
    tip_mm = 0.0
    for _ in range(int(TEACHING.recapitulation_strokes)):
        tip_mm = passive_stop_mm(lumen, file, goal_mm, precurve_per_mm=bend_per_mm)
        lumen = stir(lumen, file, tip_mm)
    tip_mm = passive_stop_mm(lumen, file, goal_mm, precurve_per_mm=bend_per_mm)
    lumen = settle(lumen, file, tip_mm, 0.0 * lumen.width_mm)
    short_mm = goal_mm - tip_mm
    if short_mm <= 1e-9:
        return Outcome(lumen, Felt(f"{file.spoken}: slips just through the end"), Reach(tip_mm, 0.0, tip_mm, "loose"))
    cause, why = _held(lumen, file, tip_mm, Grip(0.0, bend_per_mm))
    at_mm = read_off(lumen, tip_mm)
    felt = Felt(f"{file.spoken}: {stopped(HAND_WORDS[cause], at_mm, short_mm)}", at_mm)
    return Outcome(lumen, felt, Reach(tip_mm, short_mm, tip_mm, "short"), (why,))


def _held(lumen: Lumen, file: Instrument, tip_mm: float, grip: Grip) -> tuple[Cause, Why]:
    barred = barred_by(lumen, file, tip_mm, grip.precurve_per_mm)
    if barred:
        return barred, because_barred(barred, tip_mm)
    held = binding(lumen, file, tip_mm + 0.01, grip)
    return held.cause, because(held, file)
