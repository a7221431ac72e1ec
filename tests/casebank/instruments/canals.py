"""Canals for the bench's tests: ideal ones with a closed form, and the lower molar with hard tissue in its way."""

from dataclasses import replace

import numpy as np

from casebank.anatomy import Narrowing, Tooth
from casebank.instruments import Lumen, Shape, untouched
from tests.teeth import lower_molar

FORAMEN_MM = {"MB": 19.8, "ML": 19.6, "D": 19.3}  # reference cusp to foramen, as built in tests/teeth.py


def straight(constriction_mm: float, taper: float, orifice_mm: float = 12.0, wall_mm: float = 1.10) -> Lumen:
    """A straight canal that widens evenly from its end, at depth `orifice_mm`, to its orifice."""
    levels = np.linspace(0, orifice_mm, round(orifice_mm * 10) + 1)
    return bent(constriction_mm + taper * (orifice_mm - levels), np.zeros_like(levels), wall_mm=wall_mm)


def bent(width_mm: np.ndarray, bend_per_mm: np.ndarray, *, across: bool = False, wall_mm: float = 1.10) -> Lumen:
    """A canal of given widths and bends at levels 0.1 mm apart; the bend towards the furcation or across it."""
    levels = np.linspace(0, (len(width_mm) - 1) / 10, len(width_mm))
    zero, wall = np.zeros_like(levels), np.full_like(levels, wall_mm)
    return untouched(
        Shape(
            name="ideal",
            levels_mm=levels,
            width_mm=np.array(width_mm, dtype=np.float64),
            bend_furcation_per_mm=zero.copy() if across else np.array(bend_per_mm),
            bend_across_per_mm=np.array(bend_per_mm) if across else zero,
            furcation_mm=wall,
            outer_mm=wall.copy(),
            cusp_to_orifice_mm=8.0,
            constriction_at_mm=float(levels[-1]),
        )
    )


def molar() -> Tooth:
    return lower_molar().tooth


def narrowed_molar() -> Tooth:
    """The molar with its mesial canals narrowed near the middle, so that an 08 must lead a 10."""
    return _with_narrowings(MB=(Narrowing(8.5, 0.069, 3.0),), ML=(Narrowing(8.0, 0.069, 3.0),))


def tight_mouthed_molar() -> Tooth:
    """The molar with tight mesial orifices, so that a 10 grips high up; in ML even a 10 does not enter."""
    return _with_narrowings(MB=(Narrowing(1.5, 0.16, 2.0),), ML=(Narrowing(0.0, 0.07, 2.0),))


def _with_narrowings(**narrowings: tuple[Narrowing, ...]) -> Tooth:
    tooth = molar()
    canals = tuple(replace(canal, narrowings=narrowings.get(canal.name, ())) for canal in tooth.canals)
    return replace(tooth, canals=canals)
