"""The compiled rows behind an exposure: attenuation, blur, scatter and curve over whole rows of a picture at once.

Each fills rows `first` to `last` of its output and may run beside others; all is in 32-bit floats.
"""

import math

import numba
import numpy as np
from numpy.typing import NDArray

from casebank.radiograph.meeting import ARITHMETIC

Signal = NDArray[np.float32]

CHUNK = 128  # columns: a material none of them meets is passed over
PER_OCTAVE_BITS = 9  # the curve has 512 steps for each halving of the signal


def _powers_of_two() -> Signal:
    """Coefficients of 2^x for x from 0 to 1, ascending: right to 2e-7, the last digit of a 32-bit number."""
    polynomial = np.polynomial.Chebyshev.interpolate(np.exp2, 6, domain=[0, 1])
    return np.asarray(polynomial.convert(kind=np.polynomial.Polynomial).coef, dtype=np.float32)


POWERS = _powers_of_two()


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def transmit(
    signal: Signal, paths: Signal, mu: Signal, weights: Signal, powers: Signal, first: int, last: int
) -> None:  # pragma: no cover - compiled
    """Five-bin attenuation: `signal` (rows, columns) behind `paths` (materials, rows, columns), from row `first` on.

    `mu` (materials, bins) is in powers of two: attenuation over ln 2.
    """
    materials, bins = mu.shape
    columns = paths.shape[2]
    weak, bits = np.empty((bins, CHUNK), dtype=np.float32), np.empty(CHUNK, dtype=np.int32)
    scale = bits.view(np.float32)
    share, total = np.empty(CHUNK, dtype=np.float32), np.empty(CHUNK, dtype=np.float32)
    for i in range(last - first):
        for left in range(0, columns, CHUNK):
            width = min(CHUNK, columns - left)
            weak[:, :] = np.float32(0.0)
            for m in range(materials):
                row = paths[m, i, left : left + width]
                longest = np.float32(0.0)
                for n in range(width):
                    longest = row[n] if row[n] > longest else longest
                if longest > 0:
                    for e in range(bins):
                        by, line = mu[m, e], weak[e]
                        for n in range(width):
                            line[n] += by * row[n]
            total[:] = np.float32(0.0)
            for e in range(bins):
                line, weight = weak[e], weights[e]
                for n in range(width):
                    x = -line[n] if line[n] < np.float32(120.0) else np.float32(-120.0)
                    whole = np.float32(math.floor(x))
                    f = x - whole
                    bits[n] = (np.int32(whole) + np.int32(127)) << np.int32(23)  # 2^whole as a 32-bit float
                    p = powers[6]
                    for k in range(5, -1, -1):
                        p = p * f + powers[k]
                    share[n] = p
                for n in range(width):
                    total[n] += weight * share[n] * scale[n]
            signal[first + i, left : left + width] = total[:width]


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def spread(out: Signal, picture: Signal, weights: Signal, first: int, last: int) -> None:  # pragma: no cover - compiled
    """A picture spread by the same weights down and across; beyond its edge it goes on as at the edge."""
    rows, columns = picture.shape
    reach = len(weights) // 2
    padded, line = np.empty(columns + 2 * reach, dtype=np.float32), np.empty(columns, dtype=np.float32)
    middle = padded[reach : reach + columns]
    for i in range(first, last):
        middle[:] = np.float32(0.0)
        for k in range(len(weights)):
            row, weight = picture[min(max(i + k - reach, 0), rows - 1)], weights[k]
            for j in range(columns):
                middle[j] += weight * row[j]
        padded[:reach] = middle[0]
        padded[reach + columns :] = middle[columns - 1]
        line[:] = np.float32(0.0)
        for k in range(len(weights)):
            moved, weight = padded[k : k + columns], weights[k]
            for j in range(columns):
                line[j] += weight * moved[j]
        out[i] = line


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def veiled(
    out: Signal, signal: Signal, coarse: Signal, every: int, share: float, first: int, last: int
) -> None:  # pragma: no cover - compiled
    """The signal with a share of it replaced by a coarse picture, linear between its points."""
    columns = signal.shape[1]
    keep, add, per = np.float32(1 - share), np.float32(share), np.float32(1.0 / every)
    line = np.empty(coarse.shape[1] + 1, dtype=np.float32)
    for i in range(first, last):
        low = min(i // every, coarse.shape[0] - 1)
        high = min(low + 1, coarse.shape[0] - 1)
        down = np.float32(i - low * every) * per if high > low else np.float32(0.0)
        line[:-1] = coarse[low] * (np.float32(1.0) - down) + coarse[high] * down
        line[-1] = line[-2]
        for place in range(coarse.shape[1]):
            start, step = line[place], (line[place + 1] - line[place]) * per
            for j in range(place * every, min(columns, (place + 1) * every)):
                out[i, j] = keep * signal[i, j] + add * (start + step * np.float32(j - place * every))


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def add_noise(
    signal: Signal, grain: Signal, columns_gain: Signal, per_quantum: float, floor_variance: float, least: float,
    first: int, last: int,
) -> None:  # fmt: skip  # pragma: no cover - compiled
    """Quantum and electronic noise by the signal's own strength, and each column's gain, into the signal itself."""
    per, floor, lowest = np.float32(per_quantum), np.float32(floor_variance), np.float32(least)
    for i in range(first, last):
        row, noise = signal[i], grain[i]
        for j in range(len(row)):
            value = (row[j] + noise[j] * math.sqrt(row[j] * per + floor)) * columns_gain[j]
            row[j] = value if value > lowest else lowest


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def curved(
    out: Signal, signal: Signal, curve: Signal, lowest_bits: int, first: int, last: int
) -> None:  # pragma: no cover - compiled
    """A curve looked up by the signal's own bits, which count halvings, and drawn straight between its points."""
    fraction_bits = np.int32(23 - PER_OCTAVE_BITS)
    mask, unit = np.int32((1 << (23 - PER_OCTAVE_BITS)) - 1), np.float32(1.0 / (1 << (23 - PER_OCTAVE_BITS)))
    bits = signal.view(np.int32)
    for i in range(first, last):
        for j in range(signal.shape[1]):
            offset = bits[i, j] - np.int32(lowest_bits)
            place = np.uint32(min(max(offset >> fraction_bits, 0), len(curve) - 2))
            low, high = curve[place], curve[place + np.uint32(1)]
            out[i, j] = low + (high - low) * (np.float32(offset & mask) * unit)


@numba.njit(nogil=True, fastmath=ARITHMETIC, error_model="numpy", cache=True)
def sharpened(
    shade: Signal, soft: Signal, strength: float, shoulder: float, bend: float, first: int, last: int
) -> None:  # pragma: no cover - compiled
    """Shades set off from their surroundings, the brightest bent down, within 0 and 1: into the shades themselves."""
    gain, knee, slope = np.float32(strength), np.float32(shoulder), np.float32(bend)
    zero, one = np.float32(0.0), np.float32(1.0)
    for i in range(first, last):
        row, round_it = shade[i], soft[i]
        for j in range(len(row)):
            value = row[j] + gain * (row[j] - round_it[j])
            over = value - knee if value > knee else zero
            value = value / (one + over * slope)
            value = value if value > zero else zero
            row[j] = value if value < one else one
