"""Who works on, reads and sees the results of an attempt: practice is private, tutors read what was graded."""

from datetime import timedelta

import pytest
from django.contrib.auth.models import AnonymousUser
from django.utils import timezone

from assess import actions, policies
from assess.grading.grade import GRADED_STAGES
from assess.log import Committed, SelfGraded, Stage, fold
from assess.models import Assignment, Attempt, Feedback, Mode
from casebank.models import Programme, Role
from tests.factories import (
    NOON,
    AssignedCaseFactory,
    AssignmentFactory,
    AttemptFactory,
    CohortFactory,
    EditionFactory,
    SeatFactory,
    member,
    seated,
)

PEOPLE = (
    *("student", "fellow", "instructor", "tutor", "other tutor", "director", "other director", "outsider"),
    *("left", "disabled", "nobody"),
)
AFTER = NOON + timedelta(days=9)  # an assignment of the factory has closed by then


@pytest.fixture
def cohort(db):
    return CohortFactory()


@pytest.fixture
def people(student, fellow, instructor, outsider, cohort):
    elsewhere = CohortFactory(slug="landing-5", name="Landing, year 5")
    left, disabled = member(Role.STUDENT), member(Role.STUDENT, is_active=False)
    people = {
        "student": student,
        "fellow": fellow,
        "instructor": instructor,
        "tutor": seated(cohort, Role.INSTRUCTOR),
        "other tutor": seated(elsewhere, Role.INSTRUCTOR),
        "director": member(Role.DIRECTOR),
        "other director": member(Role.DIRECTOR),
        "outsider": outsider,
        "left": left,
        "disabled": disabled,
        "nobody": AnonymousUser(),
    }
    people["other director"].memberships.update(programme=Programme.objects.create(name="Another", slug="another"))
    for who in ("student", "fellow", "left", "disabled"):
        SeatFactory(cohort=cohort, membership=people[who].memberships.get())
        AttemptFactory(student=people[who])
    left.memberships.all().delete()
    return people


@pytest.fixture
def work(cohort):
    """Assignments of the cohort and of another, each with one case, by what they are."""
    ways = {
        "graded": {},
        "kept back": {"feedback": Feedback.AFTER_CLOSING},
        "practice": {"mode": Mode.PRACTICE},
        "elsewhere": {"cohort": CohortFactory(slug="landing-5")},
    }
    return {
        name: AssignedCaseFactory(assignment=AssignmentFactory(**{"cohort": cohort, **fields}))
        for name, fields in ways.items()
    }


def answered(assigned, student, *, settled=True):
    attempt = AttemptFactory(student=student, edition=assigned.edition, assigned=assigned)
    if settled:
        for stage in GRADED_STAGES:
            actions.commit_stage(attempt=attempt, stage=Stage(stage), by=student, now=NOON)
        actions.self_grade(attempt=attempt, percents=dict.fromkeys(GRADED_STAGES, 50), by=student, now=NOON)
    return attempt


def own_practice(people, who):
    return people[who].attempts.get(assigned=None)


@pytest.mark.parametrize("who", PEOPLE)
def test_the_rows_of_a_list_are_those_the_yes_or_no_allows(people, work, who):
    for assigned in work.values():
        answered(assigned, people["student"])
        answered(assigned, people["fellow"], settled=False)
    allowed = {attempt for attempt in Attempt.objects.all() if policies.may_read(people[who], attempt)}
    assert set(policies.readable_attempts(people[who])) == allowed


@pytest.mark.parametrize("who", PEOPLE)
def test_an_attempt_is_read_by_its_student_alone(people, who):
    assert policies.may_read(people[who], own_practice(people, "student")) is (who == "student")


@pytest.mark.parametrize("who", PEOPLE)
def test_an_attempt_is_worked_on_by_its_student_alone(people, who):
    assert policies.may_work(people[who], own_practice(people, "student")) is (who == "student")


def test_whoever_left_reads_their_own_attempts_and_adds_nothing(people):
    assert policies.may_read(people["left"], own_practice(people, "left"))
    assert not policies.may_work(people["left"], own_practice(people, "left"))


def test_a_disabled_account_has_nothing(people):
    assert not policies.may_read(people["disabled"], own_practice(people, "disabled"))
    assert not policies.may_work(people["disabled"], own_practice(people, "disabled"))


def test_only_students_start_and_only_what_is_open(people):
    case = EditionFactory().case
    assert {who for who in PEOPLE if policies.may_start(people[who], case)} == {"student", "fellow"}


