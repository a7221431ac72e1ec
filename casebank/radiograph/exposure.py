"""From path lengths to a picture: five-bin attenuation, scatter, blur, quantum noise, display curve.

Sizes are in millimetres on the receptor, so a film of fewer pixels shows the same film. Scatter share, dose and display
curve are teaching choices.
"""

from collections.abc import Callable
from functools import cache, partial
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from casebank.radiograph import develop
from casebank.radiograph.materials import attenuation
from casebank.radiograph.threads import RENDER_THREADS, side_by_side

Signal = NDArray[np.float32]
Steps = TypeVar("Steps", np.uint8, np.uint16)

SCATTER_SHARE = 0.14
SCATTER_MM = 2.7
BLUR_MM = 0.027  # penumbra of a 0.7 mm focal spot and the receptor's own spread, as one standard deviation
QUANTA_PER_MM2 = 7.5e6  # of the open beam
GRAIN_MM = 0.0155  # neighbouring pixels share light, so their noise is partly the same
ELECTRONIC = 0.0012  # noise of the electronics, as a share of the open beam
COLUMN_GAIN = 0.002
DARKEST, BRIGHTEST, GAMMA = 0.44, 2.66, 1.04  # absorbance shown as black and white, exponent of the curve
SHARPEN, SHARPEN_MM = 0.40, 0.066
CLARITY, CLARITY_MM = 0.45, 1.5  # what stands out of its surroundings is shown more strongly, as sensors' programs do
SHOULDER, SHOULDER_BEND = 0.82, 0.55
TISSUE, TARGET = 0.75, 0.265  # signal below which a ray met tissue; median of those that an exposure is timed to
TIME_LIMITS = (0.8, 1.4)  # shortest and longest exposure over the usual one
CORNER_SHARE = 0.03  # radius of the receptor's corners over its width
LEAST = 1e-4
BAND_ROWS = 64
# Lagrange's cubic through four even places, three quarters of the way from the second to the third
QUARTER_BEFORE = tuple(np.float32(n / 128) for n in (-5, 35, 105, -7))


def transmission(paths: Signal, *, threads: int = RENDER_THREADS) -> Signal:
    """Share of the open beam's signal behind path lengths, shape (rows, columns, materials) mm -> (rows, columns)."""
    by_material = np.ascontiguousarray(np.moveaxis(paths, -1, 0))
    signal = np.empty(paths.shape[:2], dtype=np.float32)
    _in_bands(len(signal), lambda first, last: transmit(signal, first, by_material[:, first:last]), threads)
    return signal


def transmit(signal: Signal, first: int, band: Signal) -> None:
    """Fill rows of a signal, from the first on, with what passes path lengths of shape (materials, rows, columns)."""
    mu, weights = _table()
    develop.transmit(signal, np.ascontiguousarray(band), mu, weights, develop.POWERS, first, first + band.shape[1])


def _table() -> tuple[Signal, Signal]:
    """Attenuation in halvings per mm, shape (materials, bins), and the bins' weights."""
    table = attenuation()
    return (table.mu_per_mm / np.log(2)).astype(np.float32), table.weights.astype(np.float32)


def timed(signal: Signal) -> Signal:
    """The signal at an exposure time set for the region: tissue is equally grey in front and at the back.

    Common practice, no source; the target and its limits are teaching choices.
    """
    tissue = signal[::4, ::4]
    tissue = tissue[tissue < TISSUE]
    if tissue.size == 0:
        return signal
    return signal * np.float32(np.clip(TARGET / float(np.median(tissue)), *TIME_LIMITS))


def doubled(signal: Signal) -> Signal:
    """A signal on twice as many rows and columns, along cubic curves through the four nearest values, never below 0."""
    for _ in range(2):  # down, then across
        edged = np.concatenate([signal[:1], signal[:1], signal, signal[-1:], signal[-1:]])
        places = [edged[k : k + len(signal)] for k in range(5)]
        finer = np.empty((2 * len(signal), signal.shape[1]), dtype=np.float32)
        finer[0::2] = sum(weight * place for weight, place in zip(QUARTER_BEFORE, places[:4], strict=True))
        finer[1::2] = sum(weight * place for weight, place in zip(QUARTER_BEFORE[::-1], places[1:], strict=True))
        signal = np.ascontiguousarray(finer.T)
    return np.maximum(signal, np.float32(0))


