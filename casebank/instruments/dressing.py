"""A medicament between visits: laid in, and washed out again before anything is filled."""

from dataclasses import replace

from casebank.instruments.closing_moves import Medicament, Medicate
from casebank.instruments.contents import Medication
from casebank.instruments.debris import reached_share
from casebank.instruments.felt import Felt, Outcome, Reach, read_off
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.moves import Irrigate
from casebank.instruments.teaching import TEACHING

CARRIER = Instrument(15)  # what carries a paste in is as thin as the smallest shaping file: a teaching choice
PASTE: dict[Medicament, str] = {"calcium hydroxide": "white paste", "chlorhexidine gel": "gel"}
STOPS_BLEEDING_ML = 1.0  # hypochlorite, once something was cut, that clears what is left of a pulp: a teaching choice


def medicate(lumen: Lumen, move: Medicate) -> Outcome:
    """Lay a medicament in, as deep as a thin carrier goes and no deeper than the working length."""
    goal_mm = lumen.shape.working_depth_mm
    tip_mm = passive_stop_mm(lumen, CARRIER, goal_mm)
    contents = replace(lumen.contents.wetted(), medication=Medication(move.agent, tip_mm))
    at_mm = read_off(lumen, tip_mm)
    felt = Felt(f"{move.agent}: laid in down to {at_mm:.1f} mm", at_mm)
    after = replace(lumen, wet=max(lumen.wet, TEACHING.gel_wet), contents=contents)
    return Outcome(after, felt, Reach(tip_mm, goal_mm - tip_mm, tip_mm, "placed"))


def washed(before: Lumen, after: Lumen, needle_tip_mm: float, move: Irrigate) -> Lumen:
    """What a rinse does to the rest of a canal's contents.

    A medicament goes where irrigant is exchanged, at its deepest last: a small file that has just stirred there counts
    for more than volume. Hypochlorite ends the bleeding of a pulp that files have begun to take out.
    """
    contents = before.contents.wetted()
    if contents.medication:
        place = before.count_to(min(contents.medication.to_mm, before.shape.working_depth_mm)) - 1
        taken = float(reached_share(before, needle_tip_mm)[place]) * (1 - 0.5**move.ml)
        left = contents.medication.left_share * (1 - taken)
        rest = None if left <= TEACHING.medicament_clean_share else replace(contents.medication, left_share=left)
        contents = replace(contents, medication=rest)
    is_cut = bool((before.width_mm > before.shape.width_mm).any())
    bleaches = move.solution == "sodium hypochlorite" and move.ml >= STOPS_BLEEDING_ML
    if contents.bleeding == "pulp" and is_cut and bleaches:
        contents = replace(contents, bleeding="none")
    return after if contents is before.contents else replace(after, contents=contents)
