"""Drawn numbers: the same for the same seed, and as often as they should."""

import pytest

from casebank.anatomy.draws import Draws


def test_the_same_seed_and_subject_give_the_same_numbers_and_others_do_not():
    first, again, other, elsewhere = Draws(3, "a"), Draws(3, "a"), Draws(4, "a"), Draws(3, "b")
    numbers = [first.between(0, 1) for _ in range(5)]
    assert numbers == [again.between(0, 1) for _ in range(5)]
    assert numbers != [other.between(0, 1) for _ in range(5)]
    assert numbers != [elsewhere.between(0, 1) for _ in range(5)]


def test_near_stays_within_two_spreads_and_has_the_mean():
    draws = Draws(1, "near")
    drawn = [draws.near(5.0, 0.5) for _ in range(4000)]
    assert min(drawn) >= 4.0
    assert max(drawn) <= 6.0
    assert sum(drawn) / 4000 == pytest.approx(5.0, abs=4 * 0.5 / 4000**0.5)  # four standard errors


def test_one_of_draws_each_as_often_as_its_percent():
    draws = Draws(2, "one of")
    drawn = [draws.one_of({"two": 73.8, "one": 26.2, "none": 0.0}) for _ in range(4000)]
    # binomial: 4 * sqrt(.738 * .262 / 4000) = 0.0278
    assert drawn.count("two") / 4000 == pytest.approx(0.738, abs=0.0278)
    assert "none" not in drawn


@pytest.mark.parametrize("percent", [0.0, 100.0])
def test_what_never_or_always_happens_does_so(percent):
    draws = Draws(5, "happens")
    assert {draws.happens(percent) for _ in range(50)} == {percent == 100.0}


@pytest.mark.parametrize("seed", [-1, 1.5, True, "7"])
def test_what_is_no_seed_is_refused(seed):
    with pytest.raises(ValueError, match="whole number of 0 or more"):
        Draws(seed, "a")


def test_nothing_can_be_drawn_from_nothing():
    with pytest.raises(ValueError, match="nothing to draw from"):
        Draws(1, "a").one_of({"x": 0.0})
