"""Robots that know nothing of the case in front of them show no skill, whichever half of the bank they were fitted on.

A half is two of the authored cases, each with its seeded variations; a robot is scored on cases it was not fitted on.
"""

import json
from functools import cache
from pathlib import Path
from statistics import mean

import pytest
from pydantic import TypeAdapter

from assess.grading import grade, grade_record
from assess.grading.skill import guesses_of
from assess.log import AnyEvent
from casebank.rubric import MAIN_AXIS, bundled, compare
from casebank.rubric.baseline import CANNOT_TELL, baseline_for
from casebank.rubric.skill import points
from fixtures.bank import bank, halves
from fixtures.baselines import fitted
from fixtures.guessers import always_moderate, at_random, cannot_tell, constant, fidgeting, log, longest_option

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
LOGS = Path(__file__).parents[3] / "fixtures" / "logs"
MOST_SKILL = 0.05
SEEDS = range(8)
BANK = bank()
CASES = sorted({member.case for member in BANK})
FITTED_ROBOTS = {
    "constant": constant,
    "always moderate": always_moderate,
    "longest option": longest_option,
    "cannot tell": cannot_tell,
}


@cache
def rows_from(cases):
    """Constant answers fitted on these authored cases and their variations."""
    fit_on = [member for member in BANK if member.case in cases]
    return fitted(bundled(fit_on[0].document.rubric), fit_on)


FIT_ON = tuple(tuple(sorted({member.case for member in fit})) for fit, _ in halves(BANK))


def authored(case):
    return next(member for member in BANK if member.case == case and member.variation == 0)


def graded(member, answers, **how):
    events = EVENTS.validate_json(json.dumps(log(member, answers, **how)))
    return grade(member.document, events)


def set_skill(member, answers, belongs):
    """Skill over those tasks of a case that belong to a set, compared without a log; None where it cannot be told."""
    guesses = guesses_of(member.document, member.reference, baseline_for(member.reference.rubric))
    rows = [
        (credit(member, task, answers), guesses[task.id], task.weight)
        for task in member.reference.tasks
        if belongs(task.id) and task.id in guesses and task.criterion.axis == MAIN_AXIS
    ]
    return points(rows).skill


def credit(member, task, answers):
    said = answers.get(task.id)
    if said is None or said == CANNOT_TELL:
        return 0.0
    return compare(task.criterion, said, member.reference.answers[task.id].value).credit


def test_no_robot_is_scored_on_what_it_was_fitted_on():
    parted = list(halves(BANK))
    assert len(parted) == 6  # two of four
    for fit, score in parted:
        assert not {member.case for member in fit} & {member.case for member in score}
        assert len(fit) + len(score) == len(BANK)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("robot", FITTED_ROBOTS)
def test_no_fitted_robot_has_skill_at_a_case_of_the_other_half(robot, case):
    member = authored(case)
    unseen = [rows_from(cases) for cases in FIT_ON if case not in cases]
    found = [graded(member, FITTED_ROBOTS[robot](rows)(member)).skill.points.skill for rows in unseen]
    assert len(found) == 3
    assert max(found) <= MOST_SKILL


@pytest.mark.parametrize("case", CASES)
def test_no_random_robot_has_skill(case):
    member = authored(case)
    found = [graded(member, at_random(seed)(member)).skill.points.skill for seed in SEEDS]
    assert max(found) <= MOST_SKILL


@pytest.mark.parametrize("case", CASES)
def test_moves_at_random_add_no_skill(case):
    member = authored(case)
    rows = next(rows_from(cases) for cases in FIT_ON if case not in cases)
    found = [graded(member, constant(rows)(member), moves=fidgeting(member, seed)).skill.points.skill for seed in SEEDS]
    assert max(found) <= MOST_SKILL


def test_no_robot_has_skill_over_the_whole_of_the_other_half():
    for fit, score in halves(BANK):
        rows = rows_from(tuple(sorted({member.case for member in fit})))
        for robot in (constant, always_moderate, longest_option):
            skills = [set_skill(member, robot(rows)(member), lambda _: True) for member in score]
            assert mean(skills) <= MOST_SKILL


@pytest.mark.parametrize("case", CASES)
def test_the_factor_levels_of_a_case_are_a_set_in_which_no_robot_has_skill(case):
    member = authored(case)
    for cases in FIT_ON:
        if case in cases:
            continue
        for robot in (constant, always_moderate):
            skill = set_skill(
                member, robot(rows_from(cases))(member), lambda task: task.startswith("difficulty-levels.")
            )
            assert skill is None or skill <= MOST_SKILL


@pytest.mark.parametrize("case", CASES)
def test_being_always_sure_changes_nothing_but_the_confidence(case):
    member = authored(case)
    rows = next(rows_from(cases) for cases in FIT_ON if case not in cases)
    silent, sure = (
        grade_record(graded(member, constant(rows)(member), confidence=confidence)) for confidence in (None, "sure")
    )
    assert silent["confidence"]["rated"] == 0
    assert sure["confidence"]["rated"] > 20
    assert {**silent, "confidence": None} == {**sure, "confidence": None}
    assert sure["skill"]["skill"] <= MOST_SKILL


@pytest.mark.parametrize("case", CASES)
def test_a_sound_attempt_has_full_skill_and_a_weak_one_none(case):
    skill = {}
    for quality in ("sound", "weak"):
        record = json.loads((LOGS / f"{case}.{quality}.json").read_text(encoding="utf-8"))
        result = grade(authored(case).document, EVENTS.validate_json(json.dumps(record["events"])))
        skill[quality] = result.skill.points.skill
    assert skill["sound"] > 0.9
    assert skill["weak"] < 0
