"""Lines of one height: closed, in the right place, the higher ground at their left."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.casefile.level_lines import level_lines


def area(line):
    """Signed area by the shoelace formula; columns right, rows down."""
    x, y = line.T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))


def cone(size=61):
    y, x = np.mgrid[:size, :size] - size // 2
    return -np.hypot(x, y)


@pytest.mark.parametrize("radius", [5.5, 12.3, 25.0])
def test_a_cone_is_cut_in_a_circle(radius):
    (line,) = level_lines(cone(), -radius)
    assert np.hypot(*(line - 30).T) == pytest.approx(radius, abs=0.08)
    assert abs(area(line)) == pytest.approx(math.pi * radius**2, rel=0.01)


def test_ground_that_reaches_the_rim_is_closed_along_it():
    (line,) = level_lines(np.ones((10, 20)), 0.5)
    assert abs(area(line)) == pytest.approx(10 * 20, rel=0.1)


def test_a_hole_runs_the_other_way_round():
    ring = 10 - np.abs(cone() + 15)
    outer, inner = sorted(level_lines(ring, 5.0), key=lambda line: abs(area(line)), reverse=True)
    assert area(outer) * area(inner) < 0
    assert abs(area(outer)) == pytest.approx(math.pi * 20**2, rel=0.01)
    assert abs(area(inner)) == pytest.approx(math.pi * 10**2, rel=0.01)


def test_unknown_ground_is_lower_than_any():
    field = np.where(cone() > -10, 1.0, np.nan)
    (line,) = level_lines(field, 0.5)
    assert np.hypot(*(line - 30).T).max() < 11
    assert level_lines(np.full((5, 5), np.nan), 0.0) == []


@given(st.integers(0, 2**30))
@settings(max_examples=15, deadline=None)
def test_any_ground_is_enclosed_whole(seed):
    # signed areas of all outlines together: about one cell for each place that is high (corners are cut off)
    field = np.random.default_rng(seed).random((12, 12))
    high = int((field >= 0.5).sum())
    smooth = np.kron(np.where(field >= 0.5, 1.0, 0.0), np.ones((8, 8)))
    total = abs(sum(area(line) for line in level_lines(smooth, 0.5, least_points=3)))
    assert total == pytest.approx(64 * high, rel=0.05)
