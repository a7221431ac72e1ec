"""Contrast over noise: Rose's form by hand, and the noise against films that were really made noisy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.radiograph import exposure
from casebank.radiograph.sight import THRESHOLD, equivalent_quanta_per_mm2, judged, rose_figure
from casebank.radiograph.sight_pair import PITCH_MM, Pair


def test_roses_figure_is_contrast_times_the_root_of_the_quanta():
    # k = C * sqrt(N), Rose 1948: 0.05 * sqrt(10000) = 5
    assert rose_figure(0.05, 1.0, 10_000.0) == pytest.approx(5.0)
    assert rose_figure(-0.05, 2.0, 5_000.0) == pytest.approx(5.0)
    assert THRESHOLD == 5.0


def test_structure_adds_to_the_quanta_as_variances_do():
    # 1 / 10000 + 0.0173205^2 = 1e-4 + 3e-4: noise 0.02, so 0.1 / 0.02
    assert rose_figure(0.1, 1.0, 10_000.0, 0.0173205) == pytest.approx(5.0, abs=1e-4)


@given(st.floats(1e-3, 0.5), st.floats(0.01, 50), st.floats(1e3, 1e7), st.floats(0, 0.1))
def test_four_times_the_area_shows_up_to_twice_as_well(contrast, area, quanta, structure):
    once, larger = (rose_figure(contrast, part, quanta, structure) for part in (area, 4 * area))
    assert once <= larger <= 2 * once * (1 + 1e-9)


@pytest.mark.parametrize("bad", [(0.1, 0.0, 1.0, 0.0), (0.1, 1.0, 0.0, 0.0), (0.1, 1.0, 1.0, -1.0)])
def test_a_shadow_without_area_or_quanta_is_refused(bad):
    with pytest.raises(ValueError, match="above 0"):
        rose_figure(*bad)


@pytest.mark.parametrize("level", [0.1, 0.27])
def test_the_noise_is_that_of_a_film(level):
    # flat fields of the exposure model, averaged over squares of 0.57 mm; the columns' own gain is left out by
    # comparing squares with what 0.002 of gain in 20 columns adds
    pitch, side = 0.0283, 20
    flat = exposure.expose(np.full((1000, 1000), level, dtype=np.float32), pitch, 3).astype(np.float64)
    squares = np.log(flat.reshape(50, side, 50, side).mean(axis=(1, 3)))
    found = (squares - squares.mean(axis=0)).var() * 50 / 49
    expected = 1 / (equivalent_quanta_per_mm2(level, pitch) * (side * pitch) ** 2)
    assert found == pytest.approx(expected, rel=0.15)  # 2500 squares


def test_less_signal_has_fewer_quanta():
    levels = [equivalent_quanta_per_mm2(level, 0.0283) for level in (0.01, 0.05, 0.25, 1.0)]
    assert levels == sorted(levels)


def disc(radius_mm, contrast, *, level=0.25, pattern=None):
    """An even disc in an even field."""
    y, x = (np.indices((120, 120)) - 59.5) * PITCH_MM
    inside = np.hypot(x, y) <= radius_mm
    plain = np.zeros((120, 120))
    return Pair(
        np.where(inside, contrast, 0.0), np.full((120, 120), level), plain if pattern is None else pattern, 0.0283,
        np.zeros(2),
    ), inside  # fmt: skip


def test_a_disc_is_judged_by_its_contrast_its_area_and_its_quanta():
    pair, inside = disc(1.0, 0.01)
    sight = judged(pair, inside)
    # area pi mm^2; the quanta are checked against films above
    by_hand = 0.01 * np.sqrt(np.pi * equivalent_quanta_per_mm2(0.25, 0.0283))
    assert sight.figure == pytest.approx(by_hand, rel=0.02)
    assert sight.contrast == pytest.approx(0.01)
    assert sight.seen


def test_the_same_disc_is_lost_in_a_pattern_of_bone():
    noise = np.random.default_rng(5).normal(0, 0.3, (120, 120))
    pair, inside = disc(1.0, 0.01, pattern=noise)
    sight = judged(pair, inside)
    assert not sight.seen
    assert sight.why == "is lost in the pattern of the bone"


def test_a_faint_disc_is_lost_in_the_grain():
    pair, inside = disc(0.3, 0.001)
    assert judged(pair, inside).why == "is lost in the film's grain"


def test_a_shadow_of_no_size_is_none():
    pair, inside = disc(1.0, 0.01)
    assert judged(pair, np.zeros_like(inside)).figure == 0
