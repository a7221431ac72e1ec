"""The five comparisons: hand-worked credits, what may never happen, and what the sentences must name."""

import math

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
    check,
    compare,
)
from tests.casebank.rubric.cast import ANGLE, BENCH, COUNT, LENGTH, LEVEL, MARK, ONE, SEVERAL, criterion

PINS = st.frozensets(st.sampled_from(["a", "b", "c", "d", "e", "film 1"]))
LEVELS = st.integers(1, 3)
READINGS = st.floats(-1e6, 1e6)
COORDINATES = st.floats(-5, 5)
POINTS = st.tuples(COORDINATES, COORDINATES)
OPTIONS = list("abcdefgh")


def level(said, reference, pinned=("a",), evidence=("a",)):
    return compare(LEVEL, LevelSaid(said, frozenset(pinned)), LevelReference(reference, frozenset(evidence)))


def marks(said, reference):
    return compare(MARK, MarkSaid(tuple(said)), MarkReference(tuple(reference)))


# ---- levels


@pytest.mark.parametrize(
    ("said", "reference", "credit"),
    [(1, 1, 1), (2, 1, 0.5), (3, 2, 0.5), (1, 2, 0.25), (2, 3, 0.25), (3, 1, 0), (1, 3, 0)],
)
def test_a_level_earns_by_steps_and_too_low_costs_more(said, reference, credit):
    assert level(said, reference).credit == credit


@pytest.mark.parametrize(("said", "reference", "credit"), [(3, 3, 0.5), (3, 2, 0.25), (2, 3, 0.125), (1, 3, 0)])
def test_a_level_without_any_of_the_evidence_keeps_half_and_says_so(said, reference, credit):
    verdict = level(said, reference, pinned=("b",), evidence=("a", "film 1"))
    assert verdict.credit == credit
    assert "None of the reference's evidence (a, film 1) is pinned" in verdict.why


def test_pinning_everything_counts_as_pinning_nothing():
    # five pins where four are allowed, the right one among them: half stands
    verdict = level(2, 2, pinned="abcde", evidence="a")
    assert verdict.credit == 0.5
    assert "5 pins single nothing out" in verdict.why


def test_where_the_reference_rests_on_no_evidence_none_is_asked_for():
    assert level(1, 1, pinned=(), evidence=()).credit == 1


def test_a_level_s_sentence_names_both_levels_and_their_distance():
    assert level(1, 2).why.startswith("You said low, one step below the reference moderate: 25 % of the credit.")


@pytest.mark.parametrize("number", [0, 4, -1, True])
def test_a_level_that_does_not_exist_is_refused(number):
    with pytest.raises(ValueError, match="give 1, 2 or 3"):
        LevelSaid(number)
    with pytest.raises(ValueError, match="give 1, 2 or 3"):
        LevelReference(number)


@given(LEVELS, LEVELS, PINS, PINS)
def test_calling_a_case_too_easy_never_earns_more_than_calling_it_as_much_too_hard(one, other, pinned, evidence):
    low, high = sorted((one, other))
    assert level(low, high, pinned, evidence).credit <= level(high, low, pinned, evidence).credit


@given(LEVELS, LEVELS, PINS, PINS)
def test_a_level_s_credit_stays_between_0_and_1_and_citing_nothing_never_pays(said, reference, pinned, evidence):
    credit = level(said, reference, pinned, evidence).credit
    assert 0 <= level(said, reference, (), evidence).credit <= credit <= 1 or len(pinned) > 4


# ---- choices


@pytest.mark.parametrize(
    ("picks", "credit"),
    [
        (("a", "b", "c"), 1.0),  # three of three
        (("a", "b"), 2 / 3),
        (("a", "b", "x"), 1 / 3),  # two agree, one taken off: 1 of 3
        (("x", "y", "a"), 0.0),  # 1 - 2, not below 0
        (("a", "p"), 0.5),  # 1 + 0.5 of 3
        ((), 0.0),
    ],
)
def test_several_picks_earn_what_agrees_less_what_does_not(picks, credit):
    reference = ChoiceReference(frozenset("abc"), {"p": 0.5})
    assert compare(SEVERAL, picks, reference).credit == pytest.approx(credit)


