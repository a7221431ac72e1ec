"""What an instrument takes from the walls: widening to its own diameter, and brushing from one side.

Root width is conserved: what the lumen gains, the two walls lose. An instrument that leans on a bend cuts the inside of
it higher up and the outside near its tip; with more side force more of the cut goes to that one wall.
"""

from dataclasses import replace
from typing import Literal

import numpy as np

from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.mechanics import side_force_n
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
        lean = np.zeros_like(width)
        force = side_force_n(lumen, instrument, tip_mm, precurve_per_mm)[:count]
        inner = np.where(from_tip > TEACHING.outer_cut_mm, 1.0, -1.0)
        lean[:count] = lean_share(force) * inner * shape.toward_furcation[:count]
        lean = _bridged(lean, shape.step_mm)
    else:
        lean = np.full_like(width, 1.0 if side == "toward" else -1.0)
    return _opened(lumen, width, lean)


def brush(lumen: Lumen, depth_mm: float, strokes: float, side: Side) -> tuple[Lumen, Levels]:
    """Take dentine from one wall over the coronal half of the reach, falling to nothing at `depth_mm`."""
    if depth_mm <= 0 or strokes <= 0:
        return lumen, np.zeros_like(lumen.width_mm)
    taken = TEACHING.brush_mm * strokes * np.clip(2 - 2 * lumen.shape.levels_mm / depth_mm, 0, 1)
    return _opened(lumen, lumen.width_mm + taken, np.full_like(taken, 1.0 if side == "toward" else -1.0))


def chips_mm3(lumen: Lumen, instrument: Instrument, tips_mm: Levels) -> Levels:
    """Dentine cut from the orifice down by an instrument bored to m depths, shape (m,), mm³."""
    from_tip = tips_mm[:, None] - lumen.shape.levels_mm
    bored = np.where(from_tip > -1e-7, instrument.diameters_mm(from_tip), 0.0)
    gained = np.maximum(0.0, bored * bored - lumen.width_mm * lumen.width_mm)
    return np.asarray(np.pi / 4 * (gained * lumen.shape.cells_mm).sum(axis=1))


def _opened(lumen: Lumen, width: Levels, lean: Levels) -> tuple[Lumen, Levels]:
    """The lumen at a new width; `lean` +1 takes all from the furcation wall, -1 all from the outer one."""
    gain = width - lumen.width_mm
    chips = np.pi / 4 * (width**2 - lumen.width_mm**2) * lumen.shape.cells_mm
    opened = replace(
        lumen,
        width_mm=width,
        furcation_mm=lumen.furcation_mm - gain / 2 * (1 + lean),
        outer_mm=lumen.outer_mm - gain / 2 * (1 - lean),
    )
    return opened, chips


def _bridged(lean: Levels, step_mm: float) -> Levels:
    """Running mean: a file bridges the ends of a bend instead of turning at once."""
    width = round(TEACHING.bridge_mm / step_mm) | 1
    edges = np.full(width // 2 + 1, lean[0]), lean, np.full(width // 2, lean[-1])
    sums = np.cumsum(np.concatenate(edges))
    return np.asarray((sums[width:] - sums[:-width]) / width)
