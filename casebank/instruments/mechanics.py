"""Where an instrument stops, and with what force it leans on the wall.

Geometry alone decides a passive stop (closed form). A worked file may also cut: near its tip as much as lets the tip
follow, elsewhere one bite; how much of that is open to it falls with bending friction, dryness and chips.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.teaching import TEACHING

Tips = NDArray[np.float64]
Cause = Literal["tip", "body", "curve", "mud", "chips", "ledge", "fragment"]

EPSILON_MM = 1e-9
SECTIONED = np.arange(1, 17) / 16


@dataclass(frozen=True)
class Grip:
    """How a hand drives a file: axial push (0 = passive) and the pre-curve bent into its last millimetres."""

    push_n: float
    precurve_per_mm: float = 0.0


@dataclass(frozen=True)
class Binding:
    """Why a tip cannot go deeper: cause, level below the orifice, the diameters that meet there."""

    cause: Cause
    level_mm: float
    instrument_mm: float
    lumen_mm: float
    allowed_mm: float


def pilot_share(instrument: Instrument) -> float:
    """Narrowest lumen the tip can follow, as a share of its own diameter."""
    return TEACHING.pilot_hand_share if instrument.kind == "hand" else TEACHING.pilot_engine_share


def passive_stop_mm(lumen: Lumen, instrument: Instrument, limit_mm: float, *, precurve_per_mm: float = 0.0) -> float:
    """Deepest tip position, at most `limit_mm`, of an instrument laid into the lumen without force.

    The least over all levels s of s + (c - D0) / T, and of the depth at which c falls below D0; 0 or more.
    """
    levels, wide = lumen.shape.levels_mm, lumen.open_mm
    grip_at = np.where(
        wide >= instrument.shank_mm,
        np.inf,
        levels + np.maximum(0.0, wide - instrument.tip_mm) / instrument.taper,
    )
    stop = min(
        float(grip_at.min()), depth_narrower_mm(lumen, instrument.tip_mm), lumen.barrier_mm(instrument, precurve_per_mm)
    )
    return max(0.0, min(limit_mm, stop))


def depth_narrower_mm(lumen: Lumen, width_mm: float) -> float:
    """First depth below which the lumen is narrower than a width, interpolated; infinite if it never is."""
    levels, wide = lumen.shape.levels_mm, lumen.open_mm
    narrower = np.flatnonzero(wide < width_mm)
    if not narrower.size:
        return np.inf
    at = int(narrower[0])
    if at == 0:
        return 0.0
    share = (wide[at - 1] - width_mm) / (wide[at - 1] - wide[at])
    return float(levels[at - 1] + share * (levels[at] - levels[at - 1]))


def side_force_n(lumen: Lumen, instrument: Instrument, tip_mm: float, precurve_per_mm: float = 0.0) -> Levels:
    """Force on the wall at each level, shape (n,), newton, of an instrument with its tip at a depth."""
    force = np.zeros_like(lumen.shape.levels_mm)
    force[lumen.shape.bent] = _side_force(lumen, instrument, np.array([tip_mm]), precurve_per_mm)[0]
    return force


def bending_drag_n(lumen: Lumen, instrument: Instrument, tips_mm: Tips, precurve_per_mm: float = 0.0) -> Tips:
    """Axial friction, shape (m,), newton, at m tip positions. Rotation takes it away from an engine file."""
    if instrument.kind != "hand":
        return np.zeros_like(tips_mm)
    span = np.maximum(lumen.shape.span_mm[lumen.shape.bent], 1.0)
    side = _side_force(lumen, instrument, tips_mm, precurve_per_mm)
    return np.asarray(2 * TEACHING.friction * lumen.shape.step_mm * (side / span).sum(axis=1))


def drive(lumen: Lumen, instrument: Instrument, tips_mm: Tips, grip: Grip) -> Tips:
    """Share of the push left for cutting, shape (m,), 0 to 1, after bending friction, dryness and chips."""
    if grip.push_n <= 0:
        return np.zeros_like(tips_mm)
    dragged = bending_drag_n(lumen, instrument, tips_mm, grip.precurve_per_mm) / grip.push_n
    last = np.clip(np.floor(tips_mm / lumen.shape.step_mm + 1e-6), 0, lumen.width_mm.size - 1).astype(int)
    share = np.maximum(0.0, 1 - dragged) * wetness(lumen) * (1 - lumen.loose_share[last])
    return np.asarray(share)


def wetness(lumen: Lumen) -> float:
    """How far wetness helps cutting and carrying: half when dry, whole when flooded."""
    return 0.5 + 0.5 * lumen.wet


def excess_mm(lumen: Lumen, instrument: Instrument, tips_mm: Tips, grip: Grip) -> Tips:
    """Worst interference beyond what may be cut, shape (m,); 0 or less means the tip can stand there."""
    tip, body, _ = _interference(lumen, instrument, tips_mm, grip)
    return np.asarray(np.maximum(tip, body.max(axis=1)))


def worked_stop_mm(
    lumen: Lumen, instrument: Instrument, grip: Grip, *, start_mm: float, limit_mm: float, tolerance_mm: float = 1e-3
) -> float:
    """Deepest tip position from `start_mm` to `limit_mm` reached by one stroke; never above the start."""
    limit_mm = min(limit_mm, max(start_mm, lumen.barrier_mm(instrument, grip.precurve_per_mm)))
    low, high = start_mm, limit_mm
    just_ahead = np.array([min(start_mm + tolerance_mm, limit_mm)])
    if high - low <= EPSILON_MM or excess_mm(lumen, instrument, just_ahead, grip)[0] > EPSILON_MM:
        return start_mm  # a file at its stop, or one that is stuck: found out at once
    while high - low > EPSILON_MM:
        tips = low + (high - low) * SECTIONED
        stuck = np.flatnonzero(excess_mm(lumen, instrument, tips, grip) > EPSILON_MM)
        if not stuck.size:
            return high
        first = int(stuck[0])
        low, high = (float(tips[first - 1]) if first else low), float(tips[first])
        if high - low <= tolerance_mm:
            return low
    return low


def binding(lumen: Lumen, instrument: Instrument, tip_mm: float, grip: Grip) -> Binding:
    """What holds an instrument whose tip should stand at a depth: the worst interference and its cause."""
    tips = np.array([tip_mm])
    tip, body, allowed = _interference(lumen, instrument, tips, grip)
    at = int(np.argmax(body[0]))
    below_mm = tip_mm - float(lumen.shape.levels_mm[at])
    at_tip = bool(tip[0] >= body[0, at]) or below_mm < TEACHING.zone_mm
    place = max(0, lumen.count_to(tip_mm) - 1) if at_tip else at
    cause: Cause = "tip" if at_tip else "body"
    met = slice(place, place + 2) if at_tip else place
    if np.any(lumen.packed_mm3[met] > TEACHING.mud_share * lumen.cell_mm3[met]):
        cause = "mud"
    elif grip.push_n > 0 and bending_drag_n(lumen, instrument, tips, grip.precurve_per_mm)[0] > 0.9 * grip.push_n:
        cause = "curve"
    level_mm = tip_mm if at_tip else float(lumen.shape.levels_mm[at])
    return Binding(
        cause=cause,
        level_mm=level_mm,
        instrument_mm=instrument.diameter_mm(tip_mm - level_mm),
        lumen_mm=float(np.interp(level_mm, lumen.shape.levels_mm, lumen.open_mm)),
        allowed_mm=float(allowed[0, place]),
    )


def _interference(lumen: Lumen, instrument: Instrument, tips: Tips, grip: Grip) -> tuple[Tips, Levels, Levels]:
    """Excess at the tip (m,), excess at each level (m, n; -inf apical to the tip), what may be cut there (m, n)."""
    levels, wide = lumen.shape.levels_mm, lumen.open_mm
    share = drive(lumen, instrument, tips, grip)
    follow = (1 - pilot_share(instrument)) * instrument.tip_mm
    from_tip = tips[:, None] - levels
    near = np.where(from_tip < TEACHING.zone_mm, max(follow, TEACHING.bite_mm), TEACHING.bite_mm)
    allowed = share[:, None] * near
    body = np.where(from_tip > -1e-7, instrument.diameters_mm(from_tip) - wide - allowed, -np.inf)
    there = np.interp(tips, levels, wide)
    tip = np.where(tips > levels[-1], -np.inf, instrument.tip_mm - share * follow - there)
    return tip, body, allowed


def _side_force(lumen: Lumen, instrument: Instrument, tips: Tips, precurve_per_mm: float) -> Levels:
    """Side force, shape (m, bent levels): 4 E I k / span, k = bend less pre-curve less 8 play / span² (free play)."""
    shape, bent = lumen.shape, lumen.shape.bent
    span = np.maximum(shape.span_mm[bent], 1.0)
    from_tip = tips[:, None] - shape.levels_mm[bent]
    diameter = instrument.diameters_mm(from_tip)
    curve = shape.bend_per_mm[bent] - np.maximum(0.0, lumen.width_mm[bent] - diameter) * (8 / (span * span))
    if precurve_per_mm > 0:
        curve -= np.where(from_tip <= TEACHING.precurve_length_mm, precurve_per_mm, 0.0)
    stiff = TEACHING.steel_n_per_mm2 if instrument.kind == "hand" else TEACHING.nickel_titanium_n_per_mm2
    core2 = (TEACHING.core_share * diameter) ** 2
    force = core2 * core2 * np.maximum(0.0, curve) * (4 * stiff * np.pi / 64 / span)
    return np.where(from_tip > -1e-7, force, 0.0)
