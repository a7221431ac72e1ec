"""Nothing about fewer than five persons follows from the figures on show, however they are added and subtracted.

A page is taken as the sets of attempts its figures stand for. Sums and differences of the figures of one kind (say,
who agreed) stand for combinations of those sets, so what can be isolated is what lies in their span.
"""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assess.stats import LEAST_SHOWN, shown, total_over

COHORTS = ("year three", "year four", "year five")
CASES = ("first", "second")
KEYS = st.tuples(st.sampled_from(COHORTS), st.sampled_from(CASES))
tables = st.dictionaries(KEYS, st.integers(0, 7), min_size=1)
small_tables = st.dictionaries(KEYS, st.integers(0, 6), min_size=1, max_size=4)  # every set of four can be tried


def attempts_of(groups):
    """The places of each group's attempts in a row of all attempts."""
    ends = np.cumsum([0, *groups.values()])
    return {key: range(start, end) for key, (start, end) in zip(groups, pairwise(ends), strict=True)}


def marked(places, length):
    row = np.zeros(length)
    row[list(places)] = 1
    return row


def parts_of(groups):
    """What a page may total: the whole table, each of its rows and each of its columns."""
    yield groups
    for place in (0, 1):
        for name in {key[place] for key in groups}:
            yield {key: persons for key, persons in groups.items() if key[place] == name}


def page(groups, kept=shown):
    """The sets behind a page that shows the kept groups and every total over kept groups."""
    attempts, length = attempts_of(groups), sum(groups.values())
    sets = [marked(attempts[key], length) for key in kept(groups)]
    for part in parts_of(groups):
        sets.append(marked([place for key in kept(part) for place in attempts[key]], length))
    return np.array(sets)


def span(sets):
    """An orthonormal basis of all that sums and differences of the sets can give, shape (attempts, rank)."""
    _, sizes, rows = np.linalg.svd(sets, full_matrices=False)
    return rows[sizes > 1e-9].T


def isolated(sets, *, size):
    """The sets of this many attempts that some combination stands for."""
    length = sets.shape[1]
    chosen = list(combinations(range(length), size))
    if not chosen:
        return []
    rows = np.zeros((len(chosen), length))
    np.put_along_axis(rows, np.array(chosen), 1, axis=1)
    basis = span(sets)
    left_over = np.linalg.norm(rows - rows @ basis @ basis.T, axis=1)
    return [picked for picked, rest in zip(chosen, left_over, strict=True) if rest < 1e-6]


def totals_as_they_are(groups):
    """What must not be done: a total over everybody beside the groups that are shown."""
    attempts, length = attempts_of(groups), sum(groups.values())
    return np.array([*(marked(attempts[key], length) for key in shown(groups)), np.ones(length)])


def test_five_are_shown_and_four_are_not():
    assert LEAST_SHOWN == 5
    assert shown({"five": 5, "four": 4, "nobody": 0}) == {"five"}


def test_a_total_leaves_the_hidden_group_out():
    assert total_over({"year three": 24, "year four": 4, "year five": 6}) == 30


def test_without_a_shown_group_there_is_no_total_even_if_the_hidden_ones_are_many_together():
    assert total_over({"year three": 4, "year four": 4}) == 0
    assert total_over({}) == 0


def test_an_outer_group_is_totalled_from_its_inner_ones():
    # a cohort of 24 with a seminar of 20 and one of 4: 24 beside 20 would tell of the four
    assert total_over({"one seminar": 20, "the other": 4}) == 20


def test_a_case_that_few_have_finished_adds_nothing_to_the_total_over_cases():
    finished = {("year three", "first"): 24, ("year three", "second"): 4}
    assert shown(finished) == {("year three", "first")}
    assert total_over(finished) == 24


def test_a_total_that_counts_everybody_would_isolate_the_hidden_group():
    # so the search below can find a leak: 6 shown and 8 in all leave places 6 and 7
    sets = totals_as_they_are({("year three", "first"): 6, ("year four", "first"): 2})
    assert isolated(sets, size=2) == [(6, 7)]


def test_two_hidden_groups_would_be_isolated_by_totals_of_a_row_and_a_column():
    groups = {("year three", "first"): 2, ("year three", "second"): 6, ("year four", "first"): 6}
    everybody = page(groups, kept=frozenset)
    assert (0, 1) in isolated(everybody, size=2)
    assert isolated(page(groups), size=2) == []


@settings(max_examples=60, deadline=None)
@given(small_tables)
@example({(cohort, case): 5 for cohort in COHORTS for case in CASES})
@example({("year three", "first"): 5, ("year three", "second"): 4, ("year four", "first"): 4})
def test_no_combination_of_shown_figures_isolates_fewer_than_five(groups):
    sets = page(groups)
    for size in range(1, LEAST_SHOWN):
        assert isolated(sets, size=size) == []


@settings(deadline=None)
@given(tables)
def test_a_hidden_attempt_has_no_part_in_any_combination_of_shown_figures(groups):
    basis = span(page(groups))
    attempts = attempts_of(groups)
    hidden = [place for key in set(groups) - shown(groups) for place in attempts[key]]
    assert np.allclose(basis[hidden], 0)


@given(tables, tables)
def test_whether_a_group_is_shown_hangs_on_itself_alone(groups, others):
    together = others | groups
    assert shown(together) & set(groups) == shown(groups)


@given(tables)
def test_a_total_is_nothing_or_at_least_five_and_no_more_than_all(groups):
    assert total_over(groups) == 0 or LEAST_SHOWN <= total_over(groups) <= sum(groups.values())


def test_a_group_of_fewer_than_none_is_refused():
    with pytest.raises(ValueError, match="'year three' has -1 persons: count them anew"):
        shown({"year three": -1})