def expose(signal: Signal, pitch_mm: float, seed: int, *, noise: bool = True, threads: int = RENDER_THREADS) -> Signal:
    """What the receptor reads: scatter added, blurred, and noise from a seed; shares of the open beam, never 0."""
    signal = np.ascontiguousarray(signal, dtype=np.float32)
    every = max(1, round(SCATTER_MM / pitch_mm / 12))
    coarse = _blurred(np.ascontiguousarray(signal[::every, ::every]), SCATTER_MM / pitch_mm / every, 1)
    behind = np.empty_like(signal)
    _in_bands(len(signal), partial(develop.veiled, behind, signal, coarse, every, SCATTER_SHARE), threads)
    read = _blurred(behind, BLUR_MM / pitch_mm, threads)
    if not noise:
        return np.maximum(read, np.float32(LEAST))
    columns = _random(seed, 0).standard_normal(signal.shape[1], dtype=np.float32)
    gain = np.asarray(1 + np.float32(COLUMN_GAIN) * columns)
    per_quantum = 1 / (QUANTA_PER_MM2 * pitch_mm**2)
    grain = _grain(seed, signal.shape, pitch_mm, threads)
    _in_bands(len(read), partial(develop.add_noise, read, grain, gain, per_quantum, ELECTRONIC**2, LEAST), threads)
    return read


def display(signal: Signal, pitch_mm: float, *, threads: int = RENDER_THREADS) -> Signal:
    """The display curve: signal -> shade from 0 (black) to 1 (white), more absorbed being lighter."""
    curve, lowest = _curve()
    signal = np.ascontiguousarray(signal, dtype=np.float32)
    shade = np.empty_like(signal)
    _in_bands(len(signal), partial(develop.curved, shade, signal, curve, lowest), threads)
    # a veil taken away instead of laid over: what differs from its surroundings stands out more
    every = max(1, round(CLARITY_MM / pitch_mm / 12))
    around = _blurred(np.ascontiguousarray(shade[::every, ::every]), CLARITY_MM / pitch_mm / every, 1)
    clear = np.empty_like(shade)
    _in_bands(len(shade), partial(develop.veiled, clear, shade, around, every, -CLARITY), threads)
    soft = _blurred(clear, SHARPEN_MM / pitch_mm, threads)
    _in_bands(len(clear), partial(develop.sharpened, clear, soft, SHARPEN, SHOULDER, SHOULDER_BEND), threads)
    return clear


@cache
def _curve() -> tuple[Signal, int]:
    """The curve at even steps of every halving of the signal, and the bits of the signal it begins with."""
    lowest, highest = (int(np.float32(value).view(np.int32)) for value in (2.0**-14, 4.0))
    bits = np.arange(lowest, highest + 1, 1 << (23 - develop.PER_OCTAVE_BITS), dtype=np.int32)
    absorbed = -np.log(bits.view(np.float32).astype(np.float64))
    shade = np.clip((absorbed - DARKEST) / (BRIGHTEST - DARKEST), 0, 1.15) ** GAMMA
    return shade.astype(np.float32), lowest


def to_8_bit(shade: Signal) -> NDArray[np.uint8]:
    """Shades as bytes; the receptor's rounded corners are black."""
    return _without_corners((shade * np.float32(245) + np.float32(4)).astype(np.uint8))


def to_16_bit(shade: Signal) -> NDArray[np.uint16]:
    """Shades as 16-bit numbers; the receptor's rounded corners are black."""
    return _without_corners((shade * np.float32(62965) + np.float32(1028)).astype(np.uint16))


def _without_corners(picture: NDArray[Steps]) -> NDArray[Steps]:
    radius = int(picture.shape[1] * CORNER_SHARE)
    away = np.arange(radius, 0, -1)
    beyond = away[:, None] ** 2 + away**2 > radius * radius
    for corner in (picture, picture[::-1], picture[:, ::-1], picture[::-1, ::-1]):
        corner[:radius, :radius][beyond] = 0
    return picture


def _in_bands(rows: int, work: Callable[[int, int], None], threads: int) -> None:
    """Do rows `first` to `last` of a picture, band by band."""
    side_by_side(lambda first: work(first, min(rows, first + BAND_ROWS)), range(0, rows, BAND_ROWS), threads=threads)


def _blurred(signal: Signal, sigma_px: float, threads: int) -> Signal:
    reach = max(1, int(3 * sigma_px + 0.5))
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma_px) ** 2)
    return _spread(signal, weights / weights.sum(), threads)


def _spread(signal: Signal, weights: NDArray[np.float64], threads: int) -> Signal:
    """A picture spread by the same weights down and across."""
    out = np.empty_like(signal)
    _in_bands(len(signal), partial(develop.spread, out, signal, weights.astype(np.float32)), threads)
    return out


def _random(seed: int, stream: int) -> np.random.Generator:
    return np.random.Generator(np.random.SFC64([seed, stream]))


def _grain(seed: int, shape: tuple[int, ...], pitch_mm: float, threads: int) -> Signal:
    """Noise of standard deviation 1 whose neighbours are partly the same; each band of rows has a stream of its own."""
    raw = np.empty(shape, dtype=np.float32)

    def fill(first: int, last: int) -> None:
        _random(seed, 1 + first // BAND_ROWS).standard_normal(dtype=np.float32, out=raw[first:last])

    _in_bands(shape[0], fill, threads)
    weights = np.exp(-0.5 * (np.arange(-2, 3) / (GRAIN_MM / pitch_mm)) ** 2)
    return _spread(raw, weights / np.sqrt((weights**2).sum()), threads)