def test_where_more_options_agree_than_may_be_picked_the_cap_is_what_is_needed():
    assert compare(SEVERAL, tuple("abcd"), ChoiceReference(frozenset("abcdef"))).credit == 1


def test_the_rubric_s_share_cannot_be_raised_by_a_case():
    rule = ChoiceRule({"treat": "Treat", "refer": "Refer"}, partly={"refer": {"treat": 0.0}})
    assert compare(criterion(rule), "treat", ChoiceReference(frozenset(["refer"]), {"treat": 0.9})).credit == 0


def test_a_case_s_share_holds_where_the_rubric_states_none():
    verdict = compare(ONE, "bite", ChoiceReference(frozenset(["roots"]), {"bite": 0.3}))
    assert verdict.credit == 0.3
    assert (
        verdict.why
        == "You chose 'Square to the bite'; the reference is 'Along the roots': in part, for 30 % of the credit."
    )


def test_a_lone_text_and_a_tuple_of_one_are_the_same_answer():
    reference = ChoiceReference(frozenset(["roots"]))
    assert compare(ONE, "roots", reference) == compare(ONE, ("roots",), reference)


def test_a_choice_names_what_agrees_what_does_not_and_what_was_left_out():
    why = compare(SEVERAL, ("a", "x"), ChoiceReference(frozenset("ab"))).why
    assert why == "In the reference: a. Not in the reference, each taken off again: x. Not chosen: b. 0 of 2 needed."


@pytest.mark.parametrize(
    ("asked", "picks", "words"),
    [
        (ONE, ("crown", "roots"), "2 options picked, at most 1"),
        (SEVERAL, tuple("abcde"), "5 options picked, at most 4"),
        (SEVERAL, ("a", "a"), "picked twice"),
        (ONE, "sideways", "no option here: use one of crown, roots, bite"),
    ],
)
def test_picks_that_cannot_be_are_refused(asked, picks, words):
    with pytest.raises(ValueError, match=words):
        check(asked, picks)
    with pytest.raises(ValueError, match=words):
        compare(asked, picks, ChoiceReference(frozenset(["roots"])))


def test_a_reference_that_names_no_option_is_refused():
    with pytest.raises(ValueError, match="the reference names 'rots'"):
        compare(ONE, "roots", ChoiceReference(frozenset(["rots"])))


@pytest.mark.parametrize(
    ("best", "partly"), [(frozenset(), {}), (frozenset("a"), {"a": 0.5}), (frozenset("a"), {"b": math.nan})]
)
def test_a_choice_reference_that_contradicts_itself_is_refused(best, partly):
    with pytest.raises(ValueError, match="option"):
        ChoiceReference(best, partly)


@given(
    st.lists(st.sampled_from(OPTIONS), unique=True, max_size=3),
    st.frozensets(st.sampled_from(OPTIONS), min_size=1),
    st.dictionaries(st.sampled_from(["p", "q"]), st.floats(0, 1)),
)
def test_a_choice_s_credit_stays_between_0_and_1_and_a_wrong_pick_never_raises_it(picks, best, partly):
    reference = ChoiceReference(best, partly)
    credit = compare(SEVERAL, tuple(picks), reference).credit
    assert 0 <= credit <= 1
    assert compare(SEVERAL, (*picks, "wrong"), reference).credit <= credit


# ---- measures


@pytest.mark.parametrize(
    ("said", "credit"),
    [(18, 1), (20, 1), (16, 1), (21, 5 / 6), (13, 0.5), (23, 0.5), (26, 0), (60, 0)],
    # full within 2, none from 8: at 3 apart (8 - 3) / 6, at 5 apart (8 - 5) / 6
)
def test_a_measure_s_credit_falls_in_a_straight_line(said, credit):
    assert compare(ANGLE, MeasureSaid(said), MeasureReference(18)).credit == pytest.approx(credit)


