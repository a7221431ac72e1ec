"""Engine-driven instruments: a file taken in and out, and the short coronal flare."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.instruments import damage
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
from casebank.instruments.lumen import Lumen, open_width_mm
from casebank.instruments.mechanics import (
    EPSILON_MM,
    Cause,
    Grip,
    binding,
    depth_narrower_mm,
    drive,
    passive_stop_mm,
    pilot_share,
    wetness,
)
from casebank.instruments.moves import CoronalFlare, EngineFile
from casebank.instruments.teaching import TEACHING

ADVANCE_MM = 0.25  # an engine file meets a lumen already bored by itself this much further back
SEARCH_MM = 0.1
FINE_MM = 0.005
TRIES_AT_A_STOP = 5.0  # a turning tip held at a stop digs as often as this many strokes
LEAST_ENTRY_MM = 0.3


@dataclass(frozen=True)
class Pass:
    """How far one pass went and what ended it; no cause if it reached its depth."""

    tip_mm: float
    cause: Cause | None
    why: tuple[Why, ...]


def shape_with_engine(lumen: Lumen, move: EngineFile) -> Outcome:
    """Passes of an engine file: bore, brush, leave chips, wear; a separated file ends the work."""
    file, force_n = engine_file(move.size, move.taper), push_n(move.push)
    goal_mm = lumen.depth_of(move.to_mm)
    if goal_mm <= 0 or move.passes == 0:
        return not_entered(lumen, file, goal_mm)
    before, ended = lumen, Pass(0.0, None, ())
    events: list[str] = []
    why: tuple[Why, ...] = ()
    for number in range(1, move.passes + 1):
        ended = _advance(lumen, file, goal_mm, Grip(force_n))
        at_goal = ended.cause is None
        overcut_mm = min(TEACHING.overcut_most_mm, TEACHING.overcut_mm * number) if at_goal else 0.0
        lumen, chips = widen(lumen, file, ended.tip_mm)
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
    events = (damage.BRUSHED_TOWARD,) if move.brush == "toward" else ()
    side = "away from the furcation" if move.brush == "away" else "towards the furcation"
    at_mm = read_off(lumen, tip_mm)
    felt = Felt(f"coronal flare {file.label}: brushes {side}, tip at {at_mm:.1f} mm", at_mm)
    reach = Reach(tip_mm, move.depth_mm - tip_mm, tip_mm, "brushed")
    return Outcome(lumen, felt, reach, (), (*events, *damage.harm_between(before, lumen)))


def _advance(lumen: Lumen, file: Instrument, goal_mm: float, grip: Grip) -> Pass:
    """One way in: until the tip will not follow, something lies across, or the flutes are full."""
    start_mm = passive_stop_mm(lumen, file, goal_mm)
    limit_mm = min(goal_mm, max(start_mm, lumen.barrier_mm(file)))
    tip_mm = start_mm
    room_mm3 = np.cumsum(lumen.cell_mm3) * TEACHING.room_share * wetness(lumen) - np.cumsum(lumen.loose_mm3)
    clogged = False
    for spacing_mm in (SEARCH_MM, FINE_MM):
        ahead = np.minimum(limit_mm, tip_mm + spacing_mm * np.arange(1, 2 + int((limit_mm - tip_mm) / spacing_mm)))
        if spacing_mm == FINE_MM:
            ahead = ahead[: int(SEARCH_MM / FINE_MM)]
        held = _bored_excess_mm(lumen, file, ahead, start_mm, grip) > EPSILON_MM
        last = np.clip(np.floor(ahead / lumen.shape.step_mm + 1e-6), 0, lumen.width_mm.size - 1).astype(int)
        full = chips_mm3(lumen, file, ahead) > room_mm3[last]
        stops = np.flatnonzero(held | full)
        if not stops.size:
            tip_mm = float(ahead[-1])
            break
        first = int(stops[0])
        clogged = bool(full[first])
        tip_mm = float(ahead[first - 1]) if first else tip_mm
    if tip_mm >= goal_mm - FINE_MM:
        return Pass(tip_mm, None, ())
    barred = barred_by(lumen, file, tip_mm)
    if barred:
        return Pass(tip_mm, barred, (because_barred(barred, tip_mm),))
    if clogged:
        cut = float(chips_mm3(lumen, file, np.array([tip_mm]))[0])
        room = float(np.interp(tip_mm, lumen.shape.levels_mm, room_mm3))
        return Pass(tip_mm, "chips", (because_of_chips(tip_mm, cut, room),))
    bored, _ = widen(lumen, file, tip_mm)
    reason = binding(bored, file, tip_mm + 0.02, grip)
    return Pass(tip_mm, reason.cause, (because(reason, file),))


def _bored_excess_mm(
    lumen: Lumen, file: Instrument, tips: NDArray[np.float64], start_mm: float, grip: Grip
) -> NDArray[np.float64]:
    """Interference, shape (m,), at tips in a lumen the file itself has bored to a little above each of them."""
    levels = lumen.shape.levels_mm
    behind = np.maximum(tips - ADVANCE_MM, start_mm)[:, None] - levels
    bored = np.maximum(lumen.width_mm, np.where(behind > -1e-7, file.diameters_mm(behind), 0.0))
    wide = open_width_mm(bored, lumen.packed_mm3, lumen.shape.cells_mm) if lumen.packed_mm3.any() else bored
    share = drive(lumen, file, tips, grip)
    follow = (1 - pilot_share(file)) * file.tip_mm
    from_tip = tips[:, None] - levels
    near = np.where(from_tip < TEACHING.zone_mm, max(follow, TEACHING.bite_mm), TEACHING.bite_mm)
    body = np.where(from_tip > -1e-7, file.diameters_mm(from_tip) - wide - share[:, None] * near, -np.inf)
    tip = file.tip_mm - share * follow - np.interp(tips, levels, lumen.open_mm, right=np.inf)
    return np.asarray(np.maximum(tip, body.max(axis=1)))


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
