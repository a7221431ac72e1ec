"""The score interval against values worked by hand, and what holds for every share."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assess.stats import wilson

Z_95 = 1.959964  # the 97.5 % point of the normal distribution, from any table
TWO = math.erf(math.sqrt(2))  # the level at which z is exactly 2: erf(z / √2)


@st.composite
def counted(draw, most=400):
    n = draw(st.integers(1, most))
    return draw(st.integers(0, n)), n


LEVELS = st.floats(0.5, 0.999999)


def test_none_of_ten_reaches_up_to_z_squared_over_n_and_z_squared():
    low, high = wilson(0, 10)
    assert low == 0
    assert high == pytest.approx(Z_95**2 / (10 + Z_95**2), abs=1e-6)
    assert high == pytest.approx(0.2775, abs=5e-5)


def test_five_of_ten_is_symmetrical_about_a_half():
    # at a half the score equation gives a half width of z / (2 √(n + z²)) = 1.959964 / (2 × 3.720411) = 0.263407
    low, high = wilson(5, 10)
    assert (low, high) == pytest.approx((0.5 - 0.263407, 0.5 + 0.263407), abs=2e-6)


@pytest.mark.parametrize(
    ("agreeing", "n", "low", "high"),
    [
        # z = 2, so z² = 4: centre (p + 2/n) / (1 + 4/n), half width 2 / (1 + 4/n) × √(p(1-p)/n + 1/n²)
        pytest.param(0, 12, 0, 4 / 16, id="none"),
        pytest.param(12, 12, 12 / 16, 1, id="all"),
        pytest.param(6, 12, 0.25, 0.75, id="half: 0.5 with 1.5 × √(1/48 + 1/144) = 1.5 × 1/6"),
        pytest.param(4, 16, 0.1, 0.5, id="a quarter: 0.375/1.25 with 1.6 × √(3/256 + 1/256) = 1.6 × 1/8"),
    ],
)
def test_a_level_with_a_round_quantile_can_be_worked_in_the_head(agreeing, n, low, high):
    assert wilson(agreeing, n, level=TWO) == pytest.approx((low, high), abs=1e-12)


@pytest.mark.parametrize(
    ("agreeing", "n", "low", "high"),
    [
        # Newcombe, Stat Med 1998;17:857, the score method without correction; the four rows from memory
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_examples_of_a_comparison_of_methods_come_back(agreeing, n, low, high):
    assert wilson(agreeing, n) == pytest.approx((low, high), abs=5.1e-5)


@given(counted(), LEVELS)
def test_the_share_lies_within_its_interval_and_that_within_nought_and_one(trials, level):
    agreeing, n = trials
    low, high = wilson(agreeing, n, level=level)
    assert 0 <= low <= agreeing / n <= high <= 1


@given(counted(), LEVELS)
def test_both_ends_solve_the_score_equation(trials, level):
    # what the interval is defined by: |p - x| = z √(x(1 - x) / n), with the level written as erf(z / √2)
    agreeing, n = trials
    for end in wilson(agreeing, n, level=level):
        if 0 < end < 1:
            z = abs(agreeing / n - end) / math.sqrt(end * (1 - end) / n)
            assert math.erf(z / math.sqrt(2)) == pytest.approx(level, abs=1e-9)


@given(counted(), LEVELS)
def test_counting_those_who_do_not_agree_gives_the_mirror_image(trials, level):
    agreeing, n = trials
    low, high = wilson(agreeing, n, level=level)
    assert wilson(n - agreeing, n, level=level) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@given(counted(), st.integers(2, 20))
def test_the_same_share_of_more_trials_has_a_narrower_interval_within_the_other(trials, times):
    agreeing, n = trials
    low, high = wilson(agreeing, n)
    nearer_low, nearer_high = wilson(agreeing * times, n * times)
    assert low <= nearer_low <= nearer_high <= high
    assert nearer_high - nearer_low < high - low


@given(counted(), LEVELS)
def test_one_more_that_agrees_raises_both_ends(trials, level):
    agreeing, n = trials
    before, after = wilson(agreeing, n + 1, level=level), wilson(agreeing + 1, n + 1, level=level)
    assert before[0] < after[0]
    assert before[1] < after[1]


@given(counted(), st.floats(0.5, 0.98))
def test_a_higher_level_has_a_wider_interval(trials, level):
    low, high = wilson(*trials, level=level)
    lower, higher = wilson(*trials, level=level + 0.01)
    assert lower <= low
    assert high <= higher
    assert higher - lower > high - low


@pytest.mark.parametrize(
    ("arguments", "level", "sentence"),
    [
        pytest.param((0, 0), 0.95, "at least one trial", id="no trial"),
        pytest.param((0, -3), 0.95, "at least one trial", id="fewer than none"),
        pytest.param((11, 10), 0.95, "give 0 to 10", id="more than there are"),
        pytest.param((-1, 10), 0.95, "give 0 to 10", id="fewer than none agree"),
        pytest.param((5, 10), 1.0, "less than 1", id="certainty"),
        pytest.param((5, 10), 95, "less than 1", id="a percentage"),
        pytest.param((5, 10), math.nan, "less than 1", id="no number"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(arguments, level, sentence):
    with pytest.raises(ValueError, match=sentence):
        wilson(*arguments, level=level)
