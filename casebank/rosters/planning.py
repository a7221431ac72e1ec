"""What a roster would change, worked out before anything is changed."""

from collections.abc import Mapping
from dataclasses import dataclass

from casebank.rosters.reading import Entry, Roster
from casebank.sheets import first_of


@dataclass(frozen=True)
class Leaving:
    """A seat that is to be given up."""

    account: str
    cohort: str


@dataclass(frozen=True)
class Plan:
    """What would change. With a problem nothing does: everything else is empty then.

    Attributes
    ----------
    new_accounts : tuple of str
        Accounts to be made, in the order of the roster; each joins at least one cohort.
    joining, staying : tuple of Entry
        Lines whose account has no seat in the cohort yet, and those that are as the roster wants them. Whoever joins
        and has no role in the programme gets the entry's.
    leaving : tuple of Leaving
        Seats to be given up, by cohort and account.
    problems : tuple of str
        A sentence for each thing to correct, the first 50.
    """

    new_accounts: tuple[str, ...] = ()
    joining: tuple[Entry, ...] = ()
    staying: tuple[Entry, ...] = ()
    leaving: tuple[Leaving, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def changes_nothing(self) -> bool:
        """Whether carrying it out would leave all as it is."""
        return not (self.new_accounts or self.joining or self.leaving)


def plan(
    roster: Roster, *, cohorts: Mapping[str, frozenset[str]], accounts: Mapping[str, str], remove_missing: bool
) -> Plan:
    """What must change so that a programme's cohorts are as a roster says; carried out, a second plan is empty.

    Parameters
    ----------
    roster : Roster
        As read.
    cohorts : mapping of frozenset of str
        The accounts seated in each cohort of the programme, by the cohort's short name.
    accounts : mapping of str
        The role in the programme of each known account, empty if it has none; at least of all that the roster names
        and all that are seated.
    remove_missing : bool
        Whether who is not on the roster gives up their seat. It is asked for each cohort and role the roster names: a
        sheet with the students of one year leaves other years alone, and that year's instructors too. Directors are
        never touched.

    Examples
    --------
    >>> roster = Roster((Entry(2, "alder", "y3", "student"), Entry(3, "birch", "y3", "student")))
    >>> known = {"birch": "student", "cedar": "student"}
    >>> change = plan(roster, cohorts={"y3": frozenset(known)}, accounts=known, remove_missing=True)
    >>> change.new_accounts, [entry.account for entry in change.staying], change.leaving
    (('alder',), ['birch'], (Leaving(account='cedar', cohort='y3'),))
    """
    problems = [said for entry in roster.entries for said in _problems(entry, cohorts, accounts)]
    if problems:
        return Plan(problems=first_of(problems))
    return Plan(
        new_accounts=tuple(dict.fromkeys(entry.account for entry in roster.entries if entry.account not in accounts)),
        joining=tuple(entry for entry in roster.entries if entry.account not in cohorts[entry.cohort]),
        staying=tuple(entry for entry in roster.entries if entry.account in cohorts[entry.cohort]),
        leaving=_missing(roster, cohorts, accounts) if remove_missing else (),
    )


def _problems(entry: Entry, cohorts: Mapping[str, frozenset[str]], accounts: Mapping[str, str]) -> list[str]:
    problems = []
    if entry.cohort not in cohorts:
        there = f"use one of {', '.join(sorted(cohorts))}" if cohorts else "make one first"
        problems.append(f"line {entry.line}: there is no cohort {entry.cohort!r} in this programme: {there}")
    role = accounts.get(entry.account, "")
    if role not in ("", entry.role):
        problems.append(
            f"line {entry.line}: {entry.account!r} is here as {entry.role} but belongs to the programme as {role}: "
            "correct the line or leave it out; a roster changes no role"
        )
    return problems


def _missing(roster: Roster, cohorts: Mapping[str, frozenset[str]], accounts: Mapping[str, str]) -> tuple[Leaving, ...]:
    named = {(entry.account, entry.cohort) for entry in roster.entries}
    spoken_of = {(entry.cohort, entry.role) for entry in roster.entries}  # a director's role is in no entry
    return tuple(
        Leaving(account, cohort)
        for cohort in sorted({entry.cohort for entry in roster.entries})
        for account in sorted(cohorts[cohort])
        if (account, cohort) not in named and (cohort, accounts.get(account)) in spoken_of
    )
