"""From path lengths to a picture: five-bin attenuation, scatter, blur, quantum noise, display curve.

Sizes are in millimetres on the receptor, so a film of fewer pixels shows the same film. Scatter share, dose and display
curve are teaching choices.
"""

from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise

import numba
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from casebank.radiograph.materials import attenuation

Signal = NDArray[np.float32]

SCATTER_SHARE = 0.14
SCATTER_MM = 2.7
BLUR_MM = 0.027  # penumbra of a 0.7 mm focal spot and the receptor's own spread, as one standard deviation
QUANTA_PER_MM2 = 7.5e6  # of the open beam
GRAIN_MM = 0.0155  # neighbouring pixels share light, so their noise is partly the same
ELECTRONIC = 0.0012  # noise of the electronics, as a share of the open beam
COLUMN_GAIN = 0.002
DARKEST, BRIGHTEST, GAMMA = 0.30, 2.80, 1.04  # absorbance shown as black and white, exponent of the curve
SHARPEN, SHARPEN_MM = 0.40, 0.066
SHOULDER = 0.82
TISSUE, TARGET = 0.75, 0.265  # signal below which a ray met tissue; median of those that an exposure is timed to
TIME_LIMITS = (0.8, 1.4)  # shortest and longest exposure over the usual one
CORNER_SHARE = 0.03  # radius of the receptor's corners over its width
LEAST = 1e-4


@numba.njit(nogil=True, fastmath=True, cache=True)
def _transmit(
    signal: Signal, paths: Signal, mu: NDArray[np.float32], weights: NDArray[np.float32], first: int, last: int
) -> None:  # pragma: no cover - compiled
    materials, bins = mu.shape
    for i in range(first, last):
        for j in range(paths.shape[1]):
            total = np.float32(0.0)
            for e in range(bins):
                a = np.float32(0.0)
                for m in range(materials):
                    a += mu[m, e] * paths[i, j, m]
                total += weights[e] * np.exp(-a)
            signal[i, j] = total


def transmission(paths: Signal, *, threads: int = 2) -> Signal:
    """Share of the open beam's signal behind path lengths, shape (rows, columns, materials) mm -> (rows, columns)."""
    table = attenuation()
    mu, weights = table.mu_per_mm.astype(np.float32), table.weights.astype(np.float32)
    signal = np.empty(paths.shape[:2], dtype=np.float32)
    edges = np.linspace(0, len(paths), 4 * threads + 1).astype(int).tolist()

    def run(band: tuple[int, int]) -> None:
        _transmit(signal, paths, mu, weights, *band)

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(run, pairwise(edges)))
    return signal


def timed(signal: Signal) -> Signal:
    """The signal at an exposure time set for the region: tissue is equally grey in front and at the back.

    Common practice, no source; the target and its limits are teaching choices.
    """
    tissue = signal[::4, ::4]
    tissue = tissue[tissue < TISSUE]
    if tissue.size == 0:
        return signal
    return signal * np.float32(np.clip(TARGET / float(np.median(tissue)), *TIME_LIMITS))


def expose(signal: Signal, pitch_mm: float, seed: int, *, noise: bool = True) -> Signal:
    """What the receptor reads: scatter added, blurred, and noise from a seed; shares of the open beam, never 0."""
    signal = (1 - SCATTER_SHARE) * signal + SCATTER_SHARE * _veil(signal, pitch_mm)
    signal = _blurred(signal, BLUR_MM / pitch_mm)
    if noise:
        random = np.random.default_rng(seed)
        variance = signal / np.float32(QUANTA_PER_MM2 * pitch_mm**2) + np.float32(ELECTRONIC**2)
        signal = signal + _grain(random, signal.shape, pitch_mm) * np.sqrt(variance)
        signal *= 1 + np.float32(COLUMN_GAIN) * random.standard_normal((1, signal.shape[1]), dtype=np.float32)
    return np.maximum(signal, np.float32(LEAST))


