"""The apical gauge that a canal has by itself: what gauging it after a coronal flare, before shaping, must find."""

from dataclasses import dataclass, replace

import numpy as np

from casebank.anatomy import Tooth
from casebank.instruments.iso3630 import SIZES, Instrument, coronal_flare, next_larger
from casebank.instruments.lumen import Lumen, Shape, shape_of, untouched
from casebank.instruments.mechanics import depth_narrower_mm

FLARED_SHARE = 1 / 3  # of the canal's length, from its orifice, that a coronal flare opens: a teaching choice


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
    """The gauge of a canal of a tooth at its working length."""
    return gauge_in(shape_of(tooth, canal))


def gauge_in(shape: Shape) -> ApicalGauge:
    """The gauge of an untouched canal; only the tip is looked at, as a flared canal grips no higher up."""
    lumen, end_mm = _flared(shape), shape.working_depth_mm

    def tip_mm(size: int) -> float:
        return min(end_mm, depth_narrower_mm(lumen, Instrument(size).tip_mm))

    reaching = [size for size in SIZES if tip_mm(size) >= end_mm - 1e-9]
    size = max(reaching, default=None)
    larger = SIZES[0] if size is None else next_larger(size)
    return ApicalGauge(size, larger, end_mm - tip_mm(larger) if larger else 0.0)


def _flared(shape: Shape) -> Lumen:
    """The canal once a coronal flare stands in its coronal third: hard tissue there no longer holds a file."""
    above_tip_mm = FLARED_SHARE * shape.length_mm - shape.levels_mm
    opened_mm = np.where(above_tip_mm >= 0, coronal_flare().diameters_mm(above_tip_mm), 0.0)
    return replace(untouched(shape), width_mm=np.maximum(shape.width_mm, opened_mm))
