"""The invented students: their seats, abilities and misconceptions follow the school's recipe and one seed."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixtures.recipe import difficulty_for
from fixtures.students import STAGES, students

SHARES = {  # share of students with a misconception as their first or second one: the school's own table
    "m01": 0.22,
    "m02": 0.18,
    "m03": 0.09,
    "m04": 0.11,
    "m05": 0.16,
    "m06": 0.08,
    "m07": 0.17,
    "m08": 0.13,
    "m09": 0.15,
    "m10": 0.07,
    "m11": 0.12,
    "m12": 0.20,
}


def held(cohort):
    """Share of a cohort that holds each misconception."""
    counts = Counter(belief.id for student in cohort for belief in student.misconceptions)
    return {name: counts[name] / len(cohort) for name in SHARES}


def test_a_seed_gives_the_same_cohort_and_another_seed_another():
    assert students(24, seed=5) == students(24, seed=5)
    assert students(24, seed=5) != students(24, seed=6)


def test_shares_of_misconceptions_in_a_large_cohort_follow_the_table():
    assert held(students(2000, seed=1)) == pytest.approx(SHARES, abs=0.03)


def test_shares_hold_in_the_short_demo_to_the_nearest_student():
    assert held(students(24, seed=1)) == pytest.approx(SHARES, abs=0.5 / 24 + 1e-9)


def test_abilities_in_two_stages_correlate_as_the_recipe_says():
    thetas = np.array([[student.thetas[stage] for stage in STAGES] for student in students(2000, seed=2)])
    between = np.corrcoef(thetas.T)[np.triu_indices(len(STAGES), k=1)]
    assert between == pytest.approx(np.full(10, 0.6), abs=0.05)
    assert thetas.mean(axis=0) == pytest.approx(np.zeros(5), abs=0.1)
    assert thetas.std(axis=0) == pytest.approx(np.ones(5), abs=0.1)


def test_a_year_lifts_every_ability_by_half_a_deviation():
    for student in students(30, seed=3):
        for stage in STAGES:
            assert student.ability(stage) - student.thetas[stage] == pytest.approx((student.year - 3) / 2)


def test_strengths_lie_where_the_school_puts_them_and_nobody_believes_a_thing_twice():
    for student in students(500, seed=4):
        main, *second = student.misconceptions
        assert 0.5 <= main.strength <= 0.9
        assert all(0.3 <= belief.strength <= 0.6 for belief in second)
        assert len(second) <= 1
        assert main.id not in {belief.id for belief in second}


def test_the_short_demo_seats_24():
    cohort = students(24, seed=1)
    assert [cohort[0].username, cohort[-1].username] == ["student01", "student24"]
    assert Counter(student.cohort for student in cohort) == {"landing-4": 10, "landing-5": 10, "landing-x": 4}
    resit = [student for student in cohort if "landing-r" in student.cohorts]
    assert [student.cohort for student in resit] == ["landing-5"] * 5


def test_the_full_demo_seats_120():
    cohort = students(120, seed=1)
    assert [cohort[0].username, cohort[-1].username] == ["student001", "student120"]
    assert Counter(student.cohort for student in cohort) == {"landing-3": 40, "landing-4": 40, "landing-5": 40}
    assert Counter(slug for student in cohort for slug in student.cohorts[1:]) == {"landing-r": 5, "landing-x": 4}
    assert {student.cohort for student in cohort if "landing-r" in student.cohorts} == {"landing-5"}
    assert {student.cohort for student in cohort if "landing-x" in student.cohorts} == {"landing-4"}
    assert all(student.cohort == f"landing-{student.year}" for student in cohort)


@given(count=st.integers(1, 60), seed=st.integers(0, 10**6))
def test_any_number_can_be_seated(count, seed):
    cohort = students(count, seed)
    assert len({student.username for student in cohort}) == count
    assert all(1 <= len(student.misconceptions) <= 2 for student in cohort)
    assert all(
        len({belief.id for belief in student.misconceptions}) == len(student.misconceptions) for student in cohort
    )


def test_an_empty_cohort_is_refused():
    with pytest.raises(ValueError, match="ask for at least one student"):
        students(0, seed=1)


def test_half_hit_a_task_as_difficult_as_the_year_is_able():
    # By symmetry: with abilities normal round 0.5, as many lie above a difficulty of 0.5 as below.
    assert difficulty_for(0.5, 4) == pytest.approx(0.5, abs=1e-6)
    assert difficulty_for(0.5) == pytest.approx(0.5, abs=1e-6)


def test_a_share_that_nobody_can_have_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        difficulty_for(1.0)