def test_results_are_seen_once_every_stage_is_committed_and_self_graded(people):
    attempt, case = own_practice(people, "student"), "leaning-abutment"
    events = [Committed(seq=number, case=case, stage=stage) for number, stage in enumerate(Stage, 1)]
    events[5:5] = [SelfGraded(seq=6, case=case, percents={Stage.LOOK: 50})]
    events[6] = Committed(seq=7, case=case, stage=Stage.COMPARE)
    for count in range(len(events)):
        assert not policies.may_see_results(people["student"], attempt, fold(events[:count], case=case), now=NOON)
    settled = fold(events, case=case)
    assert {who for who in PEOPLE if policies.may_see_results(people[who], attempt, settled, now=NOON)} == {"student"}


@pytest.mark.parametrize(
    ("name", "settled", "readers"),
    [
        ("graded", True, {"student", "tutor"}),
        ("graded", False, {"student"}),
        ("practice", True, {"student"}),
        ("elsewhere", True, {"student", "other tutor"}),
    ],
)
def test_a_tutor_reads_what_was_graded_in_their_cohort_and_nothing_else(people, work, name, settled, readers):
    attempt = answered(work[name], people["student"], settled=settled)
    assert {who for who in PEOPLE if policies.may_read(people[who], attempt)} == readers


def test_results_that_are_kept_back_are_the_tutors_at_once_and_the_students_after_closing(people, work):
    attempt = answered(work["kept back"], people["student"])
    state = attempt.state()
    for now, readers in ((NOON, {"tutor"}), (AFTER, {"student", "tutor"})):
        assert {who for who in PEOPLE if policies.may_see_results(people[who], attempt, state, now=now)} == readers
        assert policies.is_kept_back(attempt, now) is (now == NOON)


def test_practice_of_ones_own_and_feedback_at_once_keep_nothing_back(people, work):
    assert not policies.is_kept_back(own_practice(people, "student"), NOON)
    assert not policies.is_kept_back(answered(work["graded"], people["student"]), NOON)


@pytest.mark.parametrize("who", PEOPLE)
def test_what_is_set_for_a_student_is_what_they_may_start(people, work, who):
    startable = {one.assignment for one in work.values() if policies.may_start_assigned(people[who], one)}
    assert set(policies.assignments_for(people[who])) == startable
    expected = {work[name].assignment for name in ("graded", "kept back", "practice")}
    assert startable == (expected if who in ("student", "fellow") else set())


@pytest.mark.parametrize("who", PEOPLE)
def test_assignments_are_listed_to_whoever_may_see_them(people, work, who):
    allowed = {one for one in Assignment.objects.all() if policies.may_see_assignment(people[who], one)}
    assert set(policies.visible_assignments(people[who])) == allowed
    own, other = work["graded"].assignment, work["elsewhere"].assignment
    assert (own in allowed) is (who in ("tutor", "director"))
    assert (other in allowed) is (who in ("other tutor", "director"))


def test_work_is_set_by_tutors_and_the_director(people, cohort):
    assert {who for who in PEOPLE if policies.may_assign(people[who], cohort)} == {"tutor", "director"}


def test_a_table_of_practice_waits_for_the_closing(people, work):
    practice, graded = work["practice"].assignment, work["graded"].assignment
    for who in PEOPLE:
        reads = who in ("tutor", "director")
        assert policies.may_see_table(people[who], graded, now=NOON) is reads
        assert policies.may_see_table(people[who], practice, now=AFTER) is reads
        assert not policies.may_see_table(people[who], practice, now=NOON)


def test_graded_work_keeps_its_case_until_it_closes_or_was_answered_with_feedback(people, cohort):
    assigned = AssignedCaseFactory(assignment=AssignmentFactory(cohort=cohort))
    case, student = assigned.edition.case, people["student"]
    assert policies.held_back_by(student, case, NOON) == assigned.assignment
    assert policies.held_back_by(people["tutor"], case, NOON) is None
    assert policies.held_back_by(student, case, AFTER) is None
    answered(assigned, people["fellow"])
    assert policies.held_back_by(student, case, NOON) == assigned.assignment
    answered(assigned, student)
    assert policies.held_back_by(student, case, NOON) is None


def test_a_case_whose_results_are_kept_back_stays_held_until_the_closing(people, work):
    answered(work["graded"], people["student"])
    answered(work["kept back"], people["student"])
    case = work["kept back"].edition.case
    assert policies.held_back_by(people["student"], case, NOON) == work["kept back"].assignment
    assert policies.held_back_by(people["student"], case, AFTER) is None


def test_time_decides_whether_an_assigned_attempt_is_open(people, work):
    attempt = answered(work["graded"], people["student"], settled=False)
    assert attempt.is_open(NOON)
    assert not attempt.is_open(attempt.assigned.assignment.closes_at)
    assert own_practice(people, "student").is_open(timezone.now())
