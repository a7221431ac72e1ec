"""Self-grading: the student's own estimate first, then the grade, which equals the command's for the exported log."""

import json
from io import StringIO

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command

from assess import actions, policies
from assess.log import Stage
from assess.models import StoredGrade, attempt_log_record

ESTIMATE = {"look": 80, "weigh": 70, "open": 60, "shape": 50, "fill": 90}


@pytest.fixture
def estimate(attempt, student, noon):
    def estimate(percents=ESTIMATE, by=student):
        """The grade; where a written reason waits, it is marked as meeting every line."""
        doing = {"attempt": attempt, "by": by, "now": noon}
        stored = actions.self_grade(percents=percents, **doing)
        return stored or actions.mark_own(met={"reason": ("factor", "proof", "limit", "patient")}, **doing)

    return estimate


@pytest.fixture
def worked_through(attempt, student, noon):
    """Every stage committed without a single answer."""
    for stage in (Stage.LOOK, Stage.WEIGH, Stage.OPEN, Stage.SHAPE, Stage.FILL):
        actions.commit_stage(attempt=attempt, stage=stage, by=student, now=noon)


def test_the_stored_grade_equals_the_commands_for_the_exported_log(attempt, work, estimate, tmp_path):
    work()
    stored = estimate()
    case, log, said = tmp_path / "it.case.json", tmp_path / "it.json", StringIO()
    case.write_text(attempt.edition.content, encoding="utf-8")
    log.write_text(json.dumps(attempt_log_record(attempt)), encoding="utf-8")
    call_command("grade", str(case), log=log, stdout=said)
    stored.refresh_from_db()
    assert json.loads(said.getvalue()) == stored.result
    assert stored.percent == stored.result["percent"] >= 85
    assert stored.result["unsafe"] == []


def test_a_grade_names_everything_it_came_from(attempt, work, estimate, noon):
    work()
    stored = estimate()
    assert (stored.edition_sha256, stored.graded_at) == (attempt.edition.sha256, noon)
    assert (stored.rubric, stored.criteria, stored.grader) == ("treatment-path 3", "aae-2022", 5)
    assert stored.events == attempt.events.count()


def test_a_case_left_empty_is_graded_too(worked_through, estimate):
    assert estimate().percent == 0


def test_the_estimate_closes_the_case_and_opens_the_results(attempt, student, noon, work, estimate):
    work()
    assert not policies.may_see_results(student, attempt, attempt.state(), now=noon)
    estimate()
    state = attempt.state()
    assert state.open_stage is None
    assert state.self_grade == ESTIMATE
    assert policies.may_see_results(student, attempt, state, now=noon)


def test_a_repeat_returns_the_first_grade_and_the_first_estimate(worked_through, attempt, estimate):
    first = estimate()
    assert estimate({**ESTIMATE, "look": 1}) == first
    assert attempt.state().self_grade[Stage.LOOK] == 80
    assert StoredGrade.objects.count() == 1


def test_nothing_can_be_added_to_a_closed_case(worked_through, attempt, student, estimate, noon):
    estimate()
    with pytest.raises(actions.StageClosed, match="The whole case is committed"):
        actions.record(attempt=attempt, event="asked", fields={"finding": "l"}, by=student, now=noon)


def test_an_estimate_waits_for_the_whole_case(attempt, work, estimate):
    work(until=Stage.OPEN)
    with pytest.raises(actions.StageClosed, match="Compare opens when Shape is committed"):
        estimate()
    assert not StoredGrade.objects.exists()
    assert attempt.state().self_grade == {}


@pytest.mark.parametrize(
    "percents",
    [
        {},
        {"look": 80},
        ESTIMATE | {"compare": 50},
        ESTIMATE | {"look": 101},
        ESTIMATE | {"look": -1},
        ESTIMATE | {"look": 70.5},
        ESTIMATE | {"look": True},
        ESTIMATE | {"look": "70"},
    ],
)
def test_an_estimate_covers_each_stage_with_a_whole_percent(worked_through, estimate, percents):
    with pytest.raises(actions.Refused, match="Estimate each of the five stages"):
        estimate(percents)
    assert not StoredGrade.objects.exists()


@pytest.mark.parametrize("who", ["fellow", "instructor", "outsider"])
def test_nobody_else_can_estimate(request, attempt, estimate, who):
    with pytest.raises(PermissionDenied):
        estimate(by=request.getfixturevalue(who))
    assert not attempt.events.exists()
