"""The licence to treat as a value: caution never falls, sets of two levels read it by their ends, the stricter wins."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from casebank.rubric import LIMITS, Licence, more_cautious, never_falls

limit = st.sampled_from(LIMITS)


@st.composite
def licences(draw):
    low, moderate, high = sorted(draw(st.tuples(limit, limit, limit)), key=LIMITS.index)
    return Licence(year=draw(st.integers(1, 7)), low=low, moderate=moderate, high=high)


def test_ten_of_the_27_triples_let_caution_stay_or_rise():
    # Rising triples of three steps: as many as multisets of 3 out of 3, (3 + 3 - 1)! / (3! 2!) = 10.
    assert sum(never_falls(*triple) for triple in product(LIMITS, repeat=3)) == 10


@given(st.tuples(limit, limit, limit))
def test_only_a_licence_whose_caution_stays_or_rises_can_be_made(triple):
    fields = dict(zip(("low", "moderate", "high"), triple, strict=True))
    ranks = [LIMITS.index(one) for one in triple]
    if ranks[0] <= ranks[1] <= ranks[2]:
        assert Licence(year=3, **fields).limits == triple
    else:
        with pytest.raises(ValidationError, match="in year 3 a harder case would be left to the student"):
            Licence(year=3, **fields)


@pytest.mark.parametrize(
    "wrong",
    [{"year": 0}, {"year": 8}, {"year": "3"}, {"low": "alone"}, {"high": None}, {"extreme": "refer"}],
    ids=str,
)
def test_a_year_a_limit_or_a_level_that_does_not_exist_is_refused(wrong):
    with pytest.raises(ValidationError):
        Licence.model_validate({"year": 3, "low": "treat", "moderate": "treat", "high": "refer"} | wrong)


def test_a_set_of_two_levels_reads_the_lowest_and_the_highest():
    held = Licence(year=4, low="treat", moderate="supervised", high="refer")
    assert [held.at(level, of=3) for level in (1, 2, 3)] == ["treat", "supervised", "refer"]
    assert [held.at(level, of=2) for level in (1, 2)] == ["treat", "refer"]
    for level in (0, 4):
        with pytest.raises(ValueError, match=f"level {level} does not exist: give 1 to 3"):
            held.at(level, of=3)


@given(licences(), st.integers(2, 3))
def test_a_harder_case_never_asks_for_less_caution(held, levels):
    ranks = [LIMITS.index(held.at(level, of=levels)) for level in range(1, levels + 1)]
    assert ranks == sorted(ranks)


@given(limit, limit)
def test_the_more_cautious_of_two_is_one_of_them_and_less_cautious_than_neither(plan, at_most):
    chosen = more_cautious(plan, at_most)
    assert chosen in (plan, at_most)
    assert LIMITS.index(chosen) == max(LIMITS.index(plan), LIMITS.index(at_most))


@given(limit)
def test_that_no_treatment_is_needed_is_no_plan_and_stays(at_most):
    assert more_cautious("no-root-treatment", at_most) == "no-root-treatment"
