"""The pattern of trabeculae in marrow: a periodic, seeded 3-D texture with mean 1."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import fft

# powers of two, so that the kernel wraps by masking; 38 by 19 by 38 mm
SHAPE = (256, 64, 256)
SPACING_MM = (0.15, 0.30, 0.15)

Field = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Trabeculae:
    """A texture, shape (x, y, z) with sizes that are powers of two, and the distance between its points, mm."""

    texture: Field
    spacing_mm: NDArray[np.float64]


@lru_cache(maxsize=6)
def trabeculae(seed: int) -> Trabeculae:
    """The pattern of one patient.

    Fine struts are ridges where a band-passed random field passes through zero: thin plates that join up. A coarser
    field makes some regions denser, a very slow one shades the whole. All are stretched along the arch.
    """
    random = np.random.default_rng(seed)
    radii = np.meshgrid(
        fft.fftfreq(SHAPE[0], SPACING_MM[0]),
        fft.fftfreq(SHAPE[1], SPACING_MM[1]),
        fft.rfftfreq(SHAPE[2], SPACING_MM[2]),
        indexing="ij",
        sparse=True,
    )

    def field(centre_per_mm: float, width_per_mm: float, stretch: tuple[float, float, float]) -> Field:
        squared = sum((r.astype(np.float32) * s) ** 2 for r, s in zip(radii, stretch, strict=True))
        band = np.exp(-(((np.sqrt(squared) - np.float32(centre_per_mm)) / np.float32(width_per_mm)) ** 2))
        noise = random.standard_normal(SHAPE, dtype=np.float32)
        out = fft.irfftn(fft.rfftn(noise, workers=2) * band, s=SHAPE, workers=2)
        return np.asarray(out / out.std(), dtype=np.float32)

    fine = field(0.78, 0.24, (1.45, 2.6, 0.85))
    coarse = field(0.35, 0.15, (1.2, 1.5, 0.9))
    slow = field(0.0, 0.12, (1.0, 1.0, 1.0))
    struts = np.exp(-((np.abs(fine) / 0.36) ** 2))
    dense = 1 / (1 + np.exp(-(coarse - 0.6) * 4))
    texture = 0.20 + 1.9 * struts * (0.65 + 0.45 * dense) + 0.25 * dense
    texture *= np.clip(1 + 0.22 * slow, 0.3, 2)
    texture /= texture.mean()
    along_y = np.ascontiguousarray(np.moveaxis(texture, 1, 2), dtype=np.float32)  # as rays read it
    return Trabeculae(np.moveaxis(along_y, 2, 1), np.array(SPACING_MM))


def even() -> Trabeculae:
    """Marrow without a pattern."""
    return Trabeculae(np.ones((2, 2, 2), dtype=np.float32), np.ones(3))
