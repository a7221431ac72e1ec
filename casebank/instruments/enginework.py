"""Engine-driven instruments: a file taken in and out, and the short coronal flare."""

from dataclasses import dataclass, replace

import numpy as np

from casebank.instruments import advance, damage
from casebank.instruments.cutting import brush, chips_mm3, widen
from casebank.instruments.debris import settle
from casebank.instruments.felt import (
    ENGINE_WORDS,
    Felt,
    Hold,
    Outcome,
    Reach,
    Why,
    because,
    because_barred,
    because_of_chips,
    because_of_strain,
    because_of_torsion,
    not_entered,
    read_off,
    stopped_words,
)
from casebank.instruments.handwork import barred_by, push_n, with_terminus
from casebank.instruments.iso3630 import Instrument, coronal_flare, engine_file, hand_file
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.mechanics import (
    Cause,
    Grip,
    binding,
    depth_narrower_mm,
    effort,
    passive_stop_mm,
    pilot_share,
    wetness,
)
from casebank.instruments.moves import CoronalFlare, EngineFile
from casebank.instruments.reasons import reasons
from casebank.instruments.teaching import TEACHING

ADVANCE_MM = 0.25  # an engine file meets a lumen already bored by itself this much further back
SEARCH_MM = 0.1
FINE_MM = 0.005
TRIES_AT_A_STOP = 5.0  # a turning tip held at a stop digs as often as this many strokes
LEAST_ENTRY_MM = 0.3


@dataclass(frozen=True)
class Pass:
    """How far one pass went and what ended it, no cause if it reached its depth; the lumen it bored, and its chips."""

    tip_mm: float
    cause: Cause | None
    why: tuple[Why, ...]
    bored: Lumen
    chips_mm3: Levels


def shape_with_engine(lumen: Lumen, move: EngineFile) -> Outcome:
    """Passes of an engine file: bore, brush, leave chips, wear; a separated file ends the work."""
    file, force_n = engine_file(move.size, move.taper), push_n(move.push)
    goal_mm = lumen.depth_of(move.to_mm)
    if goal_mm <= 0 or move.passes == 0:
        return not_entered(lumen, file, goal_mm)
    before = lumen
    events: list[str] = []
    why: tuple[Why, ...] = ()
    for number in range(1, move.passes + 1):
        ended = _advance(lumen, file, goal_mm, Grip(force_n))
        at_goal = ended.cause is None
        overcut_mm = min(TEACHING.overcut_most_mm, TEACHING.overcut_mm * number) if at_goal else 0.0
        lumen, chips = ended.bored, ended.chips_mm3
        if overcut_mm:
            lumen, more = widen(lumen, file, ended.tip_mm, overcut_mm=overcut_mm)
            chips = chips + more
        if move.brush:
            strokes = TEACHING.engine_brush_strokes * TEACHING.engine_brush_share
            lumen, more = brush(lumen, ended.tip_mm, strokes, move.brush)
            chips = chips + more
        lumen = settle(lumen, file, ended.tip_mm, chips)
        lumen, worn_events, worn_why = _wear(lumen, file, ended, goal_mm - ended.tip_mm, force_n)
        events += [event for event in worn_events if event not in events]
        why = (*ended.why, *worn_why)
        if lumen.fragment:
            break
    if move.brush == "toward":
        events.append(damage.BRUSHED_TOWARD)
    events += damage.harm_between(before, lumen)
    short_mm = goal_mm - ended.tip_mm
    at_mm = read_off(lumen, ended.tip_mm)
    hold: Hold = "short" if lumen.fragment or short_mm > TEACHING.reading_mm else "loose"
    if lumen.fragment:
        words = "a click, and the file comes out shorter than it went in"
    elif hold == "short":
        words = stopped_words(ENGINE_WORDS[ended.cause or "tip"], at_mm, short_mm)
    else:
        lumen = with_terminus(lumen, file, ended.tip_mm)
        words = f"runs to length, {at_mm:.1f} mm"
    slides_mm = passive_stop_mm(lumen, file, ended.tip_mm)
    reach = Reach(ended.tip_mm, short_mm, slides_mm, hold)
    why += reasons(before, lumen, tuple(events))
    return Outcome(lumen, Felt(f"{file.spoken}: {words}", at_mm), reach, why, tuple(events))


