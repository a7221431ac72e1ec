"""Who may work on, read and see the results of an attempt; practice is private, so nobody but its student."""

import pytest
from django.contrib.auth.models import AnonymousUser

from assess import policies
from assess.log import Committed, SelfGraded, Stage, fold
from assess.models import Attempt
from casebank.models import Role
from tests.factories import AttemptFactory, EditionFactory, member

PEOPLE = ("student", "fellow", "instructor", "director", "outsider", "left", "disabled", "nobody")


@pytest.fixture
def people(student, fellow, instructor, outsider):
    left, disabled = member(Role.STUDENT), member(Role.STUDENT, is_active=False)
    people = {
        "student": student,
        "fellow": fellow,
        "instructor": instructor,
        "director": member(Role.DIRECTOR),
        "outsider": outsider,
        "left": left,
        "disabled": disabled,
        "nobody": AnonymousUser(),
    }
    for who in ("student", "fellow", "left", "disabled"):
        AttemptFactory(student=people[who])
    left.memberships.all().delete()
    return people


def owned(people, who):
    return people[who].attempts.get()


@pytest.mark.parametrize("who", PEOPLE)
def test_the_rows_of_a_list_are_those_the_yes_or_no_allows(people, who):
    allowed = {attempt for attempt in Attempt.objects.all() if policies.may_read(people[who], attempt)}
    assert set(policies.readable_attempts(people[who])) == allowed


@pytest.mark.parametrize("who", PEOPLE)
def test_an_attempt_is_read_by_its_student_alone(people, who):
    assert policies.may_read(people[who], owned(people, "student")) is (who == "student")


@pytest.mark.parametrize("who", PEOPLE)
def test_an_attempt_is_worked_on_by_its_student_alone(people, who):
    assert policies.may_work(people[who], owned(people, "student")) is (who == "student")


def test_whoever_left_reads_their_own_attempts_and_adds_nothing(people):
    assert policies.may_read(people["left"], owned(people, "left"))
    assert not policies.may_work(people["left"], owned(people, "left"))


def test_a_disabled_account_has_nothing(people):
    assert not policies.may_read(people["disabled"], owned(people, "disabled"))
    assert not policies.may_work(people["disabled"], owned(people, "disabled"))


def test_only_students_start_and_only_what_is_open(people):
    case = EditionFactory().case
    assert {who for who in PEOPLE if policies.may_start(people[who], case)} == {"student", "fellow"}


def test_results_are_seen_once_every_stage_is_committed_and_self_graded(people):
    attempt, case = owned(people, "student"), "leaning-abutment"
    events = [Committed(seq=number, case=case, stage=stage) for number, stage in enumerate(Stage, 1)]
    events[5:5] = [SelfGraded(seq=6, case=case, percents={Stage.LOOK: 50})]
    events[6] = Committed(seq=7, case=case, stage=Stage.COMPARE)
    for count in range(len(events)):
        assert not policies.may_see_results(people["student"], attempt, fold(events[:count], case=case))
    settled = fold(events, case=case)
    assert {who for who in PEOPLE if policies.may_see_results(people[who], attempt, settled)} == {"student"}
