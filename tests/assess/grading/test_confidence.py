"""Confidence: where the best step switches, what a claim costs, and what is listed of one attempt."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assess.grading.confidence import RIGHT_FROM, STEPS, best_step, confidences, step_points, worth
from assess.log import Chose, Stage


def answered(**confidence_of):
    return {
        task: Chose(seq=1, case="some", stage=Stage.LOOK, task=task, values=("one",), confidence=confidence)
        for task, confidence in confidence_of.items()
    }


def test_the_points_are_those_of_the_rule():
    assert [step_points(step, right=True) for step in STEPS] == [1, 2, 3]
    assert [step_points(step, right=False) for step in STEPS] == [0, -2, -6]


def test_the_best_step_switches_at_two_thirds_and_at_four_fifths():
    # p = 4p - 2 at 2/3, and 4p - 2 = 9p - 6 at 4/5; looked for in steps of 0.0005 from 0 to 1
    chances = [number / 2000 for number in range(2001)]
    switches = [
        (before, after, chance)
        for chance, last in zip(chances[1:], chances, strict=False)
        if (before := best_step(last)) != (after := best_step(chance))
    ]
    assert [(before, after) for before, after, _ in switches] == [("unsure", "fairly sure"), ("fairly sure", "sure")]
    assert switches[0][2] == pytest.approx(0.667, abs=0.001)
    assert switches[1][2] == pytest.approx(0.800, abs=0.001)


@given(st.floats(0, 1), st.sampled_from(STEPS))
def test_no_other_step_brings_more_than_the_best_one(chance, step):
    assert worth(best_step(chance), chance) >= worth(step, chance)


def test_always_sure_at_two_thirds_comes_to_about_nothing():
    # 67 of 100 right: 9 · 0.67 - 6 = 0.03 for each answer
    earned = {f"task{number}": float(number < 67) for number in range(100)}
    found = confidences(answered(**dict.fromkeys(earned, "sure")), earned)
    assert found.mean == pytest.approx(0.03)
    assert abs(found.mean) < 0.05


def test_an_honest_rater_at_two_thirds_comes_to_about_one():
    # chances even from 1/3 to 1, so 2/3 right on the whole. By integration: p from 1/3 to 2/3 gives 1/6, 4p - 2 from
    # 2/3 to 4/5 gives 28/225, 9p - 6 from 4/5 to 1 gives 21/50; their sum over 2/3 is 16/15
    steps = 20_000
    chances = [1 / 3 + 2 / 3 * (number + 0.5) / steps for number in range(steps)]
    assert sum(worth(best_step(chance), chance) for chance in chances) / steps == pytest.approx(16 / 15, abs=1e-4)


def test_the_honest_mean_is_that_of_one_step_for_all():
    # 3 of 4 right: 4 · 0.75 - 2 = 1 with "fairly sure"; given were 3 - 6 + 1 + 1
    earned = {"a": 1.0, "b": 0.0, "c": 1.0, "d": 1.0}
    found = confidences(answered(a="sure", b="sure", c="unsure", d="unsure"), earned)
    assert (found.points, found.mean, found.honest) == (-1, -0.25, 1.0)


def test_right_is_three_quarters_of_the_credit_or_more():
    assert RIGHT_FROM == 0.75
    found = confidences(answered(a="sure", b="sure"), {"a": 0.75, "b": 0.74})
    assert (found.steps["sure"].rated, found.steps["sure"].right, found.sure_and_wrong) == (2, 1, ("b",))


def test_what_was_sure_and_wrong_and_what_unsure_and_right_is_listed_in_the_order_asked():
    earned = {"d": 0.0, "a": 0.0, "c": 1.0, "b": 1.0, "e": 0.0, "f": 1.0}
    found = confidences(answered(a="sure", b="unsure", c="unsure", d="sure", e="unsure", f="sure"), earned)
    assert found.sure_and_wrong == ("d", "a")
    assert found.unsure_and_right == ("c", "b")


def test_an_answer_without_a_confidence_counts_for_nothing():
    found = confidences(answered(a=None, b="fairly sure"), {"a": 1.0, "b": 1.0, "left out": 0.0})
    assert (found.rated, found.points, found.mean) == (1, 2, 2.0)


def test_where_nothing_was_rated_there_is_no_mean():
    found = confidences({}, {"a": 1.0})
    assert (found.rated, found.points, found.mean, found.honest) == (0, 0, None, None)


@given(st.lists(st.tuples(st.sampled_from(STEPS), st.booleans()), min_size=1, max_size=30))
def test_steps_and_points_hang_together(given):
    earned = {f"t{number}": float(right) for number, (_, right) in enumerate(given)}
    found = confidences(answered(**{f"t{number}": step for number, (step, _) in enumerate(given)}), earned)
    assert found.rated == len(given)
    assert found.right == sum(right for _, right in given)
    assert -6 * len(given) <= found.points <= 3 * len(given)
    assert len(found.sure_and_wrong) == found.steps["sure"].rated - found.steps["sure"].right
