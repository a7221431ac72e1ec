"""The compiled rows behind an exposure against numpy and scipy, which share no code with them."""

import numpy as np
import pytest
from scipy import ndimage

from casebank.radiograph import develop, exposure
from casebank.radiograph.materials import Material, attenuation

PITCH = 0.0283


@pytest.fixture(scope="module")
def random():
    return np.random.default_rng(11)


@pytest.mark.parametrize("threads", [1, 2])
def test_attenuation_follows_the_exponential_law_for_any_mixture(random, threads):
    # up to 40 mm of anything, metals included: from all of the beam down to nothing
    paths = (random.random((70, 300, len(Material))) ** 8 * 40).astype(np.float32)
    paths[paths < 0.01] = 0
    table = attenuation()
    expected = (np.exp(-(paths.astype(np.float64) @ table.mu_per_mm)) * table.weights).sum(axis=-1)
    found = exposure.transmission(paths, threads=threads)
    assert expected.max() > 0.5
    assert np.abs(found - expected).max() < 1e-6
    seen = expected > exposure.LEAST
    assert np.abs(found[seen] / expected[seen] - 1).max() < 2e-5


def test_a_picture_is_spread_as_scipy_spreads_it(random):
    picture = random.random((130, 90), dtype=np.float32)
    weights = random.random(7)
    expected = ndimage.correlate1d(ndimage.correlate1d(picture, weights, axis=0, mode="nearest"), weights, axis=1)
    expected[:, :3] = expected[:, -3:] = 0  # scipy's edge was not asked for across
    out = np.empty_like(picture)
    for first, last in ((0, 50), (50, 130)):
        develop.spread(out, picture, weights.astype(np.float32), first, last)
    out[:, :3] = out[:, -3:] = 0
    assert np.abs(out - expected).max() < 1e-5


def test_beyond_its_edge_a_picture_goes_on_as_at_the_edge():
    picture = np.full((20, 30), 0.25, dtype=np.float32)
    out = np.empty_like(picture)
    develop.spread(out, picture, np.full(5, 0.2, dtype=np.float32), 0, 20)
    assert np.abs(out - 0.25).max() < 1e-6


def test_the_curve_that_is_looked_up_is_the_curve():
    signal = np.geomspace(exposure.LEAST, 2, 9000, dtype=np.float32).reshape(90, 100)
    curve, lowest = exposure._curve()
    shade = np.empty_like(signal)
    develop.curved(shade, signal, curve, lowest, 0, 90)
    share = (-np.log(signal.astype(np.float64)) - exposure.DARKEST) / (exposure.BRIGHTEST - exposure.DARKEST)
    assert np.abs(shade - np.clip(share, 0, 1.15) ** exposure.GAMMA).max() < 1e-3  # of 1: a quarter of a grey step


def test_a_veil_is_straight_between_its_points():
    rows, columns, every = 33, 50, 8
    signal = np.zeros((rows, columns), dtype=np.float32)
    y, x = np.mgrid[:rows, :columns]
    plane = (0.2 + 0.01 * x + 0.02 * y).astype(np.float32)
    out = np.empty_like(signal)
    develop.veiled(out, signal, np.ascontiguousarray(plane[::every, ::every]), every, 0.5, 0, rows)
    within = np.s_[:33, :48]  # beyond the last point the veil is even
    assert np.abs(out[within] - 0.5 * plane[within]).max() < 1e-6
    assert np.allclose(out[0, 48:], 0.5 * plane[0, 48])


def test_noise_is_the_same_however_many_threads_draw_it():
    even = np.full((150, 200), 0.3, dtype=np.float32)
    one, two = (exposure.expose(even, PITCH, 5, threads=threads) for threads in (1, 2))
    assert np.array_equal(one, two)


def test_noise_does_not_repeat_from_band_to_band():
    even = np.full((3 * exposure.BAND_ROWS, 200), 0.3, dtype=np.float32)
    bands = np.split(exposure.expose(even, PITCH, 5) - even, 3)
    for first, second in ((0, 1), (0, 2), (1, 2)):
        # 12,800 pairs, about 4,000 of them independent: chance alone reaches 0.05 once in a thousand times
        assert abs(np.corrcoef(bands[first].ravel(), bands[second].ravel())[0, 1]) < 0.06
