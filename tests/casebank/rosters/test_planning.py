"""What a roster would change, and that a second look finds nothing left to change."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rosters import Entry, Leaving, Plan, Roster, plan

SEATED = {"y3": frozenset({"alder", "birch", "tutor", "head"}), "y4": frozenset({"cedar"})}
KNOWN = {"alder": "student", "birch": "student", "cedar": "student", "tutor": "instructor", "head": "director"}


def roster(*lines):
    return Roster(tuple(Entry(number, *line) for number, line in enumerate(lines, start=2)))


def planned(*lines, cohorts=SEATED, accounts=KNOWN, remove_missing=False):
    return plan(roster(*lines), cohorts=cohorts, accounts=accounts, remove_missing=remove_missing)


def test_who_is_new_joins_and_who_is_seated_stays():
    found = planned(("alder", "y3", "student"), ("dogwood", "y3", "student"), ("cedar", "y3", "student"))
    assert found == Plan(
        new_accounts=("dogwood",),
        joining=(Entry(3, "dogwood", "y3", "student"), Entry(4, "cedar", "y3", "student")),
        staying=(Entry(2, "alder", "y3", "student"),),
    )


def test_a_new_account_in_two_cohorts_is_made_once():
    found = planned(("dogwood", "y3", "student"), ("dogwood", "y4", "student"))
    assert found.new_accounts == ("dogwood",)
    assert [entry.cohort for entry in found.joining] == ["y3", "y4"]


def test_an_account_known_elsewhere_joins_and_is_not_made():
    found = planned(("elm", "y3", "student"), accounts=KNOWN | {"elm": ""})
    assert found.new_accounts == ()
    assert found.joining == (Entry(2, "elm", "y3", "student"),)


def test_nobody_leaves_unless_that_is_wanted():
    assert planned(("alder", "y3", "student")).leaving == ()
    assert planned(("alder", "y3", "student")).changes_nothing


def test_who_is_missing_leaves_if_wanted():
    found = planned(("alder", "y3", "student"), remove_missing=True)
    assert found.leaving == (Leaving("birch", "y3"),)
    assert not found.changes_nothing


def test_a_sheet_of_one_year_leaves_other_years_alone():
    assert Leaving("cedar", "y4") not in planned(("alder", "y3", "student"), remove_missing=True).leaving


def test_a_sheet_of_students_leaves_instructors_alone_and_the_other_way_round():
    assert planned(("alder", "y3", "student"), ("birch", "y3", "student"), remove_missing=True).leaving == ()
    assert planned(("fir", "y3", "instructor"), remove_missing=True).leaving == (Leaving("tutor", "y3"),)


def test_a_director_is_never_touched():
    everyone = [("alder", "y3", "student"), ("fir", "y3", "instructor")]
    assert planned(*everyone, remove_missing=True).leaving == (Leaving("birch", "y3"), Leaving("tutor", "y3"))
    for role in ("student", "instructor"):
        assert planned(("head", "y3", role)).problems == (
            f"line 2: 'head' is here as {role} but belongs to the programme as director: "
            "correct the line or leave it out; a roster changes no role",
        )


def test_an_account_in_another_role_is_refused_with_its_line():
    (problem,) = planned(("cedar", "y3", "student"), ("tutor", "y3", "student")).problems
    assert problem.startswith("line 3: 'tutor' is here as student but belongs to the programme as instructor")


def test_an_unknown_cohort_is_refused_with_those_there_are():
    assert planned(("alder", "y5", "student")).problems == (
        "line 2: there is no cohort 'y5' in this programme: use one of y3, y4",
    )
    assert planned(("alder", "y5", "student"), cohorts={}).problems == (
        "line 2: there is no cohort 'y5' in this programme: make one first",
    )


def test_with_a_problem_nothing_is_changed():
    found = planned(("dogwood", "y3", "student"), ("alder", "y5", "student"), remove_missing=True)
    assert found == Plan(problems=found.problems)
    assert found.changes_nothing


def test_fifty_problems_are_named_and_the_others_counted():
    found = planned(*[(f"student{number}", "y5", "student") for number in range(60)])
    assert len(found.problems) == 51
    assert found.problems[50] == "and 10 more"


@dataclass(frozen=True)
class World:
    """Cohorts with their seats, and the role in the programme of every account there is."""

    cohorts: dict
    accounts: dict

    def plan(self, wanted, *, remove_missing):
        return plan(wanted, cohorts=self.cohorts, accounts=self.accounts, remove_missing=remove_missing)

    def after(self, change):
        """Carried out as an application would: accounts, then roles and seats, then seats given up."""
        accounts = self.accounts | dict.fromkeys(change.new_accounts, "")
        seats = {(account, slug) for slug, seated in self.cohorts.items() for account in seated}
        for entry in change.joining:
            accounts[entry.account] = accounts[entry.account] or entry.role
            seats.add((entry.account, entry.cohort))
        seats -= {(seat.account, seat.cohort) for seat in change.leaving}
        cohorts = {slug: frozenset(account for account, here in seats if here == slug) for slug in self.cohorts}
        return World(cohorts, accounts)


NAMES = st.sampled_from([f"tree{number}" for number in range(8)])
SLUGS = st.sampled_from(["y3", "y4", "y5"])


@st.composite
def worlds(draw):
    accounts = draw(st.dictionaries(NAMES, st.sampled_from(["", "student", "instructor", "director"])))
    members = sorted(account for account, role in accounts.items() if role)
    seated = st.frozensets(st.sampled_from(members)) if members else st.just(frozenset())
    return World(draw(st.dictionaries(SLUGS, seated, min_size=1)), accounts)


@st.composite
def rosters_for(draw, world):
    """Lines that fit the world, so that most plans can be carried out, and now and then one that does not."""
    slugs = (
        st.sampled_from(sorted(world.cohorts)) | SLUGS
        if draw(st.booleans())
        else st.sampled_from(sorted(world.cohorts))
    )
    seats = draw(st.lists(st.tuples(NAMES, slugs), min_size=1, max_size=10, unique=True))
    roles = draw(st.dictionaries(NAMES, st.sampled_from(["student", "instructor"])))
    known = {account: role for account, role in world.accounts.items() if role in {"student", "instructor"}}
    role_of = roles | known if draw(st.booleans()) else known | roles
    return roster(*[(account, slug, role_of.get(account, "student")) for account, slug in seats])


worlds_and_rosters = worlds().flatmap(lambda world: st.tuples(st.just(world), rosters_for(world)))


@given(worlds_and_rosters, st.booleans())
def test_carried_out_it_leaves_nothing_to_change(pair, remove_missing):
    world, wanted = pair
    after = world.after(world.plan(wanted, remove_missing=remove_missing))
    again = after.plan(wanted, remove_missing=remove_missing)
    assert again.changes_nothing
    assert again.problems or again.staying == wanted.entries
    assert after.after(again) == after


@given(worlds_and_rosters, st.booleans())
def test_directors_other_cohorts_and_roles_are_as_before(pair, remove_missing):
    world, wanted = pair
    after = world.after(world.plan(wanted, remove_missing=remove_missing))
    assert all(after.accounts[account] == role for account, role in world.accounts.items() if role)
    directors = {account for account, role in world.accounts.items() if role == "director"}
    named = {entry.cohort for entry in wanted.entries}
    for slug, seated in world.cohorts.items():
        assert after.cohorts[slug] & directors == seated & directors
        assert slug in named or after.cohorts[slug] == seated


@given(worlds_and_rosters)
def test_with_removal_a_cohort_holds_whom_the_roster_names_of_each_role_it_names(pair):
    world, wanted = pair
    change = world.plan(wanted, remove_missing=True)
    after = world.after(change)
    for slug, role in {(entry.cohort, entry.role) for entry in wanted.entries} if not change.problems else ():
        listed = {entry.account for entry in wanted.entries if (entry.cohort, entry.role) == (slug, role)}
        assert {account for account in after.cohorts[slug] if after.accounts[account] == role} == listed


@given(worlds_and_rosters)
def test_without_removal_nobody_leaves_and_everybody_named_is_seated(pair):
    world, wanted = pair
    change = world.plan(wanted, remove_missing=False)
    after = world.after(change)
    assert all(seated <= after.cohorts[slug] for slug, seated in world.cohorts.items())
    assert change.problems or all(entry.account in after.cohorts[entry.cohort] for entry in wanted.entries)


@pytest.mark.parametrize("order", [slice(None), slice(None, None, -1)], ids=["as they stand", "turned round"])
def test_the_order_of_cohorts_and_seats_changes_nothing_of_who_leaves(order):
    cohorts = {slug: frozenset(list(SEATED[slug])[order]) for slug in list(SEATED)[order]}
    found = planned(("fir", "y4", "student"), ("elm", "y3", "student"), cohorts=cohorts, remove_missing=True)
    assert found.leaving == (Leaving("alder", "y3"), Leaving("birch", "y3"), Leaving("cedar", "y4"))
