"""Brier and ranked probability scores against worked examples and their own laws."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assess.stats import brier, ranked_probability_score

FORECASTS = [0.1] * 5 + [0.4] * 5 + [0.7] * 4 + [0.9] * 6
OUTCOMES = [int(digit) for digit in "00010010101100111101"]


def test_brier_of_twenty_forecasts():
    # 0.1: 4 · 0.01 + 0.81 = 0.85; 0.4: 3 · 0.16 + 2 · 0.36 = 1.20; 0.7: 2 · 0.09 + 2 · 0.49 = 1.16;
    # 0.9: 5 · 0.01 + 0.81 = 0.86; together 4.07 of 20 = 407 / 2000
    assert brier(FORECASTS, OUTCOMES) == pytest.approx(407 / 2000)


@pytest.mark.parametrize(
    ("forecast", "occurred", "score"),
    [
        ((0.2, 0.5, 0.3), 1, 0.73),  # Wilks, Statistical Methods in the Atmospheric Sciences
        ((0.2, 0.3, 0.5), 1, 0.89),  # the same place: the mass lies farther off
        ((0.1, 0.3, 0.6), 3, 0.17),  # 0.1² + 0.4²
        ((0.6, 0.3, 0.1), 3, 1.17),  # 0.6² + 0.9²
        ((1.0, 0.0, 0.0), 3, 2.0),  # the worst there is: K - 1
        ((0.0, 1.0, 0.0), 2, 0.0),
    ],
)
def test_ranked_probability_score_of_three_classes(forecast, occurred, score):
    assert ranked_probability_score(forecast, occurred) == pytest.approx(score)


@pytest.mark.parametrize(
    ("forecast", "occurred", "epstein"),
    [
        ((0.2, 0.5, 0.3), 1, 0.635),
        ((0.2, 0.3, 0.5), 1, 0.555),
        ((0.1, 0.3, 0.6), 3, 0.915),
        ((0.6, 0.3, 0.1), 3, 0.415),
    ],
)
def test_epsteins_own_form_is_one_less_its_share_of_the_worst(forecast, occurred, epstein):
    # Epstein 1969 counted upwards: S = 3/2 - Σ(sums of squares) / (2 (K - 1)) - Σ|i - j| p_i / (K - 1)
    classes = len(forecast)
    below = [sum(forecast[:place]) ** 2 for place in range(1, classes)]
    above = [sum(forecast[place:]) ** 2 for place in range(1, classes)]
    apart = sum(abs(place - occurred) * share for place, share in enumerate(forecast, 1))
    direct = 1.5 - (sum(below) + sum(above)) / (2 * (classes - 1)) - apart / (classes - 1)
    assert direct == pytest.approx(epstein)
    assert 1 - ranked_probability_score(forecast, occurred) / (classes - 1) == pytest.approx(epstein)


@given(st.floats(0, 1), st.booleans())
def test_with_two_classes_it_is_the_brier_score(chance, happened):
    score = ranked_probability_score([1 - chance, chance], 2 if happened else 1)
    assert score == pytest.approx(brier([chance], [happened]))


@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=6), st.data())
def test_nobody_gains_by_saying_what_they_do_not_think(shares, data):
    total = sum(shares)
    belief = [share / total for share in shares]
    claim = data.draw(st.permutations(belief))
    assume(claim != belief)

    def expected(said):
        return sum(chance * ranked_probability_score(said, place) for place, chance in enumerate(belief, 1))

    assert expected(belief) <= expected(claim) + 1e-12


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: brier([], []), "at least one"),
        (lambda: brier([0.5], [1, 0]), "as many of each"),
        (lambda: brier([1.5], [1]), "between 0 and 1"),
        (lambda: brier([float("nan")], [1]), "between 0 and 1"),
        (lambda: ranked_probability_score([1.0], 1), "at least two"),
        (lambda: ranked_probability_score([0.5, 0.4], 1), "add up to 0.9"),
        (lambda: ranked_probability_score([0.5, 0.5], 3), "class 3 is none of 2"),
        (lambda: ranked_probability_score([0.5, 0.5], 0), "count from 1"),
    ],
)
def test_what_is_no_forecast_is_refused(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
