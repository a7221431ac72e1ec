"""Treat or refer within a licence: the more cautious of it and the key is the reference, and the why says so."""

import json
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from assess.grading import grade, grade_record
from assess.grading.licence import ruling
from assess.log import AnyEvent, Chose, Stage
from casebank.casefile import derive, parse_document
from casebank.rubric import LIMITS, ChoiceReference, Licence
from fixtures.changes import numbered
from tests.factories import FIXTURES

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
THIRD = {"year": 3, "low": "supervised", "moderate": "refer", "high": "refer"}
FIFTH = {"year": 5, "low": "treat", "moderate": "treat", "high": "refer"}
LOW, MODERATE, HIGH = "grey-incisor", "bread-biter", "leaning-abutment"  # keyed treat, supervised, refer


@cache
def record_of(case):
    return json.loads((FIXTURES / "cases" / f"{case}.case.json").read_text(encoding="utf-8"))


@cache
def document(case, keyed=None):
    """A case, or the same with another key to the decision."""
    record = record_of(case)
    if keyed is not None:
        choices = record["choices"] | {"decision": {"best": [keyed], "because": "Keyed anew."}}
        record = record | {"choices": choices}
    return parse_document(json.dumps(record).encode(), name="try.case.json")


@cache
def answers_of(case):
    """A sound log without the bench, which only slows this down."""
    log = json.loads((FIXTURES / "logs" / f"{case}.sound.json").read_text(encoding="utf-8"))["events"]
    return numbered([event for event in log if event["event"] != "moved"])


def planned(case, plan, licence, keyed=None):
    """The grade of a sound log that plans this, and its entry for the decision."""
    events = [
        event | {"values": [plan], "licence": licence} if event.get("task") == "decision" else event
        for event in answers_of(case)
    ]
    result = grade(document(case, keyed), EVENTS.validate_json(json.dumps(events)))
    return result, next(one for one in result.criteria if one.id == "decision")


def beyond(result):
    return [step for step in result.unsafe if step.rule == "beyond-licence"]


# ---------------------------------------------------------------- worked by hand, with the rubric's shares


@pytest.mark.parametrize(
    ("case", "plan", "licence", "credit"),
    [
        # The key treat, the licence supervised: the table of "supervised" counts.
        (LOW, "supervised", THIRD, 1.0),
        (LOW, "treat", THIRD, 0.25),
        (LOW, "refer", THIRD, 0.5),
        # The key supervised, the licence refer: the table of "refer" counts.
        (MODERATE, "refer", THIRD, 1.0),
        (MODERATE, "supervised", THIRD, 0.4),
        (MODERATE, "treat", THIRD, 0.0),
        # The licence lets more than the author keys: the key counts as without a licence.
        (MODERATE, "supervised", FIFTH, 1.0),
        (MODERATE, "treat", FIFTH, 0.25),
        (MODERATE, "supervised", None, 1.0),
        (MODERATE, "refer", None, 0.5),
        (HIGH, "refer", FIFTH, 1.0),
    ],
)
def test_the_more_cautious_of_key_and_licence_is_the_reference(case, plan, licence, credit):
    result, decision = planned(case, plan, licence)
    assert decision.credit == pytest.approx(credit)
    assert result.axes["decision"] == pytest.approx(100 * credit)


def test_where_the_licence_decides_the_why_and_the_key_type_say_so():
    result, decision = planned(MODERATE, "supervised", THIRD)
    assert decision.reference == "Refer to a specialist or a specialist trainee"
    assert decision.key_type == "school rule"
    assert decision.leaning == -1  # less cautious than the reference
    assert "The school's rule for year 3: a case judged moderate, as this one is, is referred." in decision.why
    assert "'Treat, with a supervisor at the chair throughout', is less cautious" in decision.why
    kept = next(one for one in grade_record(result)["criteria"] if one["id"] == "decision")
    assert kept["key_type"] == "school rule"


def test_where_the_authors_key_decides_the_why_says_that_too():
    _, decision = planned(MODERATE, "supervised", FIFTH)
    assert decision.key_type == "panel judgement"
    assert "year 5: a case judged moderate, as this one is, may be treated with the usual check" in decision.why
    assert decision.why.endswith("The author's key is no less cautious, so it stays the reference.")


