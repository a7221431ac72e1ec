"""A reason in the student's own words: only people mark it, and the points are counted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rubric import Line, WrittenReference, WrittenRule, WrittenSaid, check, compare
from tests.casebank.rubric.cast import WRITTEN

MODEL = WrittenReference("Factor and limit")
IDS = st.frozensets(st.sampled_from(["factor", "limit"]))


def marked(*met, by="author", text="Because."):
    return compare(WRITTEN, WrittenSaid(text, frozenset(met), by), MODEL)


@pytest.mark.parametrize(
    ("met", "credit"), [((), 0), (("limit",), 1 / 3), (("factor",), 2 / 3), (("factor", "limit"), 1)]
)
def test_a_text_earns_the_points_of_the_lines_met(met, credit):
    assert marked(*met).credit == pytest.approx(credit)


def test_the_sentence_says_who_marked_it_what_was_missing_and_the_model():
    assert marked("factor").why == (
        "You marked your own words: 2 of 3 points, 66.7 % of the credit. Not found: 'Limit'. "
        "Beside it: Factor and limit."
    )
    assert marked("factor", "limit", by="instructor").why.startswith("An instructor marked your words: 3 of 3 points")


def test_no_machine_marks_a_text():
    verdict = compare(WRITTEN, WrittenSaid("One factor is named, and one limit is named."), MODEL)
    assert verdict.credit == 0
    assert verdict.why.startswith("Nobody has marked your words yet: no machine does.")
    assert compare(WRITTEN, WrittenSaid(" "), MODEL).why.startswith("You wrote nothing.")


@given(IDS, IDS, st.sampled_from(["author", "instructor"]))
def test_credit_stays_between_0_and_1_and_a_line_more_never_lowers_it(met, more, by):
    fewer, all_of_them = marked(*met, by=by).credit, marked(*(met | more), by=by).credit
    assert 0 <= fewer <= all_of_them <= 1
    assert (all_of_them == 1) == (met | more == {"factor", "limit"})


@given(IDS, st.text(min_size=1, max_size=200).filter(str.strip))
def test_the_text_itself_changes_nothing(met, text):
    assert marked(*met, text=text).credit == marked(*met).credit


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (WrittenSaid("x" * 201), "has 201 letters, at most 200"),
        (WrittenSaid("So.", frozenset({"charm"}), "author"), "meets 'charm', which is no line here: use factor, limit"),
    ],
)
def test_what_cannot_be_an_answer_is_refused(said, words):
    with pytest.raises(ValueError, match=words):
        check(WRITTEN, said)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: WrittenSaid("So.", frozenset({"limit"})), "nobody marked them"),
        (lambda: WrittenSaid("", frozenset({"limit"}), "author"), "an empty text meets no line"),
        (lambda: WrittenSaid("So.", frozenset(), "machine"), "'machine' marks no text: write one of author, instruct"),
        (lambda: WrittenReference(" "), "beside a model"),
        (lambda: WrittenRule((Line("a", "A", "It is", 1),), 200), "line: 1 lines to look for: give 2 to 8"),
        (lambda: WrittenRule((Line("a", "A", "It is", 1),) * 2, 200), "an id stands twice"),
        (lambda: WrittenRule((Line("a", "A", "It", 1), Line("b", "B", "It", 1)), 20), "most_letters: 20"),
        (lambda: Line("a", "A", " ", 1), "line a: say in label and counts"),
        (lambda: Line("a", "A", "It is", 0), "line a: 0 points: give 1 to 10"),
    ],
)
def test_values_that_cannot_be_are_refused(made, words):
    with pytest.raises(ValueError, match=words):
        made()
