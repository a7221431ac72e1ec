"""Robots' attempts can be graded in every case, follow one seed, and show what each robot was made to believe."""

import json
import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from pydantic import TypeAdapter

from assess.grading import grade
from assess.grading.fits import require_fit
from assess.log import AnyEvent
from assess.log.fold import State, step
from casebank.anatomy import Narrowing, Section
from casebank.casefile import derive, read_document
from casebank.instruments import Bench, EngineFile, Irrigate
from fixtures.careless import careless_log
from fixtures.faults import early_engine_file
from fixtures.robots import Misconception, Student, answer_log, sound_student, students
from fixtures.students import STAGES

FIXTURES = Path(__file__).parents[2] / "fixtures"
CASES = sorted(path.name.removesuffix(".case.json") for path in (FIXTURES / "cases").glob("*.case.json"))
EVENTS = TypeAdapter(tuple[AnyEvent, ...])
SEED = 18
MOLAR = "leaning-abutment"


@cache
def document(case):
    return read_document(FIXTURES / "cases" / f"{case}.case.json")


@cache
def sound_log(case):
    return json.loads((FIXTURES / "logs" / f"{case}.sound.json").read_text(encoding="utf-8"))["events"]


@cache
def answers_of(case):
    """A sound log without the bench: much quicker to grade, where only answers matter."""
    kept = [event for event in sound_log(case) if event["event"] != "moved"]
    return [event | {"seq": number} for number, event in enumerate(kept, 1)]


def typed(events):
    return EVENTS.validate_json(json.dumps(events))


def graded(case, events):
    return grade(document(case), typed(events))


def pupil(*beliefs, number=1, theta=0.5, year=4):
    """A student of even ability, with these misconceptions held to the full."""
    held = tuple(Misconception(name, 1.0) for name in beliefs)
    return Student(f"pupil{number}", year, (f"landing-{year}",), dict.fromkeys(STAGES, theta), held)


@cache
def results_of(case, log_of, beliefs, count):
    """Grades of pupils who share beliefs and ability."""
    pupils = [pupil(*beliefs, number=number) for number in range(count)]
    return [graded(case, answer_log(document(case), log_of(case), one, SEED)) for one in pupils]


def mean_credit(case, log_of, criterion, beliefs, count):
    """Mean credit of a criterion's tasks over such pupils."""
    return np.mean(
        [
            one.credit
            for result in results_of(case, log_of, beliefs, count)
            for one in result.criteria
            if one.id.partition(".")[0] == criterion
        ]
    )


def answer_to(events, task):
    return next((event for event in events if event.get("task") == task), None)


# ---------------------------------------------------------------- every attempt can be one


@pytest.mark.parametrize("student", students(12, seed=9), ids=lambda student: student.username)
@pytest.mark.parametrize("case", CASES)
def test_every_attempt_is_accepted_event_by_event_and_graded(case, student):
    events = typed(answer_log(document(case), sound_log(case), student, SEED))
    state = State()
    for event in events:
        require_fit(document(case), state, event)
        state = step(state, event, case=case)
    assert state.is_settled
    assert grade(document(case), events).percent > 0


@pytest.mark.parametrize("belief", [f"m{number:02d}" for number in range(1, 13)])
@pytest.mark.parametrize("case", CASES)
def test_a_belief_held_to_the_full_leaves_a_log_that_can_be_graded(case, belief):
    result = graded(case, answer_log(document(case), sound_log(case), pupil(belief, theta=3.0), SEED))
    assert 0 < result.percent < 100.1


# ---------------------------------------------------------------- one seed


@pytest.mark.parametrize("case", CASES)
def test_an_attempt_follows_from_seed_student_and_case_alone(case):
    cohort = students(24, SEED)
    logs = {one.username: answer_log(document(case), sound_log(case), one, SEED) for one in random.sample(cohort, 6)}
    for student in cohort:
        if student.username in logs:
            assert answer_log(document(case), sound_log(case), student, SEED) == logs[student.username]


def test_another_seed_another_student_or_another_case_gives_another_attempt():
    one, other = students(24, SEED)[:2]
    logs = [answer_log(document(MOLAR), sound_log(MOLAR), *rest) for rest in ((one, 1), (one, 2), (other, 1))]
    assert logs[0] != logs[1]
    assert logs[0] != logs[2]


@pytest.mark.parametrize("case", CASES)
def test_a_robot_leaves_the_sound_log_as_it_was(case):
    before = json.dumps(sound_log(case))
    for student in students(6, SEED):
        answer_log(document(case), sound_log(case), student, SEED)
    assert json.dumps(sound_log(case)) == before


