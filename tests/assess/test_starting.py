"""Starting an attempt: one unfinished attempt a student and edition, for students of an open case."""

import pytest
from django.core.exceptions import PermissionDenied

from assess import actions
from assess.log import Stage
from assess.models import Attempt
from casebank.models import Role
from tests.factories import CaseFactory, EditionFactory, ProgrammeFactory, member

ESTIMATE = {"look": 80, "weigh": 70, "open": 60, "shape": 50, "fill": 90}


@pytest.fixture
def case(db):
    return EditionFactory().case


def start(case, by, now):
    return actions.start_attempt(case=case, by=by, now=now)


def test_a_start_is_taken_up_again_on_any_device(case, student, noon):
    first = start(case, student, noon)
    assert start(case, student, noon) == first
    assert first.state().open_stage is Stage.LOOK
    assert (first.student, first.started_at) == (student, noon)


def test_every_student_has_an_attempt_of_their_own(case, student, fellow, noon):
    assert start(case, student, noon).public_id != start(case, fellow, noon).public_id


def test_a_new_edition_is_started_anew(case, student, noon):
    first = start(case, student, noon)
    second = EditionFactory(case=case, number=2, sha256="0" * 64)
    assert start(case, student, noon).edition == second
    assert first.edition != second


def test_a_finished_case_can_be_worked_again(attempt, student, noon):
    for stage in (Stage.LOOK, Stage.WEIGH, Stage.OPEN, Stage.SHAPE, Stage.FILL):
        actions.commit_stage(attempt=attempt, stage=stage, by=student, now=noon)
    actions.self_grade(attempt=attempt, percents=ESTIMATE, by=student, now=noon)
    again = start(attempt.edition.case, student, noon)
    assert again != attempt
    assert start(again.edition.case, student, noon) == again


@pytest.mark.parametrize("who", ["outsider", "instructor"])
def test_whoever_is_no_student_cannot_start(request, case, noon, who):
    with pytest.raises(PermissionDenied, match="Only a student can start"):
        start(case, request.getfixturevalue(who), noon)
    assert not Attempt.objects.exists()


@pytest.mark.parametrize("retired", [True, False])
def test_a_case_that_is_not_open_cannot_be_started(student, noon, retired):
    case = CaseFactory(slug="closed-molar", retired_at=noon if retired else None)
    if retired:
        EditionFactory(case=case)
    with pytest.raises(PermissionDenied, match="only while it is open"):
        start(case, student, noon)


def test_one_who_studies_and_teaches_finds_an_unpublished_case_without_edition(student, noon):
    from_elsewhere = CaseFactory(slug="unpublished-molar")
    student.memberships.create(programme=ProgrammeFactory(slug="invented-school-5"), role=Role.INSTRUCTOR)
    with pytest.raises(actions.Refused, match="no edition yet"):
        start(from_elsewhere, student, noon)


def test_a_disabled_account_cannot_start(case, noon):
    with pytest.raises(PermissionDenied):
        start(case, member(Role.STUDENT, is_active=False), noon)
