"""Canals for the pins: a bend of one radius in an even canal, and a canal as it is when flooded."""

from dataclasses import replace

import numpy as np

from casebank.instruments import Lumen
from tests.casebank.instruments.canals import bent

RADII_MM = (8.0, 12.0)
SPAN_MM = 6.1  # 61 levels of 0.1 mm


def arc(radius_mm: float, width_mm: float = 0.2) -> Lumen:
    """12 mm of even canal, straight for its first half, one bend towards the furcation in its second."""
    return bent(np.full(121, width_mm), np.where(np.arange(121) >= 60, 1 / radius_mm, 0.0))


def wet(lumen: Lumen) -> Lumen:
    return replace(lumen, wet=1.0)
