"""The streaks that metal leaves in an axial section: the error of one plane's own projections, spread back over it.

A beam that has passed metal is harder than the reconstruction assumes, so the line integral through metal is read too
small, by an amount that grows with the square of the path. Filtered and spread back, that error gives dark bands
between two pieces of metal and pale ones beside them. Strength and size of the coarse grid are teaching choices; mild
on purpose: real streaks are stronger.
"""

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.radiograph.materials import Material

METALS = (Material.METAL, Material.STEEL, Material.NICKEL_TITANIUM)
COARSE_MM = 0.45
ANGLES = 90
LOST_PER_MM2 = 0.011  # of a line integral, per squared millimetre of metal on the way
LEAST_METAL_MM2 = 0.05

Picture = NDArray[np.float32]


def streaks(shares: Picture, pitch_mm: float) -> Picture:
    """Change of attenuation, shape (rows, columns), 1/mm, from shares, shape (rows, columns, materials)."""
    metal = shares[..., list(METALS)].sum(axis=-1)
    if float(metal.sum()) * pitch_mm**2 < LEAST_METAL_MM2:
        return np.zeros(metal.shape, dtype=np.float32)
    every = max(1, round(COARSE_MM / pitch_mm))
    coarse = ndimage.uniform_filter(metal, every)[every // 2 :: every, every // 2 :: every]
    pitch = every * pitch_mm
    rows, columns = coarse.shape
    y, x = np.mgrid[:rows, :columns].astype(np.float64)
    x, y = x - (columns - 1) / 2, y - (rows - 1) / 2
    bins = 2 * int(np.ceil(np.hypot(rows, columns) / 2)) + 3
    ramp = np.abs(np.fft.rfftfreq(2 * bins)) / pitch
    here = coarse > 0
    spread = np.zeros(coarse.shape)
    for angle in np.pi * (np.arange(ANGLES) + 0.5) / ANGLES:
        place = np.cos(angle) * x + np.sin(angle) * y + bins / 2
        path_mm = _projected(place[here], coarse[here], bins) * pitch
        error = np.fft.irfft(np.fft.rfft(-LOST_PER_MM2 * path_mm**2, 2 * bins) * ramp)[:bins]
        spread += np.interp(place, np.arange(bins), error)
    spread *= np.pi / ANGLES
    fine_rows = (np.arange(shares.shape[0]) - every // 2) / every
    fine_columns = (np.arange(shares.shape[1]) - every // 2) / every
    places = np.meshgrid(fine_rows, fine_columns, indexing="ij")
    return np.asarray(ndimage.map_coordinates(spread, places, order=1, mode="nearest"), dtype=np.float32)


def _projected(place: NDArray[np.float64], weight: Picture, bins: int) -> NDArray[np.float64]:
    """Weights summed into bins, each shared between its two nearest."""
    low = np.floor(place).astype(np.int64)
    share = place - low
    first = np.bincount(low, weights=weight * (1 - share), minlength=bins)
    second = np.bincount(low + 1, weights=weight * share, minlength=bins)
    return np.asarray(first[:bins] + second[:bins])