# ---------------------------------------------------------------- sound and careless


@pytest.mark.parametrize("case", CASES)
def test_the_sound_robot_earns_85_percent_without_an_unsafe_step(case):
    results = [
        graded(case, answer_log(document(case), sound_log(case), sound_student(f"sound{number}"), SEED))
        for number in range(4)
    ]
    assert np.mean([result.percent for result in results]) >= 85
    assert [result.unsafe for result in results] == [()] * 4


@pytest.mark.parametrize("case", CASES)
def test_the_careless_robot_stays_far_below(case):
    results = [graded(case, careless_log(document(case), sound_log(case), seed)) for seed in range(6)]
    assert np.mean([result.percent for result in results]) < 40


@pytest.mark.parametrize("case", CASES)
def test_an_abler_student_earns_more(case):
    def mean(theta):
        cohort = [pupil(number=number, theta=theta) for number in range(20)]
        return np.mean(
            [graded(case, answer_log(document(case), answers_of(case), one, SEED)).percent for one in cohort]
        )

    assert mean(-1.5) + 10 < mean(0.0) + 5 < mean(1.5)


# ---------------------------------------------------------------- misconceptions


@pytest.mark.parametrize(
    ("belief", "criterion", "least"),
    [
        ("m01", "canal-count", 0.5),
        ("m02", "curvature", 0.4),
        ("m03", "apex-mark", 0.2),
        ("m04", "proof", 0.3),
        ("m05", "proof", 0.3),
        ("m06", "proof", 0.2),
        ("m07", "axis", 0.5),
        ("m11", "working-length", 0.2),
        ("m12", "difficulty-levels", 0.2),
        ("m12", "overall", 0.3),
    ],
)
def test_a_belief_costs_its_own_answers_against_students_of_the_same_ability(belief, criterion, least):
    plain = mean_credit(MOLAR, answers_of, criterion, (), 25)
    believing = mean_credit(MOLAR, answers_of, criterion, (belief,), 25)
    assert plain - believing >= least


@pytest.mark.parametrize(
    ("belief", "criterion", "least"),
    [
        ("m01", "cone-fit", 0.2),
        ("m03", "length-read", 0.5),
        ("m08", "path-before-engine", 0.7),
        ("m08", "recapitulation", 0.5),
        ("m09", "gauge", 0.4),
        ("m11", "length-kept", 0.2),
    ],
)
def test_a_belief_costs_its_own_work_at_the_bench(belief, criterion, least):
    plain = mean_credit(MOLAR, sound_log, criterion, (), 6)
    believing = mean_credit(MOLAR, sound_log, criterion, (belief,), 6)
    assert plain - believing >= least


@pytest.mark.parametrize(
    ("belief", "rule"),
    [("m07", "axis"), ("m08", "engine-before-path"), ("m10", "needle-bound"), ("m11", "large-through-foramen")],
)
def test_a_belief_that_endangers_shows_as_its_unsafe_step(belief, rule):
    result = graded(MOLAR, answer_log(document(MOLAR), sound_log(MOLAR), pupil(belief, theta=3.0), SEED))
    assert rule in {step.rule for step in result.unsafe}


def test_the_bend_is_read_too_flat_and_with_conviction_by_whoever_believes_the_film():
    said = [
        answer_to(answer_log(document(MOLAR), answers_of(MOLAR), pupil("m02", number=n), SEED), "curvature")
        for n in range(20)
    ]
    true_deg = answer_to(answers_of(MOLAR), "curvature")["value"]
    assert all(reading["value"] < 0.8 * true_deg for reading in said)
    assert {reading["confidence"] for reading in said} == {"sure"}


def test_lengths_run_past_the_foramen_for_whoever_goes_to_the_very_tip():
    for number in range(10):
        events = answer_log(document(MOLAR), answers_of(MOLAR), pupil("m11", number=number), SEED)
        for canal in document(MOLAR).anatomy.tooth.canals:
            assert answer_to(events, f"working-length.{canal.name}")["value"] > canal.total_mm


def test_whoever_trusts_the_first_film_takes_no_other_and_reads_on_none():
    events = answer_log(document(MOLAR), sound_log(MOLAR), pupil("m01", theta=3.0), SEED)
    given = len(document(MOLAR).films)
    assert [event for event in events if event["event"] == "film"] == []
    assert all(event["film"] <= given for event in events if "film" in event)


