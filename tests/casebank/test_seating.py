"""Cohorts and rosters: a director fills seats from a sheet, twice with the effect of once, and never elsewhere."""

import pytest
from django.core.exceptions import PermissionDenied

from casebank import actions
from casebank.actions import Refused
from casebank.models import Cohort, Membership, Role, Seat, User
from casebank.rosters import RosterRefused
from tests.factories import CohortFactory, MembershipFactory, ProgrammeFactory, UserFactory, seated

ROSTER = b"account,cohort,role\nalder,landing-4,\nbirch,landing-4,student\ncedar,landing-4,instructor\n"


@pytest.fixture
def cohort(db):
    return CohortFactory()


def applied(cohort, by, content=ROSTER, *, remove_missing=False):
    return actions.apply_roster(programme=cohort.programme, content=content, remove_missing=remove_missing, by=by)


def seats(cohort):
    return {(seat.membership.user.username, seat.membership.role) for seat in cohort.seats.all()}


def test_a_roster_makes_accounts_memberships_and_seats(cohort, director):
    change = applied(cohort, director)
    assert change.new_accounts == ("alder", "birch", "cedar")
    assert seats(cohort) == {("alder", "student"), ("birch", "student"), ("cedar", "instructor")}
    assert not User.objects.get(username="alder").has_usable_password()


def test_a_dry_run_says_the_same_and_stores_nothing(cohort, director):
    planned = actions.plan_roster(programme=cohort.programme, content=ROSTER, remove_missing=False, by=director)
    assert not Seat.objects.exists()
    assert not User.objects.filter(username="alder").exists()
    assert applied(cohort, director) == planned


def test_the_same_roster_again_changes_nothing(cohort, director):
    applied(cohort, director)
    before = list(Seat.objects.values()), list(User.objects.values()), list(Membership.objects.values())
    assert applied(cohort, director).changes_nothing
    assert (list(Seat.objects.values()), list(User.objects.values()), list(Membership.objects.values())) == before


def test_who_is_not_listed_leaves_only_when_that_is_asked_and_keeps_the_membership(cohort, director):
    leaver = seated(cohort, Role.STUDENT, username="willow")
    applied(cohort, director)
    assert ("willow", "student") in seats(cohort)
    applied(cohort, director, remove_missing=True)
    assert ("willow", "student") not in seats(cohort)
    assert leaver.memberships.exists()


def test_a_seat_in_another_cohort_is_left_alone(cohort, director):
    other = CohortFactory(slug="landing-5", name="Landing, year 5")
    seated(other, Role.STUDENT, username="willow")
    applied(cohort, director, remove_missing=True)
    assert seats(other) == {("willow", "student")}


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"account,cohort\nalder,landing-9\n", "line 2: there is no cohort 'landing-9'"),
        (b"account,cohort\nalder,landing-4\nalder,landing-4\n", "line 3: repeats line 2"),
        (b"account,cohort\nalder,landing-4\n\xe9lan,landing-4\n", "UTF-8"),
        (b"account,cohort\n" + b"alder,landing-4\n" * 50_000, "5,?000"),
        (b"account,cohort\nperson-there,landing-4\n", "belongs to the programme as instructor"),
    ],
    ids=["unknown cohort", "twice", "encoding", "50,000 rows", "other role"],
)
def test_a_roster_with_a_problem_is_refused_and_stores_nothing(cohort, director, content, sentence):
    seated(cohort, Role.INSTRUCTOR, username="person-there")
    before = User.objects.count(), Seat.objects.count()
    with pytest.raises(RosterRefused, match=sentence):
        applied(cohort, director, content)
    assert (User.objects.count(), Seat.objects.count()) == before


@pytest.mark.parametrize("who", ["student", "instructor", "outsider"])
def test_only_a_director_changes_cohorts(cohort, request, who):
    somebody = request.getfixturevalue(who)
    with pytest.raises(PermissionDenied):
        applied(cohort, somebody)
    with pytest.raises(PermissionDenied):
        actions.plan_roster(programme=cohort.programme, content=ROSTER, remove_missing=False, by=somebody)
    with pytest.raises(PermissionDenied):
        actions.make_cohort(programme=cohort.programme, slug="landing-9", name="Landing, year 9", by=somebody)
    assert list(Cohort.objects.all()) == [cohort]


def test_a_director_of_another_programme_changes_nothing_here(cohort):
    stranger = MembershipFactory(programme=ProgrammeFactory(slug="elsewhere"), role=Role.DIRECTOR).user
    with pytest.raises(PermissionDenied):
        applied(cohort, stranger)


def test_a_cohorts_short_name_stands_once_in_a_programme(cohort, director):
    with pytest.raises(Refused, match="There is a cohort landing-4"):
        actions.make_cohort(programme=cohort.programme, slug="landing-4", name="Another", by=director)


def test_a_new_password_is_shown_once_and_stored_as_a_hash(cohort, director):
    membership = cohort.programme.memberships.get(user=seated(cohort, Role.STUDENT))
    password = actions.renew_password(membership=membership, by=director)
    membership.user.refresh_from_db()
    assert membership.user.check_password(password)
    assert password not in membership.user.password


def test_no_director_opens_an_account_that_has_a_part_elsewhere_or_above(cohort, director):
    twice = seated(cohort, Role.INSTRUCTOR)
    MembershipFactory(programme=ProgrammeFactory(slug="elsewhere"), user=twice, role=Role.DIRECTOR)
    staff = seated(cohort, Role.STUDENT, is_staff=True)
    colleague = MembershipFactory(programme=cohort.programme, user=UserFactory(), role=Role.DIRECTOR).user
    for account in (twice, staff, colleague):
        membership = cohort.programme.memberships.get(user=account)
        with pytest.raises(PermissionDenied):
            actions.renew_password(membership=membership, by=director)
