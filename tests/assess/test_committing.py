"""Committing a stage: once, in order, by its student."""

import pytest
from django.core.exceptions import PermissionDenied

from assess import actions
from assess.log import Stage


@pytest.fixture
def commit(attempt, student, noon):
    return lambda stage: actions.commit_stage(attempt=attempt, stage=stage, by=student, now=noon)


def test_a_commit_is_final_and_a_repeat_changes_nothing(attempt, commit):
    first = commit(Stage.LOOK)
    assert commit(Stage.LOOK) == first
    commit(Stage.WEIGH)
    assert commit(Stage.LOOK) == first
    assert attempt.state().closed == (Stage.LOOK, Stage.WEIGH)


@pytest.mark.parametrize("stage", [Stage.WEIGH, Stage.SHAPE, Stage.FILL, Stage.COMPARE])
def test_a_later_stage_waits_for_the_earlier_one(attempt, commit, stage):
    with pytest.raises(actions.StageClosed, match=f"{stage.label} opens when Look is committed"):
        commit(stage)
    assert not attempt.events.exists()


def test_compare_is_not_committed_without_an_estimate(attempt, commit):
    for stage in (Stage.LOOK, Stage.WEIGH, Stage.OPEN, Stage.SHAPE, Stage.FILL):
        commit(stage)
    with pytest.raises(actions.StageClosed, match="your own estimate"):
        commit(Stage.COMPARE)
    assert attempt.state().open_stage is Stage.COMPARE


@pytest.mark.parametrize("who", ["fellow", "instructor", "outsider"])
def test_nobody_else_can_commit(request, attempt, noon, who):
    with pytest.raises(PermissionDenied):
        actions.commit_stage(attempt=attempt, stage=Stage.LOOK, by=request.getfixturevalue(who), now=noon)
    assert not attempt.events.exists()