def test_a_measure_names_the_reading_the_distance_the_side_and_the_method():
    why = compare(ANGLE, MeasureSaid(12, "MB"), MeasureReference(18, frozenset(["MB"]))).why
    # (8 - 6) / (8 - 2) = 1 / 3
    assert why == "Your 12° is 6° below the reference 18° for MB (secant angle, Schneider 1971): 33.3 % of the credit."
    assert "0.4 mm above the reference 19.3 mm" in compare(LENGTH, MeasureSaid(19.7), MeasureReference(19.3)).why
    assert compare(COUNT, MeasureSaid(2), MeasureReference(3)).why == (
        "Your count of 2 canals is 1 below the reference 3; credit ends at 1."
    )


@pytest.mark.parametrize("of", ["D", None])
def test_a_measure_of_the_wrong_thing_earns_nothing_and_names_what_was_meant(of):
    verdict = compare(ANGLE, MeasureSaid(18, of), MeasureReference(18, frozenset(["MB", "ML"])))
    assert verdict.credit == 0
    assert "MB or ML" in verdict.why


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True])
def test_a_measure_that_is_no_finite_number_is_refused(value):
    with pytest.raises(ValueError, match="finite"):
        MeasureSaid(value)
    with pytest.raises(ValueError, match="finite"):
        MeasureReference(value)


@pytest.mark.parametrize("value", [2.5, -1])
def test_a_count_is_a_whole_number(value):
    with pytest.raises(ValueError, match="no count"):
        compare(COUNT, MeasureSaid(value), MeasureReference(3))


@given(READINGS, READINGS, st.floats(0, 1))
def test_moving_a_measure_nearer_never_lowers_its_credit(said, reference, share):
    nearer = said + share * (reference - said)
    if abs(nearer - reference) > abs(said - reference):  # rounding of very large numbers
        nearer = said
    far = compare(LENGTH, MeasureSaid(said), MeasureReference(reference)).credit
    near = compare(LENGTH, MeasureSaid(nearer), MeasureReference(reference)).credit
    assert 0 <= far <= near <= 1


# ---- marks


@pytest.mark.parametrize(
    ("said", "reference", "credit"),
    [
        pytest.param([(0.3, 0.4)], [(0, 0)], 1, id="0.5 mm apart, within 0.5"),
        pytest.param([(0.9, 1.2)], [(0, 0)], 0.5, id="1.5 mm apart: (2.5 - 1.5) / 2"),
        pytest.param([(3, 4)], [(0, 0)], 0, id="5 mm apart"),
        pytest.param([(0, 0)], [(0, 0), (9, 0)], 0.5, id="one of two found"),
        pytest.param([(0, 0), (5, 5)], [(0, 0), (9, 0)], 0.25, id="one of two found, one false: (1 - 0.5) / 2"),
        # first mark 1.4 from the first point, 1.6 from the second: crosswise pairing earns 1 + 0.45 over 2
        pytest.param([(1.4, 0), (0.2, 0)], [(0, 0), (3, 0)], 0.725, id="the pairing that serves best"),
        pytest.param([], [(0, 0)], 0, id="no mark"),
    ],
)
def test_marks_earn_by_distance_under_the_best_pairing(said, reference, credit):
    assert marks(said, reference).credit == pytest.approx(credit)


def test_a_mark_s_sentence_names_the_distance_and_what_was_taken_off():
    assert "1.5 mm from the reference" in marks([(0.9, 1.2)], [(0, 0)]).why
    assert "5.0 mm from the reference" in marks([(3, 4)], [(0, 0)]).why
    why = marks([(0, 0), (5, 5)], [(0, 0), (9, 0)]).why
    assert "1 mark near no reference point within 2.5 mm: 0.5 taken off." in why
    assert "1 reference point not marked." in why


def test_more_marks_than_allowed_are_refused():
    with pytest.raises(ValueError, match="5 marks set, at most 4"):
        marks([(0, 0)] * 5, [(0, 0)])


@pytest.mark.parametrize("point", [(math.nan, 0), (0, math.inf), (0, 0, 0)])
def test_a_mark_that_lies_nowhere_is_refused(point):
    with pytest.raises(ValueError, match="mark"):
        MarkSaid((point,))
    with pytest.raises(ValueError, match="reference point"):
        MarkReference((point,))


