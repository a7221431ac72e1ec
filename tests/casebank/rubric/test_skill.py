"""Skill above guessing: the sums over a set, what a random answer earns, and the constant that earns most."""

import itertools
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rubric import (
    KINDS,
    BenchReference,
    BenchRule,
    ChoiceReference,
    ChoiceRule,
    LevelReference,
    LevelSaid,
    MarkReference,
    MeasureReference,
    MeasureRule,
    MeasureSaid,
    compare,
)
from casebank.rubric.chance import random_rate
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid
from casebank.rubric.skill import Guess, Points, points
from casebank.rubric.skill_fit import CONSTANTS, best_constant
from casebank.rubric.skill_random import LEFT_OUT, RANDOM, Setting, random_credit
from tests.casebank.rubric.cast import COUNT, LENGTH, LEVEL, MARK, ONE, SEVERAL, criterion

SHARE = st.floats(0, 1)
GUESS = st.builds(Guess, SHARE, SHARE, SHARE)
ROWS = st.lists(st.tuples(SHARE, GUESS, st.floats(0.1, 20)), min_size=1, max_size=12)
ROOMY = Setting(pins=10, canals=4)


def flat(rate):
    return Guess(rate, rate, rate)


def test_skill_is_the_share_of_what_lies_above_guessing():
    # earned 6 + 0 + 2 = 8 of 10; guessing 6/2 + 2/4 + 2/4 = 4; (8 - 4) / (10 - 4)
    assert points([(1, flat(0.5), 6), (0, flat(0.25), 2), (1, flat(0.25), 2)]).skill == pytest.approx(4 / 6)


def test_what_luck_gives_is_paid_back_where_it_takes():
    # a guesser on two like tasks: right at one, wrong at the other. Held at 0 task by task it would come to 1/2.
    assert points([(1, flat(0.5), 1), (0, flat(0.5), 1)]).skill == 0


def test_a_guesser_follows_one_way_through_a_set():
    # usual 1 + 0, here 0 + 1, at random 0.4 + 0.4: 1 of 2, not the better of each task, which would be 2 of 2
    assert points([(0, Guess(1, 0, 0.4), 1), (0, Guess(0, 1, 0.4), 1)]).baseline == 1


def test_too_little_above_guessing_tells_nothing():
    assert Points(10, 9.1, 10).skill is None
    assert Points(10, 9.0, 10).skill == 1
    assert points([]).skill is None


@given(ROWS)
def test_skill_is_never_above_one_and_one_only_for_everything(rows):
    found = points(rows)
    if found.skill is not None:
        assert found.skill <= 1 + 1e-9
    best = points([(1, guess, weight) for _, guess, weight in rows])
    assert best.skill is None or best.skill == pytest.approx(1)


@given(ROWS, st.sampled_from(["usual", "here", "at_random"]))
def test_no_way_of_guessing_has_skill(rows, way):
    as_guessed = [(getattr(guess, way), guess, weight) for _, guess, weight in rows]
    skill = points(as_guessed).skill
    assert skill is None or skill <= 1e-9


def test_every_kind_of_comparison_says_what_guessing_earns_or_why_it_is_left_out():
    assert set(RANDOM) | set(LEFT_OUT) == set(KINDS), "say in skill_random what a random answer of the new kind earns"
    assert not set(RANDOM) & set(LEFT_OUT)
    assert set(CONSTANTS) | {"bench"} == set(RANDOM), "say in skill_fit which constant answers the new kind has"


# ---------------------------------------------------------------- at random


def test_one_option_of_three_with_a_half_right_one():
    # 1, 0.5 and 0 of three options
    reference = ChoiceReference(frozenset({"roots"}), {"bite": 0.5})
    assert random_credit(ONE, reference, ROOMY) == pytest.approx(0.5)


def test_several_picks_earn_what_all_subsets_earn_on_average():
    # counted out over all subsets of ten pins, through the comparison itself
    reference = ChoiceReference(frozenset({"a", "b", "film 1"}), {"c": 0.5})
    pins = ["a", "b", "film 1", "c", *"defghi"]
    means = [
        sum(compare(SEVERAL, picks, reference).credit for picks in subsets) / len(subsets)
        for size in range(1, 5)
        for subsets in [list(itertools.combinations(pins, size))]
    ]
    assert random_credit(SEVERAL, reference, ROOMY) == pytest.approx(max(means))


def test_a_level_with_pins_at_random():
    # low 1, moderate 0.5, high 0 against low: a mean of a half; four pins of ten miss the two that count with
    # 8·7·6·5 / (10·9·8·7) = 1/3, and then half of it stands: (2/3 + 1/3 · 1/2) / 2
    reference = LevelReference(1, frozenset({"a", "b"}))
    assert random_credit(LEVEL, reference, ROOMY) == pytest.approx((2 / 3 + 1 / 6) / 2)


def test_a_level_that_needs_no_pin():
    # against moderate: 0.25 below, 1, 0.5 above
    assert random_credit(LEVEL, LevelReference(2), ROOMY) == pytest.approx(1.75 / 3)


@pytest.mark.parametrize(
    ("criterion", "reference", "credit"),
    [
        pytest.param(LENGTH, MeasureReference(22.0), 0.2, id="well inside: (1 + 1) / 10"),
        # full from 17 to 17.5, then the slope of 1 mm
        pytest.param(LENGTH, MeasureReference(17.0), 0.1, id="at the end of the range"),
        pytest.param(LENGTH, MeasureReference(22.0, frozenset({"MB"})), 0.05, id="of one canal of four"),
        pytest.param(COUNT, MeasureReference(3.0), 0.2, id="one count of five"),
        # the slope alone, from 0.5 outside on: (1.5 - 0.5)² / 2 / 10
        pytest.param(LENGTH, MeasureReference(16.5), 0.05, id="outside the range"),
    ],
)
def test_a_number_at_random(criterion, reference, credit):
    assert random_credit(criterion, reference, ROOMY) == pytest.approx(credit)


