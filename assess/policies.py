"""Who may do what with an attempt and an assignment: the yes/no and the matching rows; a test compares the two.

Practice is private: nobody but the student reads it, no instructor and no director. A graded attempt is read by its
student, and by the cohort's tutors once it is settled.
"""

from datetime import datetime

from django.db.models import Exists, OuterRef, Q, QuerySet

from assess.log import State
from assess.models import AssignedCase, Assignment, Attempt, AttemptQuerySet, Feedback, Mode, RegradeBatch
from casebank.models import Case, Cohort, Membership, Programme, Role
from casebank.policies import Person, account_key, is_student, may_see_case, may_see_cohort, tutors, visible_cohorts


def may_start(user: Person, case: Case) -> bool:
    """Whether someone may start or take up an attempt of their own at a case."""
    return is_student(user) and case.retired_at is None and may_see_case(user, case)


def may_start_assigned(user: Person, assigned: AssignedCase) -> bool:
    """Whether someone may start or take up an assigned case: a student with a seat in the cohort it was set for."""
    return is_student(user) and _learns_in(user, assigned.assignment.cohort)


def assignments_for(user: Person) -> QuerySet[Assignment]:
    """What was set for a student, in every cohort in which they have a seat."""
    if not user.is_active:
        return Assignment.objects.none()
    return Assignment.objects.filter(cohort__in=_cohorts_learnt_in(user))


def held_back_by(user: Person, case: Case, now: datetime) -> Assignment | None:
    """The graded assignment that keeps a case from being worked elsewhere, if there is one.

    Whoever practised the case first would have read its reference. It is free again once the assignment has closed, or
    once the student's own graded attempt has been answered with feedback.
    """
    graded = assignments_for(user).filter(mode=Mode.GRADED, closes_at__gt=now, cases__edition__case=case)
    answered = Attempt.objects.filter(
        assigned__assignment=OuterRef("pk"), student_id=user.pk, assigned__edition__case=case, grades__isnull=False
    )
    return graded.exclude(Q(feedback=Feedback.AT_ONCE) & Exists(answered)).first()


def may_work(user: Person, attempt: Attempt) -> bool:
    """Whether someone may add to an attempt: its student, as long as they are one. Time is asked apart."""
    return attempt.student_id == user.pk and is_student(user)


def may_read(user: Person, attempt: Attempt) -> bool:
    """Whether someone may know that an attempt exists: its student, also after leaving the programme.

    A cohort's tutors read what was graded there, once it is settled.
    """
    if not user.is_active:
        return False
    if attempt.student_id == user.pk:
        return True
    assigned = attempt.assigned
    if assigned is None or not assigned.assignment.is_graded or not attempt.grades.exists():
        return False
    return tutors(user, assigned.assignment.cohort)


def may_mark_words(user: Person, attempt: Attempt) -> bool:
    """Whether someone may mark the reasons written in an attempt: whoever tutors the cohort and may read it."""
    return attempt.student_id != user.pk and may_read(user, attempt)


def readable_attempts(user: Person) -> AttemptQuerySet:
    if not user.is_active:
        return Attempt.objects.none()
    tutored = Cohort.objects.filter(seats__membership__user_id=user.pk, seats__membership__role=Role.INSTRUCTOR)
    graded = Attempt.objects.filter(
        assigned__assignment__mode=Mode.GRADED, assigned__assignment__cohort__in=tutored, grades__isnull=False
    )
    return Attempt.objects.filter(Q(student_id=user.pk) | Q(pk__in=graded.values("pk")))


def own_attempts(user: Person) -> AttemptQuerySet:
    return Attempt.objects.filter(student_id=user.pk) if user.is_active else Attempt.objects.none()


def may_see_results(user: Person, attempt: Attempt, state: State, *, now: datetime) -> bool:
    """Whether reference, score and working may leave the server: every stage committed, and self-graded.

    An assignment may keep them from its students until it has closed.
    """
    if not may_read(user, attempt) or not state.is_settled or state.open_stage is not None:
        return False
    return not is_kept_back(attempt, now) or attempt.student_id != user.pk


def is_kept_back(attempt: Attempt, now: datetime) -> bool:
    """Whether an assignment keeps the results of an attempt from its student for now."""
    if attempt.assigned is None:
        return False
    assignment = attempt.assigned.assignment
    return assignment.feedback == Feedback.AFTER_CLOSING and not assignment.has_closed(now)


def may_assign(user: Person, cohort: Cohort) -> bool:
    """Whether someone may set work for a cohort: its tutors and the programme's director."""
    return may_see_cohort(user, cohort)


def visible_assignments(user: Person) -> QuerySet[Assignment]:
    """What was set for the cohorts someone teaches or directs."""
    return Assignment.objects.filter(cohort__in=visible_cohorts(user).values("pk"))


def may_see_assignment(user: Person, assignment: Assignment) -> bool:
    return may_see_cohort(user, assignment.cohort)


def may_see_table(user: Person, assignment: Assignment, *, now: datetime) -> bool:
    """Whether the table of an assignment may be read.

    Practice only once it has closed: two looks at a growing table would tell one student's answers from the difference.
    """
    return may_see_assignment(user, assignment) and (assignment.is_graded or assignment.has_closed(now))


def regrading_programmes(user: Person, case: Case) -> QuerySet[Programme]:
    """The programmes whose attempts at a case someone may grade again.

    Those they direct, and those they teach in if they published an edition of the case: its key is theirs.
    """
    if not user.is_active:
        return Programme.objects.none()
    directs = Q(memberships__role=Role.DIRECTOR)
    if case.editions.filter(published_by=account_key(user)).exists():
        directs |= Q(memberships__role=Role.INSTRUCTOR)
    mine = Programme.objects.filter(directs, memberships__user_id=account_key(user))
    return Programme.objects.filter(pk__in=mine.values("pk"))


def may_regrade(user: Person, case: Case, programme: Programme) -> bool:
    """Whether someone may grade a programme's attempts at a case again, apply that and undo it."""
    return regrading_programmes(user, case).filter(pk=programme.pk).exists()


def visible_regrades(user: Person, case: Case) -> QuerySet[RegradeBatch]:
    return RegradeBatch.objects.filter(case=case, programme__in=regrading_programmes(user, case))


def _cohorts_learnt_in(user: Person) -> QuerySet[Cohort]:
    return Cohort.objects.filter(seats__membership__user_id=account_key(user), seats__membership__role=Role.STUDENT)


def _learns_in(user: Person, cohort: Cohort) -> bool:
    return Membership.objects.filter(user_id=account_key(user), role=Role.STUDENT, seats__cohort=cohort).exists()
