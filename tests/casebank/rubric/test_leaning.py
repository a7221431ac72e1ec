"""Which way an answer departs from its reference: worked by hand for every kind."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rubric import (
    BenchReference,
    BenchSaid,
    ChoiceReference,
    ChoiceRule,
    LevelReference,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureSaid,
    Verdict,
    bundled,
    compare,
)
from tests.casebank.rubric.cast import ANGLE, BENCH, COUNT, LENGTH, LEVEL, MARK, ONE, SEVERAL, criterion

CAUTION = criterion(
    ChoiceRule(
        {"treat": "Treat", "supervised": "Treat beside a supervisor", "refer": "Refer", "leave": "Leave it"},
        partly={"refer": {"supervised": 0.4}},
        ordered=("treat", "supervised", "refer"),
    )
)


def level(said, reference, pinned=()):
    return compare(LEVEL, LevelSaid(said, frozenset(pinned)), LevelReference(reference, frozenset("a"))).leaning


@pytest.mark.parametrize(("said", "reference", "leaning"), [(3, 1, 1), (3, 2, 1), (2, 2, 0), (2, 3, -1), (1, 3, -1)])
def test_a_level_leans_by_the_side_it_lies_on_however_far(said, reference, leaning):
    assert level(said, reference, pinned="a") == leaning


def test_a_level_that_is_the_same_agrees_although_its_evidence_is_missing():
    assert level(2, 2, pinned="b") == 0


@given(st.integers(1, 3), st.integers(1, 3))
def test_two_levels_changed_for_each_other_lean_the_other_way(one, other):
    assert level(one, other) == -level(other, one)


@pytest.mark.parametrize(
    ("asked", "said", "reference", "leaning"),
    [
        (LENGTH, 19.8, 19.3, 0),  # 0.5 mm, the edge of the tolerance
        (LENGTH, 19.8, 19.299999999999997, 0),  # as a sum of lengths comes out
        (LENGTH, 19.9, 19.3, 1),
        (LENGTH, 18.8, 19.3, 0),
        (LENGTH, 18.7, 19.3, -1),
        (LENGTH, 25.0, 19.3, 1),  # beyond where credit ends it still lies over
        (ANGLE, 20.0, 18.0, 0),  # 2 degrees, within 2
        (ANGLE, 10.0, 18.0, -1),
        (COUNT, 4, 3, 1),
        (COUNT, 2, 3, -1),
        (COUNT, 3, 3, 0),
    ],
)
def test_a_number_leans_once_it_leaves_the_full_tolerance(asked, said, reference, leaning):
    assert compare(asked, MeasureSaid(said), MeasureReference(reference)).leaning == leaning


def test_a_number_read_on_the_wrong_canal_leans_nowhere():
    for canal in ("D", None):
        assert compare(ANGLE, MeasureSaid(18, canal), MeasureReference(18, frozenset(["MB"]))).leaning is None


@pytest.mark.parametrize(
    ("pick", "best", "leaning"),
    [
        ("refer", "refer", 0),
        ("supervised", "refer", -1),  # in part right, and less cautious
        ("treat", "refer", -1),
        ("refer", "treat", 1),
        ("supervised", "treat", 1),
        ("leave", "refer", None),  # no place in the order
        ("refer", "leave", None),
        ("leave", "leave", 0),
    ],
)
def test_a_choice_leans_by_the_rubric_s_order_of_caution(pick, best, leaning):
    assert compare(CAUTION, (pick,), ChoiceReference(frozenset([best]))).leaning == leaning


def test_a_pick_between_two_best_options_is_neither_over_nor_under():
    assert compare(CAUTION, ("supervised",), ChoiceReference(frozenset(["treat", "refer"]))).leaning is None


def test_nothing_picked_and_options_without_an_order_lean_nowhere():
    assert compare(CAUTION, (), ChoiceReference(frozenset(["refer"]))).leaning is None
    assert compare(ONE, ("crown",), ChoiceReference(frozenset(["roots"]))).leaning is None
    assert compare(ONE, ("roots",), ChoiceReference(frozenset(["roots"]))).leaning == 0


def test_several_picks_agree_in_full_or_lean_nowhere():
    reference = ChoiceReference(frozenset("ab"))
    assert compare(SEVERAL, ("a", "b"), reference).leaning == 0
    assert compare(SEVERAL, ("a",), reference).leaning is None


def test_a_mark_agrees_in_full_or_leans_nowhere():
    reference = MarkReference(((0.0, 0.0),))
    leanings = [compare(MARK, MarkSaid(points), reference).leaning for points in [((0.3, 0.4),), ((1.5, 0.0),), ()]]
    assert leanings == [0, None, None]


@pytest.mark.parametrize(("met", "of", "leaning"), [(2, 2, 0), (1, 2, None), (0, 0, None)])
def test_what_the_bench_shows_agrees_in_full_or_leans_nowhere(met, of, leaning):
    assert compare(BENCH, BenchSaid(met, of), BenchReference("all")).leaning == leaning


def test_a_verdict_cannot_lean_by_two():
    with pytest.raises(ValueError, match="leans by -1, 0, 1 or not at all"):
        Verdict(0.0, "", 2)


def test_the_treatment_path_orders_treating_alone_below_a_referral():
    asked = bundled("treatment-path").criterion("decision")
    assert asked.rule.ordered == ("treat", "supervised", "refer")
    assert compare(asked, ("treat",), ChoiceReference(frozenset(["refer"]))).leaning == -1
    assert compare(asked, ("no-root-treatment",), ChoiceReference(frozenset(["refer"]))).leaning is None