def display(signal: Signal, pitch_mm: float) -> Signal:
    """The display curve: signal -> shade from 0 (black) to 1 (white), more absorbed being lighter."""
    shade = np.clip((-np.log(signal) - np.float32(DARKEST)) / np.float32(BRIGHTEST - DARKEST), 0, 1.15)
    shade = shade ** np.float32(GAMMA)
    shade += np.float32(SHARPEN) * (shade - _blurred(shade, SHARPEN_MM / pitch_mm))
    shade /= 1 + np.maximum(shade - np.float32(SHOULDER), 0) * np.float32(0.55)
    return np.asarray(np.clip(shade, 0, 1), dtype=np.float32)


def to_8_bit(shade: Signal) -> NDArray[np.uint8]:
    """Shades as bytes; the receptor's rounded corners are black."""
    return np.where(_corners(shade.shape), np.uint8(0), (shade * 245 + 4).astype(np.uint8))


def to_16_bit(shade: Signal) -> NDArray[np.uint16]:
    """Shades as 16-bit numbers; the receptor's rounded corners are black."""
    return np.where(_corners(shade.shape), np.uint16(0), (shade * 62965 + 1028).astype(np.uint16))


def _corners(shape: tuple[int, ...]) -> NDArray[np.bool_]:
    rows, columns = shape
    radius = int(columns * CORNER_SHARE)
    y, x = np.ogrid[:rows, :columns]
    aside = np.maximum(np.maximum(radius - x, x - (columns - 1 - radius)), 0)
    beyond = np.maximum(np.maximum(radius - y, y - (rows - 1 - radius)), 0)
    return np.asarray(aside * aside + beyond * beyond > radius * radius)


def _blurred(signal: Signal, sigma_px: float) -> Signal:
    reach = max(1, int(3 * sigma_px + 0.5))
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma_px) ** 2)
    return _spread(signal, weights / weights.sum())


def _spread(signal: Signal, weights: NDArray[np.float64]) -> Signal:
    """A picture spread by the same weights down and across, each direction in two halves side by side."""
    for axis in (0, 1):
        out = np.empty_like(signal)
        middle = signal.shape[1 - axis] // 2

        def run(half: slice, axis: int = axis, signal: Signal = signal, out: Signal = out) -> None:
            part = (half, slice(None)) if axis == 1 else (slice(None), half)
            ndimage.correlate1d(signal[part], weights, axis=axis, output=out[part], mode="nearest")

        with ThreadPoolExecutor(2) as pool:
            list(pool.map(run, (slice(0, middle), slice(middle, None))))
        signal = out
    return signal


def _veil(signal: Signal, pitch_mm: float) -> Signal:
    """Scatter: the signal spread so widely that a coarse grid carries it."""
    every = max(1, round(SCATTER_MM / pitch_mm / 12))
    coarse = _blurred(signal[::every, ::every], SCATTER_MM / pitch_mm / every)
    rows = np.minimum(np.arange(signal.shape[0]) / every, coarse.shape[0] - 1).astype(np.float32)
    columns = np.minimum(np.arange(signal.shape[1]) / every, coarse.shape[1] - 1).astype(np.float32)
    return _stretched(_stretched(coarse, rows).T, columns).T


def _stretched(coarse: Signal, at: Signal) -> Signal:
    """Rows of a picture at fractional places, linear between them."""
    low = np.minimum(at.astype(np.int64), len(coarse) - 2)
    share = (at - low)[:, None]
    return np.asarray(coarse[low] * (1 - share) + coarse[low + 1] * share, dtype=np.float32)


def _grain(random: np.random.Generator, shape: tuple[int, ...], pitch_mm: float) -> Signal:
    """Noise of standard deviation 1 whose neighbours are partly the same."""
    sigma = GRAIN_MM / pitch_mm
    raw = random.standard_normal(shape, dtype=np.float32)
    offsets = np.arange(-2, 3)
    weights = np.exp(-0.5 * (offsets / sigma) ** 2)
    return _spread(raw, weights / np.sqrt((weights**2).sum()))
