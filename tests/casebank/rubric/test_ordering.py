"""Things put in order: credits worked by hand, what a random order earns, and what may never happen."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rubric import OrderReference, OrderRule, OrderSaid, check, compare, order_in_words, unsafe_at_first
from casebank.rubric.ordering import most_inversions, orders_by_inversions, random_order_credit
from tests.casebank.rubric.cast import ORDER, RANK


def reference(*groups):
    return OrderReference(tuple(frozenset(group) for group in groups))


def rule_of(number, none_from=0.5):
    return OrderRule({item: item.upper() for item in "abcdefghij"[:number]}, none_from=none_from)


def ordered(said, *groups):
    return compare(ORDER, OrderSaid(tuple(said)), reference(*groups))


@st.composite
def sorted_out(draw):
    """Items, an order of them, and a reference with some that may stand either way."""
    items = list("abcdefg")[: draw(st.integers(3, 7))]
    said, meant = draw(st.permutations(items)), draw(st.permutations(items))
    cuts = sorted(draw(st.sets(st.integers(1, len(items) - 1), min_size=1)))
    groups = [meant[start:end] for start, end in itertools.pairwise([0, *cuts, len(items)])]
    return rule_of(len(items)), OrderSaid(tuple(said)), reference(*groups)


@pytest.mark.parametrize(
    ("said", "credit"),
    [
        ("abcde", 1),
        ("bacde", 0.8),  # one of 10 pairs: 1 - 0.1 / 0.5
        ("abced", 0.8),
        ("cabde", 0.6),  # two of 10
        ("ebcda", 0),  # the ends changed: 2 · 5 - 3 = 7 of 10
        ("edcba", 0),  # all 10
        ("bcdea", 0.2),  # four of 10
        ("bdaec", 0.2),  # b-a, d-a, d-c, e-c: four of 10
    ],
)
def test_credit_falls_with_every_pair_that_stands_the_wrong_way_round(said, credit):
    assert ordered(said, "a", "b", "c", "d", "e").credit == pytest.approx(credit)


def test_items_that_may_stand_either_way_cost_nothing_either_way():
    # of 10 pairs b-c may stand either way: 9 count
    assert ordered("abcde", "a", "bc", "d", "e").credit == 1
    assert ordered("acbde", "a", "bc", "d", "e").credit == 1
    assert ordered("bacde", "a", "bc", "d", "e").credit == pytest.approx(1 - 2 / 9)


def test_a_stricter_end_of_credit_halves_what_a_swap_leaves():
    # one of 10 pairs, credit ends at a quarter of them: 1 - 0.1 / 0.25
    strict = replace(ORDER, rule=replace(ORDER.rule, none_from=0.25))
    said = OrderSaid(tuple("bacde"))
    assert compare(strict, said, reference("a", "b", "c", "d", "e")).credit == pytest.approx(0.6)


def test_the_sentences_name_the_pairs_and_how_far_they_lie_apart():
    assert ordered("bacde", "a", "b", "c", "d", "e").why == (
        "1 of 10 pairs stand the other way round than in the reference: 80 % of the credit. "
        "You put 'Bite test' before 'Ask', which lies 1 place ahead of it in the reference."
    )
    assert ordered("abcde", "a", "bc", "d", "e").why == (
        "All 9 pairs stand as in the reference. 1 pair may stand either way."
    )
    # the widest gap first
    assert "You put 'End' before 'Ask', which lies 4 places ahead" in ordered("ebcda", "a", "b", "c", "d", "e").why


def test_an_order_leans_nowhere_and_agrees_when_whole():
    assert ordered("abcde", "a", "b", "c", "d", "e").leaning == 0
    assert ordered("bacde", "a", "b", "c", "d", "e").leaning is None


def test_what_is_unsafe_at_first_is_named_and_costs_no_more_than_its_inversions():
    keyed = reference("a", "b", "c", "d")
    unsafe, safe = OrderSaid(tuple("dabc")), OrderSaid(tuple("bcda"))
    first, other = compare(RANK, unsafe, keyed), compare(RANK, safe, keyed)
    # three of six pairs wrong in both
    assert first.credit == other.credit == 0
    assert first.why.endswith("'Drill' stands first, an unsafe step: Nothing is known yet.")
    assert "unsafe" not in other.why
    assert unsafe_at_first(RANK.rule, unsafe) == "d"
    assert unsafe_at_first(RANK.rule, safe) is None
    assert unsafe_at_first(RANK.rule, OrderSaid(())) is None


def test_an_order_is_read_out_with_a_number_for_each_place():
    assert order_in_words(RANK.rule, OrderSaid(tuple("abcd"))) == "1 Ask; 2 Bite test; 3 Cold test; 4 Drill"
    assert order_in_words(RANK.rule, reference("a", "cb", "d")) == "1 Ask; 2 Bite test / Cold test; 3 Drill"


@given(sorted_out())
def test_credit_stays_between_0_and_1_and_the_reference_earns_everything(case):
    rule, said, meant = case
    asked = replace(ORDER, rule=rule)
    assert 0 <= compare(asked, said, meant).credit <= 1
    as_meant = OrderSaid(tuple(item for group in meant.groups for item in sorted(group)))
    assert compare(asked, as_meant, meant).credit == 1
    assert compare(asked, OrderSaid(as_meant.items[::-1]), meant).credit == 0


@given(sorted_out(), st.integers(0, 5))
def test_putting_two_neighbours_right_never_lowers_the_credit(case, at):
    rule, said, meant = case
    at %= len(said.items) - 1
    place = {item: number for number, group in enumerate(meant.groups) for item in group}
    before, after = said.items[at], said.items[at + 1]
    if place[before] < place[after]:
        before, after = after, before
    righted = (*said.items[:at], after, before, *said.items[at + 2 :])
    asked = replace(ORDER, rule=rule)
    assert compare(asked, OrderSaid(righted), meant).credit >= compare(asked, said, meant).credit


@given(st.permutations(list("abcde")), st.permutations(list("abcde")))
def test_two_orders_lie_equally_far_from_each_other(one, other):
    assert ordered(one, *other).credit == ordered(other, *one).credit


@given(st.integers(4, 8))
def test_neighbours_changed_cost_less_than_ends_changed(number):
    items = list("abcdefgh")[:number]
    asked, meant = replace(ORDER, rule=rule_of(number)), reference(*items)
    ends = OrderSaid((items[-1], *items[1:-1], items[0]))
    for at in range(number - 1):
        near = (*items[:at], items[at + 1], items[at], *items[at + 2 :])
        assert compare(asked, OrderSaid(near), meant).credit > compare(asked, ends, meant).credit


# ---------------------------------------------------------------- at random


@pytest.mark.parametrize(
    "sizes", [(1, 1, 1), (1, 1, 1, 1), (2, 1), (1, 2, 1), (2, 2), (3, 1, 2), (1, 1, 1, 1, 1, 1), (2, 1, 2, 1), (5, 1)]
)
@pytest.mark.parametrize("none_from", [0.5, 0.3])
def test_what_a_random_order_earns_is_what_all_orders_earn_on_average(sizes, none_from):
    items = "abcdef"[: sum(sizes)]
    starts = [sum(sizes[:number]) for number in range(len(sizes))]
    meant = reference(*(items[start : start + size] for start, size in zip(starts, sizes, strict=True)))
    asked = replace(ORDER, rule=rule_of(len(items), none_from))
    credits_of_all = [compare(asked, OrderSaid(said), meant).credit for said in itertools.permutations(items)]
    assert random_order_credit(asked.rule, meant) == pytest.approx(sum(credits_of_all) / len(credits_of_all))


def test_four_items_at_random_by_hand():
    # 1, 3 and 5 orders of 24 with 0, 1 and 2 of 6 pairs wrong: (1 + 3 · 2/3 + 5 · 1/3) / 24
    assert random_order_credit(rule_of(4), reference(*"abcd")) == pytest.approx((1 + 2 + 5 / 3) / 24)


@given(st.lists(st.integers(1, 3), min_size=2, max_size=4))
def test_every_arrangement_is_counted_once_and_as_many_stand_one_way_as_the_other(sizes):
    ways = orders_by_inversions(sizes)
    assert sum(ways) * math.prod(map(math.factorial, sizes)) == math.factorial(sum(sizes))
    assert len(ways) == most_inversions(sizes) + 1
    assert ways == ways[::-1]


# ---------------------------------------------------------------- refused


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("abcd", "leaves out 'e': put every item in order"),
        ("abcdx", "names 'x', which is no item here: use a, b, c, d, e"),
    ],
)
def test_an_order_of_other_items_is_refused(said, words):
    with pytest.raises(ValueError, match=words):
        check(ORDER, OrderSaid(tuple(said)))


def test_an_item_named_twice_is_refused():
    with pytest.raises(ValueError, match="stands twice"):
        OrderSaid(("a", "a"))


@pytest.mark.parametrize(
    ("groups", "words"),
    [((), "at least two groups"), (("ab",), "two groups"), (("a", ""), "something in each"), (("ab", "b"), "keep one")],
)
def test_a_reference_that_orders_nothing_is_refused(groups, words):
    with pytest.raises(ValueError, match=words):
        reference(*groups)


def test_a_reference_to_other_items_is_refused():
    with pytest.raises(ValueError, match="the reference puts e in order or leaves it out"):
        ordered("abcde", "a", "b", "c", "d")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"items": {"a": "A", "b": "B"}}, "items: 2 to put in order: give 3 to 10"),
        ({"none_from": 0.6}, "none_from: 0.6 of the pairs"),
        ({"none_from": 0.0}, "none_from: 0 of the pairs"),
        ({"unsafe_first": {"z": "No."}}, "unsafe_first names z"),
        ({"unsafe_first": dict.fromkeys("abcde", "No.")}, "unsafe_first names every item"),
    ],
)
def test_a_rule_that_cannot_be_is_refused(changes, words):
    with pytest.raises(ValueError, match=words):
        replace(ORDER.rule, **changes)
