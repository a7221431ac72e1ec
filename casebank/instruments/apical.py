"""The apical gauge that a canal has by itself: what gauging it after a coronal flare, before shaping, must find."""

from dataclasses import dataclass

from casebank.anatomy import Tooth
from casebank.instruments.iso3630 import SIZES, Instrument, next_larger
from casebank.instruments.lumen import shape_of, untouched
from casebank.instruments.mechanics import depth_narrower_mm


@dataclass(frozen=True)
class ApicalGauge:
    """The largest hand file whose tip reaches working length, and by how much the next larger stops short of it.

    Attributes
    ----------
    size : int or None
        None where even the smallest stops short.
    next_size : int or None
        None above the largest.
    next_short_mm : float
    """

    size: int | None
    next_size: int | None
    next_short_mm: float


def apical_gauge(tooth: Tooth, canal: str) -> ApicalGauge:
    """The gauge of a canal at its working length; only the tip is looked at, as a flared canal grips no higher up."""
    shape = shape_of(tooth, canal)
    lumen, end_mm = untouched(shape), shape.working_depth_mm

    def tip_mm(size: int) -> float:
        return min(end_mm, depth_narrower_mm(lumen, Instrument(size).tip_mm))

    reaching = [size for size in SIZES if tip_mm(size) >= end_mm - 1e-9]
    size = max(reaching, default=None)
    larger = SIZES[0] if size is None else next_larger(size)
    return ApicalGauge(size, larger, end_mm - tip_mm(larger) if larger else 0.0)
