"""Chips, mud and rinsing: what a cut leaves behind, what a small file frees, what the irrigant takes away."""

from dataclasses import replace

import numpy as np

from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.mechanics import wetness
from casebank.instruments.teaching import TEACHING

SMALL_SIZE = 10
AHEAD_MM = 1.0
FREED_AHEAD_MM = 0.5


def is_small(instrument: Instrument) -> bool:
    """A small hand file passes chips instead of pushing them, and stirs mud loose."""
    return instrument.kind == "hand" and instrument.size <= SMALL_SIZE


def settle(lumen: Lumen, instrument: Instrument, tip_mm: float, chips: Levels) -> Lumen:
    """Chips are carried out on the flutes, left where cut, or pushed ahead; a large tip packs loose ones it meets."""
    levels, length = lumen.shape.levels_mm, lumen.shape.length_mm
    small = is_small(instrument)
    width_there = float(np.interp(min(tip_mm, length), levels, lumen.width_mm))
    piston = 0.0 if small else min(1.0, (instrument.tip_mm / max(1e-6, width_there)) ** 2)
    near = (levels > tip_mm - FREED_AHEAD_MM) & (levels <= tip_mm + AHEAD_MM)
    room = np.maximum(0.0, 0.98 * lumen.cell_mm3 - lumen.packed_mm3)
    packs = np.minimum(np.where(near, lumen.loose_mm3 * piston, 0.0), room)
    loose = lumen.loose_mm3 - packs
    made = float(chips.sum())
    left = made * (1 - TEACHING.carry_share * wetness(lumen))
    ahead = left * piston * 0.5
    if made > 0:
        loose = loose + chips / made * (left - ahead)
    beyond = ahead * min(1.0, max(0.0, tip_mm + AHEAD_MM - length))
    front = (levels > min(tip_mm, length - AHEAD_MM)) & (levels <= tip_mm + AHEAD_MM)
    if front.any():
        loose = loose + front / front.sum() * (ahead - beyond)
    return replace(
        lumen,
        loose_mm3=loose,
        packed_mm3=lumen.packed_mm3 + packs,
        extruded_mm3=lumen.extruded_mm3 + beyond,
        wet=max(0.0, lumen.wet - TEACHING.wet_per_use),
        stirred_mm=lumen.stirred_mm if small else 0.0,
    )


def stir(lumen: Lumen, instrument: Instrument, tip_mm: float) -> Lumen:
    """One stroke of a small file in a wet canal frees half the mud down to just ahead of its tip."""
    if not is_small(instrument) or lumen.wet <= 0:
        return lumen
    stirred = max(lumen.stirred_mm, tip_mm)
    if not lumen.packed_mm3.any():
        return lumen if stirred == lumen.stirred_mm else replace(lumen, stirred_mm=stirred)
    freed = np.where(lumen.shape.levels_mm <= tip_mm + FREED_AHEAD_MM, 0.5 * lumen.packed_mm3, 0.0)
    return replace(
        lumen,
        packed_mm3=lumen.packed_mm3 - freed,
        loose_mm3=lumen.loose_mm3 + freed,
        stirred_mm=stirred,
    )


def rinse(lumen: Lumen, needle_tip_mm: float, volume_ml: float) -> Lumen:
    """Wash loose chips out: to the needle's tip, a little ahead of it, and as deep as a small file has just stirred."""
    if volume_ml <= 0:
        return lumen
    reached = reached_share(lumen, needle_tip_mm)
    return replace(lumen, loose_mm3=lumen.loose_mm3 * (1 - reached * (1 - 0.5**volume_ml)), wet=1.0)


def reached_share(lumen: Lumen, needle_tip_mm: float) -> Levels:
    """Share of what lies at each level, shape (n,), that a rinse without end would take away, 0 to 1."""
    levels = lumen.shape.levels_mm
    reached = np.exp(-np.maximum(0.0, levels - needle_tip_mm) / TEACHING.exchange_mm)
    if lumen.stirred_mm > 0:
        stirred = levels <= lumen.stirred_mm + FREED_AHEAD_MM
        reached = np.where(stirred, np.maximum(reached, TEACHING.stirred_share), reached)
    return reached
