"""Counts of one item and the agreement that follows from them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assess.stats import Counts, agreement, wilson

counts = st.builds(Counts, **dict.fromkeys(("agree", "over", "under", "other", "silent"), st.integers(0, 60)))


def test_all_attempts_are_counted_and_the_silent_have_not_answered():
    found = Counts(agree=7, over=2, under=4, other=1, silent=3)
    assert (found.n, found.answered) == (17, 14)


def test_counts_add_outcome_by_outcome():
    assert Counts(1, 2, 3, 4, 5) + Counts(10, 20, 30, 40, 50) == Counts(11, 22, 33, 44, 55)


@given(counts, counts, counts)
def test_adding_is_the_same_in_any_order_and_loses_no_attempt(one, two, three):
    assert one + two == two + one
    assert (one + two) + three == one + (two + three)
    assert (one + two).n == one.n + two.n
    assert sum([one, two, three], start=Counts()) == one + two + three


@pytest.mark.parametrize("outcome", ["agree", "over", "under", "other", "silent"])
@pytest.mark.parametrize("count", [-1, 2.0, True, "3", None])
def test_what_is_no_count_is_refused_by_name(outcome, count):
    with pytest.raises(ValueError, match=f"{outcome} = .* give a whole number"):
        Counts(**{outcome: count})


def test_a_silent_attempt_is_one_that_does_not_agree():
    # 6 of 12, and not 6 of the 8 that answered
    found = agreement(Counts(agree=6, over=2, silent=4))
    assert found is not None
    assert (found.share, found.n) == (0.5, 12)
    assert (found.low, found.high) == wilson(6, 12)


def test_nothing_counted_has_no_agreement():
    assert agreement(Counts()) is None


@given(counts.filter(lambda found: found.n > 0))
def test_the_way_an_item_is_missed_does_not_change_its_agreement(found):
    missed = found.over + found.under + found.other + found.silent
    assert agreement(found) == agreement(Counts(agree=found.agree, other=missed))
