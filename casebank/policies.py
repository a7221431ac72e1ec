"""Who may do what in the bank: the yes/no and, where lists are shown, the matching rows; a test compares the two."""

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied

from casebank.models import Case, CaseQuerySet, Membership, Role, User

Person = User | AnonymousUser


def require(allowed: bool, otherwise: str) -> None:
    """Raise PermissionDenied with that sentence unless allowed."""
    if not allowed:
        raise PermissionDenied(otherwise)


def is_student(user: Person) -> bool:
    return _has_a_role(user, Role.STUDENT)


def is_instructor(user: Person) -> bool:
    return _has_a_role(user, Role.INSTRUCTOR)


def is_director(user: Person) -> bool:
    return _has_a_role(user, Role.DIRECTOR)


def teaches(user: Person) -> bool:
    """Whether someone is an instructor or a director of any programme."""
    return _has_a_role(user, Role.INSTRUCTOR, Role.DIRECTOR)


def may_see_case(user: Person, case: Case) -> bool:
    """Students see the cases that are open to work; whoever teaches sees every case."""
    if teaches(user):
        return True
    return is_student(user) and case.retired_at is None and case.editions.exists()


def visible_cases(user: Person) -> CaseQuerySet:
    if teaches(user):
        return Case.objects.all()
    return Case.objects.open_to_work() if is_student(user) else Case.objects.none()


def may_publish(user: Person) -> bool:
    return teaches(user)


def _has_a_role(user: Person, *roles: Role) -> bool:
    return user.is_active and Membership.objects.filter(user_id=user.pk, role__in=roles).exists()
