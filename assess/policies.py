"""Who may do what with an attempt: the yes/no and the matching rows; a test compares the two.

Every attempt is practice, and practice is private: nobody but the student reads it, no instructor and no director.
"""

from assess.log import State
from assess.models import Attempt, AttemptQuerySet
from casebank.models import Case
from casebank.policies import Person, is_student, may_see_case


def may_start(user: Person, case: Case) -> bool:
    """Whether someone may start or take up an attempt at a case."""
    return is_student(user) and case.retired_at is None and may_see_case(user, case)


def may_work(user: Person, attempt: Attempt) -> bool:
    """Whether someone may add to an attempt: its student, as long as they are one."""
    return attempt.student_id == user.pk and is_student(user)


def may_read(user: Person, attempt: Attempt) -> bool:
    """Whether someone may know that an attempt exists: its student, also after leaving the programme."""
    return user.is_active and attempt.student_id == user.pk


def readable_attempts(user: Person) -> AttemptQuerySet:
    return Attempt.objects.filter(student_id=user.pk) if user.is_active else Attempt.objects.none()


def may_see_results(user: Person, attempt: Attempt, state: State) -> bool:
    """Whether reference, score and working may leave the server: every stage committed, and self-graded."""
    return may_read(user, attempt) and state.is_settled and state.open_stage is None