@given(st.floats(0, 30), st.floats(0, 4), st.floats(0.1, 6))
def test_a_number_at_random_earns_what_many_drawn_evenly_earn(reference, full, fall):
    rule = MeasureRule("mm", full, full + fall, 10.0, 20.0)
    steps = 4000
    drawn = (10.0 + 10.0 * (step + 0.5) / steps for step in range(steps))
    mean = sum(rule.credit(abs(value - reference)) for value in drawn) / steps
    assert random_rate(rule, reference) == pytest.approx(mean, abs=2e-3)


def test_nothing_is_drawn_at_the_bench_and_a_mark_falls_anywhere():
    bench = criterion(BenchRule("checks hold"))
    assert random_credit(bench, BenchReference("all of them"), ROOMY) == 0
    # pi / 3 (0.5² + 0.5 · 2.5 + 2.5²) / 110
    assert random_credit(MARK, MarkReference(((0.0, 0.0),)), ROOMY) == pytest.approx(8.11578 / 110, abs=1e-5)


ORDER = OrderRule({item: item.upper() for item in "abcd"})


def in_order(*groups):
    return OrderReference(tuple(frozenset(group) for group in groups))


@pytest.mark.parametrize("kind", ["order", "rank"])
def test_an_order_at_random_earns_what_all_orders_earn_on_average(kind):
    asked, reference = replace(criterion_of(kind), rule=ORDER), in_order("a", "bc", "d")
    orders = list(itertools.permutations("abcd"))
    mean = sum(compare(asked, OrderSaid(one), reference).credit for one in orders) / len(orders)
    assert random_credit(asked, reference, ROOMY) == pytest.approx(mean)


def test_what_is_always_ordered_alike_is_the_commonest_order():
    references = [in_order(*"dcba"), in_order(*"dcba"), in_order(*"abcd")]
    best = best_constant(criterion_of("order"), references)
    # right twice, all six pairs wrong once
    assert (best.said, best.mean) == (OrderSaid(tuple("dcba")), pytest.approx(2 / 3))


def criterion_of(kind):
    return replace(LENGTH, kind=kind, rule=ORDER)


# ---------------------------------------------------------------- constants


def test_the_best_constant_of_an_asymmetric_level():
    # low, moderate and high once each: low 1 + 0.25 + 0, moderate 0.5 + 1 + 0.25, high 0 + 0.5 + 1
    best = best_constant(LEVEL, [LevelReference(1), LevelReference(2), LevelReference(3)])
    assert (best.said.level, best.mean) == (2, pytest.approx(1.75 / 3))


def test_always_moderate_in_a_quarter_half_and_quarter():
    # exact scoring would give 0.5; here too high costs a half and too low three quarters: 1/2 + 1/4 · 0.5 + 1/4 · 0.25
    references = [LevelReference(1), LevelReference(2), LevelReference(2), LevelReference(3)]
    assert best_constant(LEVEL, references).mean == pytest.approx(0.6875)


def test_the_pins_that_are_always_cited_are_those_that_help_most_often():
    references = [LevelReference(1, frozenset({pin, "z"})) for pin in "abc"]
    assert best_constant(LEVEL, references).said == LevelSaid(1, frozenset({"z"}))


def test_what_takes_several_picks_is_put_together_while_it_helps():
    # a and b each 1/2 in both; c is right once (+1/2) and taken off once (-1/2): not picked
    references = [
        ChoiceReference(frozenset({"a", "b"}), {}),
        ChoiceReference(frozenset({"a", "b", "c"}), {}),
    ]
    best = best_constant(SEVERAL, references)
    assert set(best.said) == {"a", "b"}
    # 2/2 and 2/3
    assert best.mean == pytest.approx(5 / 6)


def test_a_number_is_tried_over_the_whole_range():
    # 19.5 lies within half a millimetre of both
    references = [MeasureReference(19.0), MeasureReference(20.0)]
    assert best_constant(LENGTH, references).said == MeasureSaid(19.5, None)


def test_at_the_bench_nothing_is_always_said_and_without_cases_nothing_is_fitted():
    bench = criterion(BenchRule("checks hold"))
    assert best_constant(bench, [BenchReference("all")]) is None
    with pytest.raises(ValueError, match="at least one reference"):
        best_constant(ONE, [])


@given(st.lists(st.sampled_from(["crown", "roots", "bite"]), min_size=1, max_size=9))
def test_a_constant_never_earns_less_than_any_single_option(keys):
    references = [ChoiceReference(frozenset({key})) for key in keys]
    best = best_constant(ONE, references)
    assert best.mean == pytest.approx(max(keys.count(key) for key in keys) / len(keys))


@given(st.integers(0, 5000))
def test_no_random_answer_beats_the_best_constant_on_average(seed):
    dice = random.Random(seed)
    rule = ChoiceRule({name: name for name in "pqrst"})
    asked = criterion(rule)
    references = [
        ChoiceReference(frozenset({best}), {other: dice.choice([0.0, 0.25, 0.5])})
        for best, other in (dice.sample("pqrst", 2) for _ in range(dice.randint(1, 8)))
    ]
    drawn = sum(random_credit(asked, reference, ROOMY) for reference in references) / len(references)
    assert drawn <= best_constant(asked, references).mean + 1e-9
