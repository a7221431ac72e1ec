"""Who may do what in the bank: the yes/no and, where lists are shown, the matching rows; a test compares the two."""

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q, QuerySet

from casebank.models import Case, CaseQuerySet, Cohort, Draft, Membership, Programme, Role, User

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


def may_import(user: Person) -> bool:
    return teaches(user)


def may_retire(user: Person) -> bool:
    return teaches(user)


def may_see_draft(user: Person, draft: Draft) -> bool:
    """Whoever teaches sees every draft: an author's case has a second reader."""
    return teaches(user)


def visible_drafts(user: Person) -> QuerySet[Draft]:
    return Draft.objects.all() if teaches(user) else Draft.objects.none()


def may_direct(user: Person, programme: Programme) -> bool:
    """Whether someone directs a programme: its cohorts and its roster are theirs to change."""
    return user.is_active and programme.memberships.filter(user_id=user.pk, role=Role.DIRECTOR).exists()


def directed_programmes(user: Person) -> QuerySet[Programme]:
    if not user.is_active:
        return Programme.objects.none()
    return Programme.objects.filter(memberships__user_id=user.pk, memberships__role=Role.DIRECTOR)


def may_state_licence(user: Person, programme: Programme) -> bool:
    """Whether someone may say what each year of a programme may plan: its director, as it is the school's rule."""
    return may_direct(user, programme)


def may_see_licence(user: Person, programme: Programme) -> bool:
    """Whether someone may read a programme's licence to treat: whoever belongs to it."""
    return own_programmes(user).filter(pk=programme.pk).exists()


def own_programmes(user: Person) -> QuerySet[Programme]:
    """The programmes someone belongs to, in whatever role."""
    if not user.is_active:
        return Programme.objects.none()
    return Programme.objects.filter(memberships__user_id=account_key(user))


def may_see_cohort(user: Person, cohort: Cohort) -> bool:
    """A cohort is seen by its programme's director and by the instructors who have a seat in it."""
    return may_direct(user, cohort.programme) or tutors(user, cohort)


def visible_cohorts(user: Person) -> QuerySet[Cohort]:
    if not user.is_active:
        return Cohort.objects.none()
    directed = Cohort.objects.filter(programme__in=directed_programmes(user)).values("pk")
    tutored = Cohort.objects.filter(seats__membership__user_id=user.pk, seats__membership__role=Role.INSTRUCTOR).values(
        "pk"
    )
    return Cohort.objects.filter(Q(pk__in=directed) | Q(pk__in=tutored)).select_related("programme")


def tutors(user: Person, cohort: Cohort) -> bool:
    """Whether someone is an instructor with a seat in a cohort."""
    seated = cohort.seats.filter(membership__user_id=account_key(user), membership__role=Role.INSTRUCTOR)
    return user.is_active and seated.exists()


def may_renew_password(user: Person, membership: Membership) -> bool:
    """A director may, for whoever learns or teaches in their programme and has no part in any other.

    An account with a role elsewhere, a director's or the administrator's is not theirs to open.
    """
    return renewable_memberships(user).filter(pk=membership.pk).exists()


def renewable_memberships(user: Person) -> QuerySet[Membership]:
    elsewhere = Membership.objects.filter(user=OuterRef("user")).exclude(programme=OuterRef("programme"))
    return Membership.objects.filter(
        ~Exists(elsewhere),
        programme__in=directed_programmes(user),
        role__in=(Role.STUDENT, Role.INSTRUCTOR),
        user__is_staff=False,
        user__is_superuser=False,
    )


def account_key(user: Person) -> int:
    """An account's key; 0, which no account has, for whoever has not signed in."""
    return user.pk or 0


def _has_a_role(user: Person, *roles: Role) -> bool:
    return user.is_active and Membership.objects.filter(user_id=user.pk, role__in=roles).exists()