def flare(lumen: Lumen, move: CoronalFlare) -> Outcome:
    """The short coronal instrument, brushed against one wall; a size 10 must be able to enter first."""
    file = coronal_flare()
    if move.depth_mm == 0 or move.strokes == 0:
        return not_entered(lumen, file)
    scout_mm = passive_stop_mm(lumen, hand_file(10), move.depth_mm)
    tip_mm = min(scout_mm, depth_narrower_mm(lumen, pilot_share(file) * file.tip_mm))
    if tip_mm <= LEAST_ENTRY_MM:
        words = "no room: a size 10 must enter first" if scout_mm <= LEAST_ENTRY_MM else "the tip will not enter"
        reach = Reach(0.0, move.depth_mm, 0.0, "not entered")
        return Outcome(lumen, Felt(f"coronal flare: {words}"), reach)
    before = lumen
    lumen, bored = widen(lumen, file, tip_mm, side=move.brush)
    lumen, brushed = brush(lumen, tip_mm, move.strokes, move.brush)
    lumen = settle(lumen, file, tip_mm, bored + brushed)
    events: tuple[str, ...] = (damage.BRUSHED_TOWARD,) if move.brush == "toward" else ()
    side = "away from the furcation" if move.brush == "away" else "towards the furcation"
    at_mm = read_off(lumen, tip_mm)
    felt = Felt(f"coronal flare {file.label}: brushes {side}, tip at {at_mm:.1f} mm", at_mm)
    reach = Reach(tip_mm, move.depth_mm - tip_mm, tip_mm, "brushed")
    events += damage.harm_between(before, lumen)
    return Outcome(lumen, felt, reach, reasons(before, lumen, events), events)


def _advance(lumen: Lumen, file: Instrument, goal_mm: float, grip: Grip) -> Pass:
    """One way in: until the tip will not follow, something lies across, or the flutes are full."""
    start_mm = passive_stop_mm(lumen, file, goal_mm)
    limit_mm = min(goal_mm, max(start_mm, lumen.barrier_mm(file)))
    tip_mm = start_mm
    room_mm3 = np.cumsum(lumen.cell_mm3) * TEACHING.room_share * wetness(lumen) - np.cumsum(lumen.loose_mm3)
    clogged, worked = False, (effort(lumen, file, grip), lumen.way, lumen.shape.bends)
    for spacing_mm in (SEARCH_MM, FINE_MM):
        ahead = np.minimum(limit_mm, tip_mm + spacing_mm * np.arange(1, 2 + int((limit_mm - tip_mm) / spacing_mm)))
        if spacing_mm == FINE_MM:
            ahead = ahead[: int(SEARCH_MM / FINE_MM)]
        first, clogged = advance.first_stop(*worked, ahead, start_mm, ADVANCE_MM, room_mm3)
        tip_mm = float(ahead[first - 1]) if first else tip_mm
        if first == ahead.size:
            break
    bored, chips = widen(lumen, file, tip_mm)
    if tip_mm >= goal_mm - FINE_MM:
        return Pass(tip_mm, None, (), bored, chips)
    barred = barred_by(lumen, file, tip_mm)
    if barred:
        return Pass(tip_mm, barred, (because_barred(barred, tip_mm),), bored, chips)
    if clogged:
        cut = chips_mm3(lumen, file, tip_mm)
        room = float(np.interp(tip_mm, lumen.shape.levels_mm, room_mm3))
        return Pass(tip_mm, "chips", (because_of_chips(tip_mm, cut, room),), bored, chips)
    muddy = lumen.packed_mm3 * (bored.width_mm / lumen.width_mm) ** 2  # what is bored in one go keeps its share of mud
    reason = binding(replace(bored, packed_mm3=muddy), file, tip_mm + 0.02, grip)
    return Pass(tip_mm, reason.cause, (because(reason, file),), bored, chips)


def _wear(
    lumen: Lumen, file: Instrument, ended: Pass, short_mm: float, force_n: float
) -> tuple[Lumen, list[str], tuple[Why, ...]]:
    """Fatigue of every pass; torsion and a notch when the tip is held."""
    events: list[str] = []
    strain, level_mm = damage.greatest_strain(lumen, file, ended.tip_mm)
    amount = TEACHING.turns_per_pass * strain**2 / TEACHING.fatigue_cycles
    torsion = None
    if ended.cause in ("tip", "curve", "mud", "ledge", "fragment") and short_mm > TEACHING.reading_mm:
        torsion = damage.torsion_share(file, force_n)
        amount += torsion**2
        lumen, ledged = damage.notched(lumen, file, ended.tip_mm, TRIES_AT_A_STOP * force_n)
        events += [damage.LEDGE] if ledged else []
    lumen, used = damage.worn(lumen, file, ended.tip_mm, amount)
    if used >= 1:
        events.append(damage.SEPARATED)
    elif used >= TEACHING.stressed_share:
        events.append(damage.STRESSED)
    why = (because_of_strain(level_mm, strain, TEACHING.turns_per_pass, used),)
    return lumen, events, why if torsion is None else (*why, because_of_torsion(ended.tip_mm, torsion))
