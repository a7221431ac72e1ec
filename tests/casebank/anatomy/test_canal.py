"""Widths of a canal from orifice to foramen, and what no canal can be."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy import Canal, Course, Leg, Narrowing, Section

PLAIN = Canal(
    name="C",
    root="R",
    cusp_to_orifice_mm=8.5,
    orifice_mm=(0.0, 0.0),
    course=Course((Leg(12.5),)),
    orifice=Section(0.8, 1.6),
    constriction=Section(0.2, 0.4),
    foramen=Section(0.4, 0.5),
)
SIZES = st.floats(0.05, 2.0)


@st.composite
def canals(draw):
    """Canals of any widths whose constriction is no wider than their foramen, with up to three narrowings."""
    orifice, constriction, foramen = (Section(*sorted((draw(SIZES), draw(SIZES)))) for _ in range(3))
    if constriction.narrow_mm > foramen.narrow_mm:
        constriction, foramen = foramen, constriction
    places = st.builds(Narrowing, st.floats(0.0, 11.9), st.floats(0.01, 1.0), st.floats(0.2, 5.0))
    return replace(
        PLAIN,
        orifice=orifice,
        constriction=constriction,
        foramen=foramen,
        narrowings=tuple(draw(st.lists(places, max_size=3))),
    )


def test_lengths_add_up_from_cusp_to_foramen():
    assert PLAIN.length_mm == 12.5
    assert PLAIN.total_mm == 21.0  # 8.5 + 12.5
    assert PLAIN.centre_line((1.0, 2.0, 0.0))[-1] == pytest.approx((1.0, 2.0, -12.5))


def test_levels_run_from_orifice_to_foramen_in_even_steps():
    levels = PLAIN.levels(step_mm=0.3)
    # 12.5 / 0.3 = 41.7, so 42 steps of 0.298 mm
    assert (levels.size, levels[0], levels[-1]) == (43, 0.0, 12.5)
    assert np.diff(levels) == pytest.approx(np.full(42, 12.5 / 42))


def test_a_canal_widens_evenly_between_its_three_named_levels():
    # constriction at 12.0; halfway down to it (0.8 + 0.2)/2 and (1.6 + 0.4)/2; halfway to the foramen 0.30 and 0.45
    levels = np.array([0.0, 6.0, 12.0, 12.25, 12.5])
    assert PLAIN.narrow_mm(levels) == pytest.approx([0.8, 0.5, 0.2, 0.3, 0.4])
    assert PLAIN.wide_mm(levels) == pytest.approx([1.6, 1.0, 0.4, 0.45, 0.5])


def test_a_narrowing_is_tightest_at_its_level_and_gone_beyond_its_spread():
    narrowed = replace(PLAIN, narrowings=(Narrowing(6.0, 0.1, 2.0),))
    levels = np.array([4.0, 5.0, 6.0, 8.0])
    # own widths 0.60, 0.55, 0.50, 0.40; 0.4 mm lost at the level, half of it 1 mm above
    assert narrowed.narrow_mm(levels) == pytest.approx([0.60, 0.35, 0.10, 0.40])
    assert narrowed.wide_mm(levels) == pytest.approx(PLAIN.wide_mm(levels))


def test_a_narrowing_shows_whichever_levels_are_asked_for():
    narrowed = replace(PLAIN, narrowings=(Narrowing(6.0, 0.1, 2.0),))
    assert narrowed.narrow_mm(np.array([6.0])) == pytest.approx([0.1])
    assert narrowed.narrow_mm(np.array([8.0, 5.0, 4.0])) == pytest.approx([0.40, 0.35, 0.60])


def test_a_canal_that_tapers_fast_is_nowhere_tighter_than_its_narrowing():
    # from 2.0 at the orifice to 0.1: at 9.0 mm the own width is 0.575 and the narrowing, 0.3 wide at 3.0 mm with a
    # spread of 9.0, would still take 0.41 of the 1.225 it takes at its level, leaving 0.167
    steep = replace(PLAIN, orifice=Section(2.0, 2.0), constriction=Section(0.1, 0.4))
    narrowed = replace(steep, narrowings=(Narrowing(3.0, 0.3, 9.0),))
    assert narrowed.narrow_mm(np.array([3.0, 9.0, 12.0])) == pytest.approx([0.3, 0.3, 0.1])


def test_a_narrowing_wider_than_the_canal_changes_nothing():
    levels = PLAIN.levels()
    assert np.array_equal(replace(PLAIN, narrowings=(Narrowing(6.0, 0.5),)).narrow_mm(levels), PLAIN.narrow_mm(levels))


@given(canals())
def test_widths_lie_between_those_of_the_ends_and_the_tightest_place(canal):
    levels = canal.levels()
    narrow, wide = canal.narrow_mm(levels), canal.wide_mm(levels)
    sections = (canal.orifice, canal.constriction, canal.foramen)
    tightest = min([*(section.narrow_mm for section in sections), *(place.narrow_mm for place in canal.narrowings)])
    assert (tightest - 1e-12 <= narrow).all()
    assert (narrow <= max(section.narrow_mm for section in sections) + 1e-12).all()
    assert (narrow <= wide + 1e-12).all()
    assert (wide >= min(section.wide_mm for section in sections) - 1e-12).all()
    assert (wide <= max(section.wide_mm for section in sections) + 1e-12).all()


@given(canals())
def test_narrowings_only_narrow_and_their_order_does_not_matter(canal):
    levels = canal.levels()
    turned_round = replace(canal, narrowings=canal.narrowings[::-1])
    assert (canal.narrow_mm(levels) <= replace(canal, narrowings=()).narrow_mm(levels)).all()
    assert np.array_equal(canal.narrow_mm(levels), turned_round.narrow_mm(levels))


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: Section(0.4, 0.3), "the narrow one first", id="wide before narrow"),
        pytest.param(lambda: Section(0.0, 0.3), "above 0 mm", id="no width"),
        pytest.param(lambda: Section(-0.1, 0.3), "above 0 mm", id="negative width"),
        pytest.param(lambda: Narrowing(-1.0, 0.1), "level of 0 mm or more", id="narrowing above the orifice"),
        pytest.param(lambda: Narrowing(1.0, 0.0), "above 0 mm", id="narrowing that closes the canal"),
        pytest.param(lambda: Narrowing(1.0, 0.1, 0.0), "above 0 mm", id="narrowing without spread"),
        pytest.param(lambda: replace(PLAIN, name=""), "needs a name", id="no name"),
        pytest.param(
            lambda: replace(PLAIN, cusp_to_orifice_mm=0.0), "canal C: the orifice lies below", id="at the cusp"
        ),
        pytest.param(
            lambda: replace(PLAIN, constriction_to_foramen_mm=12.5), "canal C: the constriction", id="at the orifice"
        ),
        pytest.param(
            lambda: replace(PLAIN, constriction_to_foramen_mm=0.0), "canal C: the constriction", id="at the foramen"
        ),
        pytest.param(
            lambda: replace(PLAIN, constriction=Section(0.41, 0.5)), "canal C: .* wider than its foramen", id="no neck"
        ),
        pytest.param(
            lambda: replace(PLAIN, narrowings=(Narrowing(12.0, 0.1),)), "above the constriction", id="narrowed end"
        ),
        pytest.param(lambda: PLAIN.levels(step_mm=0.0), "step above 0", id="no step"),
        pytest.param(lambda: PLAIN.levels(step_mm=math.inf), "step above 0", id="endless step"),
        pytest.param(lambda: PLAIN.narrow_mm(np.array([1.0, np.nan])), "level of a canal", id="level nan"),
        pytest.param(lambda: PLAIN.wide_mm(np.array([np.inf])), "level of a canal", id="level inf"),
    ],
)
def test_what_cannot_be_a_canal_is_refused_in_words(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()
