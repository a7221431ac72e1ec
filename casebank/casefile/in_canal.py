"""An instrument standing in a canal, as the shape a film can show."""

import math

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy
from casebank.instruments import Instrument
from casebank.instruments.iso3630 import Kind
from casebank.radiograph import Material, Rod, rod_in_canal

TIP_ANGLE_DEG = 75.0  # of the pointed tip, 75 with 15 either way: older ISO 3630-1, from memory
POINT_MM = 0.02  # diameter at the very point, which cannot be 0
MATERIALS: dict[Kind, Material] = {
    "hand": Material.STEEL,
    "engine": Material.NICKEL_TITANIUM,
    "flare": Material.NICKEL_TITANIUM,
    "cone": Material.ROOT_FILLING,
}


def instrument_rod(
    anatomy: Anatomy, canal: str, instrument: Instrument, short_mm: float, *, shaft_mm: float = 16.0
) -> Rod:
    """Any instrument or cone with its tip `short_mm` short of the foramen, along the canal; below 0 beyond it.

    Its diameter follows the instrument's own law; the last of it runs out in a point, so that the rod ends where the
    tip is said to be.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If the tip would not lie in the canal or within 5 mm of its end.
    """
    half_slope = math.tan(math.radians(TIP_ANGLE_DEG / 2))

    def diameters_mm(from_tip_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        point = np.maximum(POINT_MM, 2 * half_slope * from_tip_mm)
        return np.minimum(instrument.diameters_mm(from_tip_mm), point)

    return rod_in_canal(
        anatomy,
        canal,
        diameters_mm,
        short_mm,
        shaft_mm=shaft_mm,
        point_mm=instrument.tip_mm / half_slope,
        material=MATERIALS[instrument.kind],
    )


def file_rod(anatomy: Anatomy, canal: str, size: int, short_mm: float) -> Rod:
    """A hand file with its tip `short_mm` short of the foramen, along the canal.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If there is no such size or the tip would not lie in the canal.
    """
    return instrument_rod(anatomy, canal, Instrument(size), short_mm)
