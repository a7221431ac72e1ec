"""What an opening comes to: too small, right and gouging told apart, and line and depth asked apart from it."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy.access import GOUGED, RIGHT, TOO_SMALL
from casebank.casefile.opened import drawn_plan, judged, opening_said, usual_opening, usual_plan_of
from casebank.rubric import bundled
from casebank.rubric.opening import outline
from tests.casebank.casefile.bank import SLUGS, case

SLUGS_OF_BACK_TEETH = ["leaning-abutment", "map-engraver"]


def scaled(document, by, right=0.0):
    """The usual outline about its own middle, larger or smaller, and moved to the right, mm."""
    points = np.array(usual_plan_of(document).outline)
    middle = points.mean(axis=0)
    return [tuple(point) for point in (middle + by * (points - middle) + [right, 0.0]).tolist()]


def graded(document, places):
    verdict = judged(document, drawn_plan(document, places))
    rule = bundled(document.rubric).criterion("outline").rule
    return verdict, outline(rule, opening_said(verdict), usual_opening(document))


@pytest.mark.parametrize("slug", SLUGS)
def test_the_usual_opening_earns_everything(slug):
    verdict, grade = graded(case(slug), usual_plan_of(case(slug)).outline)
    assert verdict.in_short == RIGHT
    assert grade.credit == 1.0
    assert grade.leaning == 0


@pytest.mark.parametrize("slug", SLUGS)
def test_one_too_small_earns_less_and_says_which_canals_it_does_not_reach(slug):
    verdict, grade = graded(case(slug), scaled(case(slug), 0.5))
    assert verdict.in_short == TOO_SMALL
    assert grade.credit < 0.5
    missed = [reach.canal for reach in verdict.canals if reach.lean_deg is None]
    assert missed
    assert all(canal in grade.why for canal in missed)


@pytest.mark.parametrize("slug", SLUGS_OF_BACK_TEETH)
def test_a_gouge_earns_nothing_and_says_where(slug):
    verdict, grade = graded(case(slug), scaled(case(slug), 1.15, right=-1.0 if slug == "map-engraver" else 1.0))
    assert verdict.in_short == GOUGED
    assert grade.credit == 0
    assert grade.why.startswith("Unsafe, so nothing is earned: From the cut to the root's dist")


@pytest.mark.parametrize("slug", SLUGS)
def test_between_right_and_far_too_small_credit_only_falls(slug):
    earned = [graded(case(slug), scaled(case(slug), by))[1].credit for by in (1.0, 0.9, 0.75, 0.6, 0.4)]
    assert earned == sorted(earned, reverse=True)
    assert earned[0] - earned[-1] > 0.9


def test_a_drawn_plan_takes_line_depth_and_flare_from_the_usual_one_alone():
    document = case("leaning-abutment")
    usual = usual_plan_of(document)
    plan = drawn_plan(document, scaled(document, 0.9), [(1.0, 0.0)])
    assert replace(plan, outline=usual.outline, marks=()) == usual


def test_what_was_answered_of_line_and_depth_is_no_part_of_what_is_judged():
    # only the tooth, its restorations and the author's own opening decide; the choices' keys can be turned round
    document = case("leaning-abutment")
    keys = dict(document.choices) | {"axis": document.choices["axis"].model_copy(update={"best": ("crown",)})}
    other = document.model_copy(update={"choices": keys})
    places = scaled(document, 0.9)
    assert graded(other, places)[1] == graded(document, places)[1]


def test_marks_change_nothing_of_what_is_earned():
    document = case("leaning-abutment")
    places = scaled(document, 0.9)
    with_marks = judged(document, drawn_plan(document, places, [(0.0, 0.0), (2.0, 0.0)]))
    assert opening_said(with_marks) == opening_said(judged(document, drawn_plan(document, places)))


def test_an_outline_that_crosses_itself_or_leaves_the_crown_is_refused():
    document = case("leaning-abutment")
    with pytest.raises(ValueError, match="crosses itself between points 1 and 2 and points 3 and 4"):
        drawn_plan(document, [(0, 0), (2, 2), (2, 0), (0, 2)])
    with pytest.raises(ValueError, match="point 2 of the outline"):
        judged(document, drawn_plan(document, [(0, 0), (9, 0), (0, 2)]))