@given(st.lists(POINTS, max_size=3), st.lists(POINTS, min_size=1, max_size=3))
def test_adding_a_false_mark_never_raises_the_credit(said, reference):
    # (100, 100) lies more than 2.5 mm from every point that can be drawn here
    credit = marks(said, reference).credit
    assert 0 <= credit <= 1
    assert marks([*said, (100.0, 100.0)], reference).credit <= credit


@given(st.lists(POINTS, max_size=4), st.lists(POINTS, min_size=1, max_size=3), st.randoms(use_true_random=False))
def test_the_order_of_marks_and_points_does_not_matter(said, reference, random):
    credit = marks(said, reference).credit
    random.shuffle(said)
    random.shuffle(reference)
    assert marks(said, reference).credit == pytest.approx(credit)


@given(POINTS, POINTS, st.floats(0, 1))
def test_moving_a_mark_nearer_never_lowers_its_credit(said, reference, share):
    nearer = tuple(a + share * (b - a) for a, b in zip(said, reference, strict=True))
    assert marks([nearer], [reference]).credit >= marks([said], [reference]).credit - 1e-9


@pytest.mark.parametrize("number", [2, 3, 4])
def test_a_shower_of_guesses_earns_no_more_than_one_guess(number):
    # guesses on every cell of a 6 mm grid round the point. With cost c = 0.5 the best of k guesses earns
    # max - c (k - 1), which is at most max / k and so at most the mean of the k
    grid = [(x / 2 - 3, y / 2 - 3) for x in range(13) for y in range(13)]
    alone = sum(marks([guess], [(0, 0)]).credit for guess in grid) / len(grid)
    shower = sum(
        marks([grid[(place + 31 * k) % len(grid)] for k in range(number)], [(0, 0)]).credit
        for place in range(len(grid))
    ) / len(grid)
    assert alone > 0
    assert shower <= alone


# ---- the bench


@pytest.mark.parametrize(("met", "of", "credit"), [(4, 4, 1), (1, 4, 0.25), (0, 4, 0), (0, 0, 0), (1.5, 2, 0.75)])
def test_the_bench_earns_the_share_that_was_met(met, of, credit):
    assert compare(BENCH, BenchSaid(met, of), BenchReference("after each file")).credit == credit


def test_a_bench_sentence_names_the_share_the_places_and_what_was_expected():
    said = BenchSaid(1, 4, ("Only after 20/.02",))
    assert compare(BENCH, said, BenchReference("size 10 to 19.3 mm each time")).why == (
        "1 of 4 larger files were followed by a size 10 to length. Only after 20/.02. "
        "Reference: size 10 to 19.3 mm each time."
    )
    assert "Not done" in compare(BENCH, BenchSaid(0, 0), BenchReference("each time")).why


@pytest.mark.parametrize(("met", "of"), [(2, 1), (-1, 1), (math.nan, 1), (0, math.inf)])
def test_a_bench_record_that_cannot_be_is_refused(met, of):
    with pytest.raises(ValueError, match="met"):
        BenchSaid(met, of)


@given(st.floats(0, 1e6), st.floats(0, 1))
def test_a_bench_credit_stays_between_0_and_1(of, share):
    assert 0 <= compare(BENCH, BenchSaid(share * of, of), BenchReference("all")).credit <= 1


# ---- all kinds


@pytest.mark.parametrize(
    ("asked", "said"), [(LEVEL, "low"), (ONE, LevelSaid(1)), (ANGLE, MarkSaid(())), (BENCH, MeasureSaid(1))]
)
def test_an_answer_of_another_kind_is_refused(asked, said):
    with pytest.raises(ValueError, match="asks for a"):
        compare(asked, said, BenchReference("all"))


def test_a_reference_of_another_kind_is_refused():
    with pytest.raises(ValueError, match="must be a LevelReference, not a BenchReference"):
        compare(LEVEL, LevelSaid(1), BenchReference("all"))


@pytest.mark.parametrize("credit", [-0.1, 1.1, math.nan])
def test_a_verdict_outside_0_to_1_cannot_exist(credit):
    with pytest.raises(ValueError, match="between 0 and 1"):
        Verdict(credit, "")