def test_whoever_keeps_to_the_middle_expects_about_70_of_every_stage():
    events = answer_log(document(MOLAR), answers_of(MOLAR), pupil("m12"), SEED)
    percents = next(event["percents"] for event in events if event["event"] == "self-graded")
    assert all(65 <= percent <= 75 for percent in percents.values())


def test_an_engine_file_that_goes_first_enters_even_above_a_tight_neck():
    tooth = document(MOLAR).anatomy.tooth
    tight = replace(
        tooth.canal("MB"), orifice=Section(0.25, 0.4), narrowings=(Narrowing(at_mm=0.8, narrow_mm=0.09, spread_mm=2.0),)
    )
    tooth = replace(tooth, canals=(tight, *tooth.canals[1:]))
    move = early_engine_file(tooth, "MB")
    bench, _ = Bench.of(tooth).make("MB", Irrigate())
    _, made = bench.make("MB", EngineFile(move["size"], move["taper"], move["to_mm"]))
    assert made.reach.at_length
    assert made.events == ()
    assert 0.25 < made.reach.tip_mm < 0.8  # past what passes for the path, and short of the neck


# ---------------------------------------------------------------- planted in the class


@cache
def class_logs(case, count=600):
    return [(one, answer_log(document(case), answers_of(case), one, SEED)) for one in students(count, SEED)]


def said_level(events, task):
    event = answer_to(events, task)
    return event["level"] if event else None


@pytest.mark.parametrize("case", sorted({"bread-biter", "map-engraver"}.intersection(CASES)))
def test_38_of_100_find_the_hidden_second_canal(case):
    count = len(document(case).anatomy.tooth.canals)
    hits = [answer_to(events, "canal-count")["value"] == count for _, events in class_logs(case)]
    assert np.mean(hits) == pytest.approx(0.38, abs=0.05)


def test_55_of_100_call_a_case_moderate_that_is_high_by_three_moderate_factors():
    # Planted by the case's slug; any case that is high stands in for it, as only the level said is looked at.
    planted = document(MOLAR).model_copy(update={"slug": "map-engraver"})
    logs = [answer_log(planted, answers_of(MOLAR), one, SEED) for one in students(600, SEED)]
    assert np.mean([said_level(events, "overall") == 2 for events in logs]) == pytest.approx(0.55, abs=0.05)


def test_the_class_drifts_to_the_middle():
    # 61 % said moderate where 37.5 % is right: 23.5 of the 62.5 points that are not moderate, so 37.6 % of them.
    keyed = {task: answer.value.level for task, answer in derive(document(MOLAR)).answers.items() if "levels." in task}
    drifted = [
        said_level(events, task) == 2 for _, events in class_logs(MOLAR) for task, level in keyed.items() if level != 2
    ]
    assert np.mean(drifted) == pytest.approx(0.376, abs=0.05)


@pytest.mark.parametrize(
    ("case", "year", "option", "share"),
    [("grey-incisor", 3, "refer", 0.24), ("leaning-abutment", 5, "treat", 0.11)],
)
def test_the_third_year_sends_on_too_much_and_the_fifth_too_little(case, year, option, share):
    said = [answer_to(events, "decision")["values"] for one, events in class_logs(case) if one.year == year]
    assert np.mean([values == [option] for values in said]) == pytest.approx(share, abs=0.07)


def test_weak_students_are_overconfident_and_strong_ones_hardly():
    midpoints = {"unsure": 0.55, "fairly sure": 0.73, "sure": 0.90}
    able, gaps = [], []
    for student in students(60, SEED):
        felt, earned = [], []
        for case in CASES:
            events = answer_log(document(case), answers_of(case), student, SEED)
            credit = {one.id: one.credit for one in graded(case, events).criteria}
            told = [event for event in events if event.get("confidence")]
            felt += [midpoints[event["confidence"]] for event in told]
            earned += [credit[event["task"]] for event in told]
        able.append(sum(student.ability(stage) for stage in STAGES) / len(STAGES))
        gaps.append(np.mean(felt) - np.mean(earned))
    thirds = [np.mean(np.array(gaps)[part]) for part in np.array_split(np.argsort(able), 3)]
    assert np.mean(gaps) == pytest.approx(0.11, abs=0.05)
    assert thirds[0] == pytest.approx(0.21, abs=0.06)
    assert thirds[2] == pytest.approx(0.05, abs=0.06)
    assert np.polyfit(able, gaps, 1)[0] == pytest.approx(-0.07, abs=0.03)
