"""What an instrument takes from the walls: widening to its own diameter, and brushing from one side.

Root width is conserved: what the lumen gains, the two walls lose. An instrument that leans on a bend cuts the inside of
it higher up and the outside near its tip; with more side force more of the cut goes to that one wall.
"""

from dataclasses import replace
from typing import Literal

import numpy as np

from casebank.instruments import advance
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.mechanics import Grip, effort
from casebank.instruments.teaching import TEACHING

Side = Literal["away", "toward"]


def lean_share(force_n: Levels) -> Levels:
    """Share of a cut that goes to the one wall an instrument leans on, 0 to 1."""
    return force_n / (force_n + TEACHING.side_half_n)


def widen(
    lumen: Lumen,
    instrument: Instrument,
    tip_mm: float,
    *,
    overcut_mm: float = 0.0,
    precurve_per_mm: float = 0.0,
    side: Side | None = None,
) -> tuple[Lumen, Levels]:
    """Cut the lumen to an instrument standing at a depth; the new lumen and the chips made, shape (n,), mm³."""
    shape = lumen.shape
    count = lumen.count_to(tip_mm)
    from_tip = tip_mm - shape.levels_mm[:count]
    width = lumen.width_mm.copy()
    width[:count] = np.maximum(width[:count], instrument.diameters_mm(from_tip) + overcut_mm)
    if not (width > lumen.width_mm).any():
        return lumen, np.zeros_like(width)
    if side is None:
        lean = advance.leans(
            effort(lumen, instrument, Grip(0.0, precurve_per_mm)),
            lumen.way,
            shape.bends,
            shape.toward_furcation,
            tip_mm,
            TEACHING.side_half_n,
            TEACHING.outer_cut_mm,
            round(TEACHING.bridge_mm / shape.step_mm) | 1,
        )
    else:
        lean = np.full_like(width, 1.0 if side == "toward" else -1.0)
    return _opened(lumen, width, lean)


def brush(lumen: Lumen, depth_mm: float, strokes: float, side: Side) -> tuple[Lumen, Levels]:
    """Take dentine from one wall over the coronal half of the reach, falling to nothing at `depth_mm`."""
    if depth_mm <= 0 or strokes <= 0:
        return lumen, np.zeros_like(lumen.width_mm)
    taken = TEACHING.brush_mm * strokes * np.clip(2 - 2 * lumen.shape.levels_mm / depth_mm, 0, 1)
    return _opened(lumen, lumen.width_mm + taken, np.full_like(taken, 1.0 if side == "toward" else -1.0))


def chips_mm3(lumen: Lumen, instrument: Instrument, tip_mm: float) -> float:
    """Dentine cut from the orifice down by an instrument bored to a depth, mm³."""
    return float(advance.bored_mm3(effort(lumen, instrument, Grip(0.0)), lumen.way, tip_mm))


def _opened(lumen: Lumen, width: Levels, lean: Levels) -> tuple[Lumen, Levels]:
    """The lumen at a new width; `lean` +1 takes all from the furcation wall, -1 all from the outer one."""
    width, furcation, outer, chips = advance.opened(lumen.way, lumen.furcation_mm, lumen.outer_mm, width, lean)
    return replace(lumen, width_mm=width, furcation_mm=furcation, outer_mm=outer), chips
