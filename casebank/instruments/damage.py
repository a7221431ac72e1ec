"""Harm an instrument can do: a notch in the wall, a thin or holed wall, a torn foramen, a worn or separated file."""

from dataclasses import replace

import numpy as np

from casebank.instruments.cutting import lean_share
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Fragment, Lumen, Notch
from casebank.instruments.mechanics import side_force_n
from casebank.instruments.teaching import TEACHING

LEDGE = "ledge"
STRESSED = "instrument stressed"
SEPARATED = "instrument separated"
FORAMEN_WIDENED = "foramen widened"
FORAMEN_TORN = "foramen torn"
FURCATION_THIN = "furcation wall thin, strip risk"
OUTER_THIN = "outer wall thin, strip risk"
FURCATION_HOLED = "furcation wall perforated"
OUTER_HOLED = "outer wall perforated"
BRUSHED_TOWARD = "brushed towards the furcation"
IRRIGANT_FORCED = "irrigant forced beyond a bound needle"
SEALER_BEYOND = "sealer beyond the foramen"
FILLED_BEYOND = "filled beyond the foramen"
LEFT_OPEN = "left open between visits"
LEAKED = "provisional leaked between visits"

PERFORATIONS = (FURCATION_HOLED, OUTER_HOLED)
OFF_AXIS = (LEDGE, FURCATION_THIN, OUTER_THIN, *PERFORATIONS, SEPARATED)


def notched(
    lumen: Lumen, instrument: Instrument, tip_mm: float, weight: float, precurve_per_mm: float = 0.0
) -> tuple[Lumen, bool]:
    """A stuck tip digs into the wall it leans on. `weight` = strokes times push; True if that makes a ledge."""
    count = lumen.count_to(tip_mm)
    last = max(1, int(2 * TEACHING.zone_mm / lumen.shape.step_mm))
    force = side_force_n(lumen, instrument, tip_mm, precurve_per_mm)[:count][-last:]
    lean = float(lean_share(force).max()) if force.size else 0.0
    dug = TEACHING.bite_mm * lean * weight
    if dug <= 0:
        return lumen, False
    near = [notch for notch in lumen.notches if abs(notch.at_mm - tip_mm) <= TEACHING.near_notch_mm]
    old = min(near, key=lambda notch: abs(notch.at_mm - tip_mm), default=Notch(round(tip_mm, 1), 0.0))
    new = Notch(old.at_mm, old.depth_mm + dug)
    others = tuple(notch for notch in lumen.notches if notch is not old)
    ledged = new.depth_mm >= TEACHING.ledge_mm > old.depth_mm
    return replace(lumen, notches=tuple(sorted((*others, new), key=lambda notch: notch.at_mm))), ledged


def greatest_strain(lumen: Lumen, instrument: Instrument, tip_mm: float) -> tuple[float, float]:
    """Greatest bending strain d/2R along an instrument standing at a depth, and the level where it is."""
    count = lumen.count_to(tip_mm)
    if not count:
        return 0.0, 0.0
    levels = lumen.shape.levels_mm[:count]
    strain = lumen.shape.bend_per_mm[:count] * instrument.diameters_mm(tip_mm - levels) / 2
    at = int(np.argmax(strain))
    return float(strain[at]), float(levels[at])


def torsion_share(instrument: Instrument, push_n: float) -> float:
    """Shear in a core whose tip is held, as a share of its strength: 8 F / (pi tau (core D0)² core)."""
    core = TEACHING.core_share
    return 8 * push_n / (np.pi * TEACHING.shear_n_per_mm2 * core**3 * instrument.tip_mm**2)


def worn(lumen: Lumen, instrument: Instrument, tip_mm: float, amount: float) -> tuple[Lumen, float]:
    """Use up some of an instrument's life in this canal; at 1 it separates and leaves its last millimetres behind."""
    life = dict(lumen.life)
    used = life[instrument.label] = life.get(instrument.label, 0.0) + amount
    after = replace(lumen, life=tuple(sorted(life.items())))
    if used >= 1:
        top = max(0.0, tip_mm - TEACHING.fragment_mm)
        after = replace(after, fragment=Fragment(top, instrument.label))
    return after, used


def harm_between(before: Lumen, after: Lumen) -> tuple[str, ...]:
    """What has newly happened to foramen and walls."""
    events: list[str] = []
    natural = float(before.shape.width_mm[-1])
    was, now = float(before.width_mm[-1]) / natural, float(after.width_mm[-1]) / natural
    if now > TEACHING.foramen_torn >= was:
        events.append(FORAMEN_TORN)
    elif now > TEACHING.foramen_widened >= was:
        events.append(FORAMEN_WIDENED)
    seen = watched(before)
    walls = (
        (before.furcation_mm, after.furcation_mm, FURCATION_HOLED, FURCATION_THIN),
        (before.outer_mm, after.outer_mm, OUTER_HOLED, OUTER_THIN),
    )
    for wall_before, wall_after, holed, thin in walls:
        old, new = float(wall_before[seen].min()), float(wall_after[seen].min())
        if new <= 0 < old:
            events.append(holed)
        elif new < TEACHING.thin_wall_mm <= old:
            events.append(thin)
    return tuple(events)


def perforation_mm(lumen: Lumen) -> float | None:
    """Depth of the first hole in a wall; none where the walls are whole."""
    seen = watched(lumen)
    holed = np.flatnonzero(np.minimum(lumen.furcation_mm, lumen.outer_mm)[seen] <= 0)
    return float(lumen.shape.levels_mm[holed[0]]) if holed.size else None


def watched(lumen: Lumen) -> slice:
    """Levels at which walls are watched."""
    return slice(0, lumen.count_to(lumen.shape.length_mm - TEACHING.wall_watch_ends_mm))
