"""Where an instrument stops, and with what force it leans on the wall.

Geometry alone decides a passive stop (closed form). A worked file may also cut: near its tip as much as lets the tip
follow, elsewhere one bite; how much of that is open to it falls with bending friction, dryness and chips.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from casebank.instruments import advance
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.teaching import TEACHING

Cause = Literal["tip", "body", "curve", "buckle", "mud", "chips", "ledge", "fragment"]


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
    """Force on the wall at each level, shape (n,), newton, of an instrument with its tip at a depth.

    4 E I k / span with I = pi (core d)^4 / 64, and k the bend less the pre-curve and less 8 play / span² (free play).
    """
    worked = effort(lumen, instrument, Grip(0.0, precurve_per_mm))
    return np.asarray(advance.sides_n(worked, lumen.way, lumen.shape.bends, tip_mm))


def bending_drag_n(lumen: Lumen, instrument: Instrument, tip_mm: float, precurve_per_mm: float = 0.0) -> float:
    """Axial friction, newton, of a tip at a depth. Rotation takes it away from an engine file."""
    worked = effort(lumen, instrument, Grip(0.0, precurve_per_mm))
    return float(advance.drag_n(worked, lumen.way, lumen.shape.bends, tip_mm))


def drive(lumen: Lumen, instrument: Instrument, tip_mm: float, grip: Grip) -> float:
    """Share of the push left for cutting, 0 to 1, after bending friction, dryness and chips."""
    return float(advance.drive_share(effort(lumen, instrument, grip), lumen.way, lumen.shape.bends, tip_mm))


def effort(lumen: Lumen, instrument: Instrument, grip: Grip) -> Levels:
    """An instrument and the hand behind it, shape (14,), in the order the compiled laws take them."""
    by_hand = instrument.kind == "hand"
    follow_mm = (1 - pilot_share(instrument)) * instrument.tip_mm
    return np.array(
        (
            instrument.tip_mm,
            instrument.taper,
            instrument.shank_mm,
            follow_mm,
            max(follow_mm, TEACHING.bite_mm),
            TEACHING.bite_mm,
            TEACHING.zone_mm,
            TEACHING.core_share,
            TEACHING.steel_n_per_mm2 if by_hand else TEACHING.nickel_titanium_n_per_mm2,
            borne_n(instrument, grip.push_n),
            wetness(lumen),
            grip.precurve_per_mm,
            TEACHING.precurve_length_mm,
            2 * friction(lumen) * lumen.shape.step_mm if by_hand else 0.0,
        )
    )


def borne_n(instrument: Instrument, push_n: float) -> float:
    """What a file bears of a push before it bows: at most the load that buckles the part that cuts with its tip.

    pi² E I / l², a strut hinged at both ends (Euler), with the diameter half-way along it. A 10 bears 2.9 N, an 08
    1.3 N, an 06 0.5 N: pushed harder, a thin file only bows.
    """
    if instrument.kind != "hand":
        return push_n
    length_mm = TEACHING.zone_mm
    across_mm = TEACHING.core_share * instrument.diameter_mm(length_mm / 2)
    return min(push_n, math.pi**2 * TEACHING.steel_n_per_mm2 * math.pi / 64 * across_mm**4 / length_mm**2)


def friction(lumen: Lumen) -> float:
    """Friction of a file on the wall: less where a gel lies on it."""
    return TEACHING.friction * (TEACHING.gel_friction_share if lumen.contents.is_lubricated else 1.0)


def wetness(lumen: Lumen) -> float:
    """How far wetness helps cutting and carrying: half when dry, whole when flooded."""
    return 0.5 + 0.5 * lumen.wet


def held(lumen: Lumen, instrument: Instrument, tip_mm: float, grip: Grip) -> bool:
    """Whether more interferes than may be cut, so that a tip cannot stand at a depth."""
    worked = effort(lumen, instrument, grip)
    return bool(advance.is_held(worked, lumen.way, lumen.shape.bends, tip_mm))


def worked_stop_mm(
    lumen: Lumen, instrument: Instrument, grip: Grip, *, start_mm: float, limit_mm: float, tolerance_mm: float = 1e-3
) -> float:
    """Deepest tip position from `start_mm` to `limit_mm` reached by one stroke; never above the start."""
    limit_mm = min(limit_mm, max(start_mm, lumen.barrier_mm(instrument, grip.precurve_per_mm)))
    if limit_mm - start_mm <= advance.EPSILON_MM:
        return start_mm
    worked = effort(lumen, instrument, grip)
    return float(advance.stroke_mm(worked, lumen.way, lumen.shape.bends, start_mm, limit_mm, tolerance_mm))


def binding(lumen: Lumen, instrument: Instrument, tip_mm: float, grip: Grip) -> Binding:
    """What holds an instrument whose tip should stand at a depth: the worst interference and its cause."""
    tip, body, allowed = _interference(lumen, instrument, tip_mm, drive(lumen, instrument, tip_mm, grip))
    at = int(np.argmax(body))
    below_mm = tip_mm - float(lumen.shape.levels_mm[at])
    at_tip = tip >= body[at] or below_mm < TEACHING.zone_mm
    place = max(0, lumen.count_to(tip_mm) - 1) if at_tip else at
    borne = borne_n(instrument, grip.push_n)
    cause: Cause = "tip" if at_tip else "body"
    met = slice(place, place + 2) if at_tip else place
    if np.any(lumen.packed_mm3[met] > TEACHING.mud_share * lumen.cell_mm3[met]):
        cause = "mud"
    elif (
        borne > 0
        and instrument.kind == "hand"
        and bending_drag_n(lumen, instrument, tip_mm, grip.precurve_per_mm) > 0.9 * borne
    ):
        cause = "curve"
    elif at_tip and borne < grip.push_n:
        cause = "buckle"
    level_mm = tip_mm if at_tip else float(lumen.shape.levels_mm[at])
    return Binding(
        cause=cause,
        level_mm=level_mm,
        instrument_mm=instrument.diameter_mm(tip_mm - level_mm),
        lumen_mm=float(np.interp(level_mm, lumen.shape.levels_mm, lumen.open_mm)),
        allowed_mm=float(allowed[place]),
    )


def _interference(lumen: Lumen, instrument: Instrument, tip_mm: float, share: float) -> tuple[float, Levels, Levels]:
    """Excess at the tip, excess at each level (n,; -inf apical to the tip), what may be cut there (n,)."""
    levels, wide = lumen.shape.levels_mm, lumen.open_mm
    follow = (1 - pilot_share(instrument)) * instrument.tip_mm
    from_tip = tip_mm - levels
    allowed = share * np.where(from_tip < TEACHING.zone_mm, max(follow, TEACHING.bite_mm), TEACHING.bite_mm)
    body = np.where(from_tip > -advance.AT_LEVEL_MM, instrument.diameters_mm(from_tip) - wide - allowed, -np.inf)
    there = float(np.interp(tip_mm, levels, wide, right=np.inf))
    return instrument.tip_mm - share * follow - there, body, allowed
