"""Cohorts and their seats: made by the programme's director, and filled from a roster after a dry run."""

from django.db import transaction

from casebank import policies
from casebank.actions.refusals import Refused
from casebank.models import Cohort, Membership, Programme, Seat, User
from casebank.rosters import Plan, Roster, RosterRefused, plan, read_roster
from casebank.rubric.licence import YEARS

DIRECTORS_ONLY = "Only the programme's director can change its cohorts."


def make_cohort(*, programme: Programme, slug: str, name: str, by: User, year: int | None = None) -> Cohort:
    """A new cohort without seats. `year` is its students' year of study, where they are all of one."""
    policies.require(policies.may_direct(by, programme), DIRECTORS_ONLY)
    with transaction.atomic():
        if year is not None and year not in YEARS:
            raise Refused(f"A year of study lies between {YEARS[0]} and {YEARS[-1]}: choose one, or leave it open.")
        cohort, made = Cohort.objects.get_or_create(
            programme=programme, slug=slug, defaults={"name": name.strip(), "year": year}
        )
        if not made:
            raise Refused(f"There is a cohort {slug} in this programme already: choose another short name.")
        return cohort


def plan_roster(*, programme: Programme, content: bytes, remove_missing: bool, by: User) -> Plan:
    """What a roster would change now; nothing is stored. RosterRefused holds every problem in words."""
    policies.require(policies.may_direct(by, programme), DIRECTORS_ONLY)
    return _plan(programme, read_roster(content), remove_missing)


def apply_roster(*, programme: Programme, content: bytes, remove_missing: bool, by: User) -> Plan:
    """Fill the cohorts from a roster and return what changed; a second time nothing does.

    New accounts have no password: nobody can sign in to one before it is given one. RosterRefused, and nothing stored,
    if the roster has a problem.
    """
    policies.require(policies.may_direct(by, programme), DIRECTORS_ONLY)
    roster = read_roster(content)
    with transaction.atomic():
        programme = Programme.objects.select_for_update().get(pk=programme.pk)  # two rosters wait for each other here
        change = _plan(programme, roster, remove_missing)
        _make_accounts(change)
        _seat(programme, change)
        for leaving in change.leaving:
            Seat.objects.filter(
                cohort__programme=programme, cohort__slug=leaving.cohort, membership__user__username=leaving.account
            ).delete()
        return change


def _plan(programme: Programme, roster: Roster, remove_missing: bool) -> Plan:
    seated: dict[str, set[str]] = {slug: set() for slug in programme.cohorts.values_list("slug", flat=True)}
    seats = Seat.objects.filter(cohort__programme=programme)
    for slug, account in seats.values_list("cohort__slug", "membership__user__username"):
        seated[slug].add(account)
    named = {entry.account for entry in roster.entries}.union(*seated.values())
    accounts: dict[str, str] = dict.fromkeys(
        User.objects.filter(username__in=named).values_list("username", flat=True), ""
    )
    accounts |= dict(programme.memberships.values_list("user__username", "role"))
    change = plan(
        roster,
        cohorts={slug: frozenset(names) for slug, names in seated.items()},
        accounts=accounts,
        remove_missing=remove_missing,
    )
    if change.problems:
        raise RosterRefused(change.problems)
    return change


def _make_accounts(change: Plan) -> None:
    for account in change.new_accounts:
        User.objects.create_user(account)


def _seat(programme: Programme, change: Plan) -> None:
    names = {entry.account for entry in change.joining}
    users = {user.username: user for user in User.objects.filter(username__in=names)}
    cohorts = {cohort.slug: cohort for cohort in programme.cohorts.all()}
    members = {member.user_id: member for member in programme.memberships.filter(user__in=users.values())}
    for entry in change.joining:
        user = users[entry.account]
        if user.pk not in members:
            members[user.pk] = Membership.objects.create(programme=programme, user=user, role=entry.role)
        Seat.objects.create(cohort=cohorts[entry.cohort], membership=members[user.pk])