def test_without_a_licence_nothing_is_said_of_one():
    _, decision = planned(MODERATE, "treat", None)
    assert "school" not in decision.why
    assert decision.key_type == "panel judgement"


def test_a_key_that_no_treatment_is_needed_stays():
    _, decision = planned(LOW, "no-root-treatment", THIRD, keyed="no-root-treatment")
    assert (decision.credit, decision.key_type) == (1.0, "panel judgement")
    assert "school" not in decision.why


# ---------------------------------------------------------------- unsafe


def test_treatment_alone_where_the_licence_refers_is_an_unsafe_step_of_its_own():
    result, _ = planned(MODERATE, "treat", THIRD)
    (step,) = beyond(result)
    assert step.basis == "the school's rule: what it lets each year plan"
    assert step.stage == "weigh"
    assert "year 3: a case judged moderate, as this one is, is referred." in step.why


@pytest.mark.parametrize(
    ("case", "plan", "licence"),
    [
        (MODERATE, "supervised", THIRD),  # somebody is at the chair
        (LOW, "treat", THIRD),  # a supervisor was to be at the chair, and checks at least
        (MODERATE, "treat", FIFTH),
        (MODERATE, "treat", None),
    ],
)
def test_any_other_plan_beyond_the_licence_costs_credit_alone(case, plan, licence):
    assert beyond(planned(case, plan, licence)[0]) == []


def test_one_act_is_told_once_where_the_author_calls_it_unsafe_already():
    result, _ = planned(HIGH, "treat", THIRD)
    assert [step.rule for step in result.unsafe if step.stage == "weigh"] == ["decision"]


# ---------------------------------------------------------------- whatever key and licence


@cache
def reference_of(case):
    return derive(document(case))


def task_of(reference):
    return next(task for task in reference.tasks if task.id == "decision")


def answered(licence):
    return Chose(seq=1, case=MODERATE, stage=Stage.WEIGH, task="decision", values=("treat",), licence=licence)


limits = st.lists(st.sampled_from(LIMITS), min_size=3, max_size=3).map(lambda them: sorted(them, key=LIMITS.index))
keys = st.sets(st.sampled_from([*LIMITS, "no-root-treatment"]), min_size=1)


@given(limits, keys, st.sampled_from([(1, 2), (2, 2), (1, 3), (2, 3), (3, 3)]))
def test_what_results_is_never_less_cautious_than_key_or_licence(three, best, level_of):
    level, count = level_of
    licence = Licence(year=2, low=three[0], moderate=three[1], high=three[2])
    reference = reference_of(MODERATE)
    overall = replace(reference.judgement.overall, level=level)
    criteria = reference.criteria.__class__(**{**vars(reference.criteria), "levels": ("word",) * count})
    judged = replace(reference, judgement=replace(reference.judgement, overall=overall), criteria=criteria)
    keyed = ChoiceReference(frozenset(best))
    ruled = ruling(task_of(judged), keyed, judged, answered(licence))
    plans = {LIMITS.index(option) for option in ruled.reference.best & set(LIMITS)}
    keyed_plans = {LIMITS.index(option) for option in best & set(LIMITS)}
    if keyed_plans:
        at_most = LIMITS.index(licence.at(level, of=count))
        assert min(plans) == max(min(keyed_plans), at_most)
        assert max(plans) == max(*keyed_plans, at_most)
    else:
        assert ruled.reference == keyed
    assert ("no-root-treatment" in ruled.reference.best) == ("no-root-treatment" in best)
    assert ruled.decides == (ruled.reference.best != keyed.best)


@given(limits)
def test_no_other_task_is_ruled_by_a_licence(three):
    licence = Licence(year=2, low=three[0], moderate=three[1], high=three[2])
    reference = reference_of(MODERATE)
    for task in reference.tasks:
        if task.id != "decision":
            keyed = reference.answers[task.id].value
            ruled = ruling(task, keyed, reference, answered(licence))
            assert (ruled.reference, ruled.why, ruled.decides) == (keyed, "", False)
