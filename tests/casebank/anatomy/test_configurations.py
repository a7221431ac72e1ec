"""Types of canals as paths, and the place of each canal on its way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy.configurations import (
    VERTUCCI,
    VERTUCCI_STATUS,
    canals_in,
    parsed,
    strands,
    type_of,
    usual_levels,
    written,
)


@pytest.mark.parametrize(
    ("name", "path"),
    [
        ("I", "1"),
        ("II", "2-1"),
        ("III", "1-2-1"),
        ("IV", "2"),
        ("V", "1-2"),
        ("VI", "2-1-2"),
        ("VII", "1-2-1-2"),
        ("VIII", "3"),
    ],
)
def test_the_eight_types_are_these_paths(name, path):
    # check value 83 (II, V, VI); Vertucci 1984, path strings from memory
    assert written(parsed(name)) == path
    assert type_of(parsed(path)) == name
    assert VERTUCCI_STATUS == "from memory"


def test_a_path_beyond_the_eight_types_has_no_type():
    assert type_of(parsed("2-1-2-1")) is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "is no path"),
        ("IX", "is no path"),
        ("2-", "is no path"),
        ("0-1", "is no path"),
        ("2-2", "repeats a count"),
        ("5", "more than 4 canals"),
    ],
)
def test_what_is_no_path_is_refused(text, sentence):
    with pytest.raises(ValueError, match=sentence):
        parsed(text)


@pytest.mark.parametrize("levels", [(), (0.0,), (1.0,), (0.3, 0.6), (float("nan"),)])
def test_levels_that_do_not_fit_a_path_are_refused(levels):
    with pytest.raises(ValueError, match="changes its count 1 times"):
        strands((2, 1), levels)


def test_two_canals_that_meet_close_in_evenly_and_stay_together():
    buccal, lingual = strands((2, 1), (0.5,))
    shares = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
    # one bend: (1 - x)^2 of the way left, so a quarter half way to the level
    assert buccal.at(shares) == pytest.approx([-1, -0.25, 0, 0, 0])
    assert lingual.at(shares) == pytest.approx([1, 0.25, 0, 0, 0])


def test_a_canal_that_divides_is_one_until_it_does():
    buccal, lingual = strands((1, 2), (0.5,))
    shares = np.array([0.0, 0.5, 0.75, 1.0])
    assert buccal.at(shares) == pytest.approx([0, 0, -0.25, -1])
    assert lingual.at(shares) == pytest.approx([0, 0, 0.25, 1])


def test_between_parting_and_meeting_a_canal_swings_out_and_back():
    _, lingual = strands((1, 2, 1), (0.2, 0.8))
    assert lingual.at(np.array([0.1, 0.2, 0.5, 0.8, 0.9])) == pytest.approx([0, 0, 1, 0, 0])


def test_three_canals_that_become_two_keep_the_outer_places():
    assert [strand.places for strand in strands((3, 2))] == [(-1.0, -1.0), (0.0, -1.0), (1.0, 1.0)]


@given(st.sampled_from([*VERTUCCI, "3-1", "3-2", "2-3", "1-3", "2-1-2-1", "3-2-1", "1-2-3", "4", "4-2"]))
def test_canals_keep_their_order_their_bounds_and_their_counts(text):
    path = parsed(text)
    shares = np.linspace(0.0, 1.0, 2001)
    places = np.array([strand.at(shares) for strand in strands(path)])
    assert len(places) == canals_in(path)
    assert np.abs(places).max() <= 1 + 1e-12
    assert (np.diff(places, axis=0) >= -1e-12).all()
    assert np.abs(np.diff(places, axis=1)).max() < 0.02  # no jump
    ends = (0.0, *usual_levels(path), 1.0)
    for number, count in enumerate(path):
        # where the count before and after is larger or there is none, canals rest on the level's places all along;
        # else they are on them in its middle at the latest
        level = (ends[number] + ends[number + 1]) / 2 if 0 < number < len(path) - 1 else (0.0, 1.0)[number > 0]
        there = places[:, np.argmin(np.abs(shares - level))]
        assert len(set(there.round(9))) == count
