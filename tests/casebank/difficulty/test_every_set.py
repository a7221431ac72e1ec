"""What holds of every set there is: bands part the line, no level falls when a fact worsens, all is sourced."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.difficulty import BandsRule, Measured, Stated, criteria_named, criteria_names, judge, known_facts

SETS = [criteria_named(name) for name in criteria_names()]
ANY_SET = st.sampled_from(SETS)


def worst(criteria, fact, value):
    """The levels that every rule reading a fact gives to a value."""
    return tuple(
        rule.band_of(value).level if isinstance(rule, BandsRule) else rule.level_of(value)
        for rule in criteria.rules_reading(fact)
    )


def as_fact(criteria, fact, value):
    unit = known_facts()[fact].unit
    return Measured(value, unit, "by hand", "a film") if unit else Stated(value, "a")


def values_of(fact):
    known = known_facts()[fact]
    return st.floats(0, 90) if known.unit else st.sampled_from(known.values)


@st.composite
def cases(draw):
    """A set, the facts of a case under it, and one fact again with a value that no rule calls easier."""
    criteria = draw(ANY_SET)
    given_facts = draw(st.sets(st.sampled_from(criteria.facts)))
    facts = {fact: draw(values_of(fact)) for fact in sorted(given_facts)}
    changed = draw(st.sampled_from(criteria.facts))
    before = worst(criteria, changed, facts[changed]) if changed in facts else None
    harder = draw(values_of(changed).filter(lambda value: _no_easier(worst(criteria, changed, value), before)))
    return criteria, facts, changed, harder


def _no_easier(after, before):
    return before is None or all(one >= other for one, other in zip(after, before, strict=True))


@given(cases())
def test_no_level_falls_when_a_fact_worsens(case):
    criteria, facts, changed, harder = case
    stated = {name: as_fact(criteria, name, value) for name, value in facts.items()}
    easy, hard = judge(criteria, stated), judge(criteria, stated | {changed: as_fact(criteria, changed, harder)})
    assert hard.overall.level >= easy.overall.level
    assert all(one.level >= other.level for one, other in zip(hard.factors, easy.factors, strict=True))
    if easy.points:
        assert hard.points.total >= easy.points.total


@st.composite
def levels(draw):
    """A set, levels of its factors, and levels of which none is lower."""
    criteria = draw(ANY_SET)
    easy = {factor.id: draw(st.integers(1, len(factor.cells))) for factor in criteria.factors}
    hard = {factor.id: draw(st.integers(easy[factor.id], len(factor.cells))) for factor in criteria.factors}
    return criteria, easy, hard


@given(levels())
def test_the_case_rule_is_monotone(pair):
    criteria, easy, hard = pair
    labels = {factor.id: factor.label for factor in criteria.factors}
    first, second = (criteria.case_rule.rule_on(one, criteria.levels, labels) for one in (easy, hard))
    assert 1 <= first.level <= second.level <= len(criteria.levels)


BANDS = [(one.name, rule) for one in SETS for factor in one.factors for rule in factor.rules if hasattr(rule, "bands")]


@given(st.sampled_from(BANDS), st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_every_number_lies_in_one_band(named, value):
    _, rule = named
    assert sum(band.holds(round(value, rule.decimals)) for band in rule.bands) == 1
    assert rule.band_of(value).holds(round(value, rule.decimals))


@pytest.mark.parametrize("rule", [rule for _, rule in BANDS])
@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_number_has_no_band(rule, value):
    with pytest.raises(ValueError, match="give a finite number"):
        rule.band_of(value)


@pytest.mark.parametrize("criteria", SETS, ids=criteria_names())
def test_every_cell_and_rule_has_a_source_and_a_status(criteria):
    parts = [cell for factor in criteria.factors for cell in factor.cells]
    parts += [rule for factor in criteria.factors for rule in factor.rules if rule.status]
    parts += [criteria.angle, criteria.case_rule, *([criteria.points] if criteria.points else [])]
    assert all(part.source and part.status in ("verified", "from memory", "teaching choice") for part in parts)


@pytest.mark.parametrize("criteria", SETS, ids=criteria_names())
def test_factors_stand_by_where_their_evidence_is_found(criteria):
    groups = [factor.group for factor in criteria.factors]
    assert groups == sorted(groups, key=["the person", "the mouth", "the film", "the past"].index)


@pytest.mark.parametrize("criteria", SETS, ids=criteria_names())
def test_a_factor_has_a_cell_and_a_word_for_each_level_its_rules_give(criteria):
    for factor in criteria.factors:
        assert len(factor.words) == len(factor.cells) >= max(rule.highest for rule in factor.rules) > 1


@pytest.mark.parametrize("criteria", SETS, ids=criteria_names())
def test_a_fact_that_another_set_reads_is_passed_over(criteria):
    facts = {"numbing": Stated("hard to numb", "a"), "shared_care": Stated("needed", "b")}
    read = {name: fact for name, fact in facts.items() if name in criteria.facts}
    assert judge(criteria, facts) == judge(criteria, read)


def test_a_fact_that_a_set_does_not_read_still_has_to_be_one():
    ese = criteria_named("ese-1992")
    with pytest.raises(ValueError, match="finding a: numbing cannot be 'deep': use one of no trouble"):
        judge(ese, {"numbing": Stated("deep", "a")})
    with pytest.raises(ValueError, match="finding a states numming, which no rule of ese-1992 reads"):
        judge(ese, {"numming": Stated("no trouble", "a")})
