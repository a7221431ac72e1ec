"""An opening judged by its numbers: credits worked by hand, bands without cliffs, and what may never happen."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rubric import OutlineReference, OutlineSaid, WallLeft, compare
from casebank.rubric.opening import Band
from tests.casebank.rubric.cast import OUTLINE

USUAL = OutlineReference(
    leans_deg={"MB": 2.0, "ML": 0.0},
    need_mm3=40.0,
    beyond_mm3=4.0,
    roof_left_mm2=0.0,
    roof_mm2=10.0,
    walls=(WallLeft("crown", 2.0, "mesial"),),
)
SIZES = st.floats(0, 60)
THICK = st.floats(0, 4)


def said(**changes):
    values = {
        "leans_deg": {"MB": 2.0, "ML": 0.0},
        "need_mm3": 40.0,
        "beyond_mm3": 4.0,
        "roof_left_mm2": 0.0,
        "roof_mm2": 10.0,
        "walls": (WallLeft("crown", 2.0, "mesial"),),
    }
    return OutlineSaid(**values | changes)


def wall(part, thick_mm):
    return (WallLeft(part, thick_mm, "mesial"),)


def verdict(usual=USUAL, **changes):
    return compare(OUTLINE, said(**changes), usual)


@st.composite
def openings(draw, made=OutlineSaid):
    reached = draw(st.sets(st.sampled_from(["MB", "ML"]), min_size=0 if made is OutlineSaid else 1))
    least = 0 if made is OutlineSaid else 0.01
    parts = draw(st.sets(st.sampled_from(["crown", "root", "furcation"])))
    return made(
        leans_deg={canal: draw(st.floats(0, 45)) for canal in sorted(reached)},
        missed=frozenset({"MB", "ML"} - reached),
        need_mm3=40.0,
        beyond_mm3=draw(SIZES),
        roof_left_mm2=draw(st.floats(0, 10)),
        roof_mm2=10.0,
        walls=tuple(WallLeft(part, draw(st.floats(least, 4)), "mesial") for part in sorted(parts)),
    )


@pytest.mark.parametrize(
    ("changes", "credit"),
    [
        pytest.param({}, 1, id="as the usual one"),
        pytest.param({"leans_deg": {"MB": 5.0, "ML": 5.0}}, 1, id="leans within 5 degrees"),
        # MB (15 - 10) / 10 = 0.5, ML 1: reach 0.75; 0.4 · 0.75 + 0.2 + 0.4 · 0.75
        pytest.param({"leans_deg": {"MB": 10.0, "ML": 0.0}}, 0.8, id="one canal leant on"),
        # reach 0.5: 0.4 · 0.5 + 0.2 + 0.4 · 0.5
        pytest.param({"leans_deg": {"MB": 2.0}, "missed": frozenset({"ML"})}, 0.6, id="one canal missed"),
        # 3 of 10: (0.5 - 0.3) / 0.4 = 0.5 of the roof's 0.2
        pytest.param({"roof_left_mm2": 3.0}, 0.9, id="roof left"),
        # 30 / 40 = 0.75: (1.25 - 0.75) / 1 = 0.5 of 0.2
        pytest.param({"beyond_mm3": 30.0}, 0.9, id="too much taken"),
        # (1 - 0.5) / 1 = 0.5 of 0.1
        pytest.param({"walls": wall("crown", 1.0)}, 0.95, id="a thin wall of the crown"),
        pytest.param({"walls": wall("root", 1.0)}, 0.95, id="a thin wall of the root"),
        pytest.param({"walls": wall("furcation", 1.0)}, 0.95, id="a thin floor counts as a wall of the root"),
        pytest.param({"walls": wall("root", 1.0) + wall("furcation", 0.75)}, 0.925, id="the thinner of the two"),
        pytest.param({"unsafe": ("Holed.",)}, 0, id="unsafe"),
        pytest.param(
            {"leans_deg": {}, "missed": frozenset({"MB", "ML"}), "beyond_mm3": 0.0, "roof_left_mm2": 10.0, "walls": ()},
            0,
            id="not opened: what is spared counts times reach 0",
        ),
    ],
)
def test_an_opening_earns_by_reach_and_roof_and_by_what_it_spares_on_the_way(changes, credit):
    assert verdict(**changes).credit == pytest.approx(credit)


def test_what_the_usual_opening_costs_too_costs_nothing():
    bent = replace(USUAL, leans_deg={"MB": 9.0, "ML": 0.0}, walls=wall("crown", 1.0), beyond_mm3=16.0)
    asked = {"leans_deg": {"MB": 9.0, "ML": 0.0}, "walls": wall("crown", 1.0), "beyond_mm3": 16.0}
    assert verdict(bent, **asked).credit == 1
    # the bands moved along: whole to 9, none from 19: at 14 half; 0.4 · 0.75 + 0.2 + 0.4 · 0.75
    assert verdict(bent, **asked | {"leans_deg": {"MB": 14.0, "ML": 0.0}}).credit == pytest.approx(0.8)
    # a wall of 1.0 mm where 1.5 were asked: whole from 1.0, none below 0.5 / 1.5 = 1/3; at 2/3 half of 0.1
    assert verdict(bent, **asked | {"walls": wall("crown", 2 / 3)}).credit == pytest.approx(0.95)


def test_a_canal_that_no_opening_reaches_straight_is_not_asked_for():
    narrow = replace(USUAL, leans_deg={"MB": 2.0}, missed=frozenset({"ML"}))
    assert verdict(narrow, leans_deg={"MB": 2.0}, missed=frozenset({"ML"})).credit == 1
    assert verdict(narrow).credit == 1


def test_the_sentences_name_both_openings_and_what_is_not_whole():
    why = verdict(leans_deg={"MB": 10.0}, missed=frozenset({"ML"}), roof_left_mm2=3.0).why
    # reach (0.5 + 0) / 2 = 0.25; 0.4 · 0.25 + 0.2 · 0.5 + 0.4 · 0.25
    assert why == (
        "Your opening: 1 of 2 canals reached (not ML), shafts lean up to 10° more than they must, 4.0 mm³ taken beside "
        "the 40.0 mm³ needed, mesial wall of the crown 2.0 mm, 3.0 of 10.0 mm² of roof left. "
        "The usual opening: 2 of 2 canals reached, shafts lean up to 2° more than they must, 4.0 mm³ taken beside the "
        "40.0 mm³ needed, mesial wall of the crown 2.0 mm, 0.0 of 10.0 mm² of roof left. "
        "Not whole: reach 25 % and roof 50 %; together 30 % of the credit. "
        "What was spared counts only as far as the canals are reached."
    )


def test_an_unsafe_opening_says_why_it_earns_nothing():
    why = verdict(unsafe=("The bur comes out of the tooth at its mesial side.",)).why
    assert why.startswith(
        "Unsafe, so nothing is earned: The bur comes out of the tooth at its mesial side. Yours: 2 of 2 canals reached"
    )


@pytest.mark.parametrize(
    ("changes", "leaning"),
    [
        ({}, 0),
        ({"roof_left_mm2": 3.0}, -1),
        ({"leans_deg": {"MB": 10.0, "ML": 0.0}}, -1),
        ({"beyond_mm3": 30.0}, 1),
        ({"walls": wall("crown", 1.0)}, 1),
        ({"beyond_mm3": 30.0, "roof_left_mm2": 3.0}, None),
        ({"unsafe": ("Holed.",)}, None),
    ],
)
def test_too_small_leans_under_and_too_large_over(changes, leaning):
    assert verdict(**changes).leaning == leaning


@given(openings(), openings(OutlineReference))
def test_credit_stays_between_0_and_1(opening, usual):
    assert 0 <= compare(OUTLINE, opening, usual).credit <= 1


@given(openings(OutlineReference))
def test_the_usual_opening_itself_earns_everything(usual):
    same = OutlineSaid(**vars(usual))
    assert compare(OUTLINE, same, usual).credit == 1


@given(openings(), openings(OutlineReference), st.floats(0, 1))
def test_every_size_made_better_never_lowers_the_credit(opening, usual, share):
    before = compare(OUTLINE, opening, usual).credit
    better = [
        replace(opening, beyond_mm3=opening.beyond_mm3 * share),
        replace(opening, roof_left_mm2=opening.roof_left_mm2 * share),
        replace(opening, leans_deg={canal: lean * share for canal, lean in opening.leans_deg.items()}),
        replace(opening, walls=tuple(replace(one, thick_mm=one.thick_mm + share) for one in opening.walls)),
        replace(opening, leans_deg=opening.leans_deg | dict.fromkeys(opening.missed, 0.0), missed=frozenset()),
    ]
    for opened in better:
        assert compare(OUTLINE, opened, usual).credit >= before - 1e-9


@given(st.floats(0, 30), st.floats(0, 0.01))
def test_a_little_more_lean_costs_a_little(lean_deg, more_deg):
    # of two canals one leans: reach carries at most 0.8 of the credit over a fall of 10 degrees
    one = verdict(leans_deg={"MB": lean_deg, "ML": 0.0}).credit
    other = verdict(leans_deg={"MB": lean_deg + more_deg, "ML": 0.0}).credit
    assert abs(one - other) <= 0.8 / 2 / 10 * more_deg + 1e-9


@given(openings(), openings(OutlineReference))
def test_an_opening_that_reaches_nothing_earns_the_roof_at_most(opening, usual):
    none = replace(opening, leans_deg={}, missed=frozenset({"MB", "ML"}))
    assert compare(OUTLINE, none, usual).credit <= OUTLINE.rule.roof.share + 1e-9


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: said(leans_deg={}), "an opening leads to canals"),
        (lambda: said(missed=frozenset({"MB"})), "canal MB is reached and missed"),
        (lambda: said(leans_deg={"MB": float("nan")}), "leans_deg.MB: nan is no size"),
        (lambda: said(beyond_mm3=-1.0), "beyond_mm3: -1.0 is no size"),
        (lambda: said(need_mm3=0.0), "need_mm3 and roof_mm2 lie above 0"),
        (lambda: said(roof_left_mm2=11.0), "no more roof is left than there was"),
        (lambda: said(walls=wall("crown", 1.0) * 2), "a part has one thinnest place"),
        (lambda: WallLeft("pulp", 1.0, "mesial"), "'pulp' is no part with a wall: write one of crown, root, furcation"),
        (
            lambda: replace(USUAL, leans_deg={}, missed=frozenset({"MB"})),
            "the usual opening reaches at least one canal",
        ),
        (lambda: replace(USUAL, walls=wall("crown", 0.0)), "it holes no tooth"),
        (lambda: replace(OUTLINE.rule, reach=Band(0.5, 5, 15)), "the shares of the five aspects add up to 1.1"),
        (lambda: replace(OUTLINE.rule, reach=Band(0.0, 5, 15)), "reach.share: 0: each aspect"),
        (lambda: replace(OUTLINE.rule, reach=Band(0.4, 15, 5)), "reach: none_beyond must lie above full_within"),
        (lambda: replace(OUTLINE.rule, crown_wall=Band(0.1, 0.5, 1.5)), "crown_wall: full_from must lie above none_be"),
    ],
)
def test_values_that_cannot_be_are_refused(made, words):
    with pytest.raises(ValueError, match=words):
        made()


def test_an_opening_of_another_tooth_is_refused():
    with pytest.raises(ValueError, match="canal D stands on one side only"):
        verdict(leans_deg={"MB": 2.0, "ML": 0.0, "D": 0.0})
