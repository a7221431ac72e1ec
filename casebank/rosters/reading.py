"""A roster from the bytes of a sheet; everything that is wrong with it is said at once."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casebank.sheets import Limits, Row, SheetRefused, first_of, read_rows

Role = Literal["student", "instructor"]

LIMITS = Limits(bytes=2_000_000, rows=5_000, advice="split the roster by cohort")
LONGEST_ACCOUNT = 60  # as accounts are stored
LONGEST_COHORT = 60
ACCOUNT = re.compile(r"[\w.@+-]+")  # what Django's own rule for account names allows
COHORT = re.compile(r"[-a-zA-Z0-9_]+")


@dataclass(frozen=True)
class Entry:
    """One line of a roster."""

    line: int
    account: str
    cohort: str
    role: Role


@dataclass(frozen=True)
class Roster:
    """Entries in the order of the sheet: no account twice in one cohort, and each account in one role."""

    entries: tuple[Entry, ...]


class RosterRefused(ValueError):
    """A roster that cannot be used: `problems` holds a sentence for each thing to correct."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


def read_roster(content: bytes) -> Roster:
    """The roster in a sheet with the columns account, cohort and, if wanted, role.

    An account name is brought to its compatibility form (NFKC), as accounts are stored. The role is student or
    instructor, and student where it is left out.

    Parameters
    ----------
    content : bytes
        The sheet, see `casebank.sheets.read_rows`; at most 5,000 rows.

    Raises
    ------
    RosterRefused
        With every problem of every line, the first 50 in words. If the sheet itself cannot be read, with that alone.

    Examples
    --------
    >>> read_roster(b"account,cohort\\nalder,y3\\n").entries
    (Entry(line=2, account='alder', cohort='y3', role='student'),)
    """
    try:
        rows = read_rows(content, required=["account", "cohort"], optional=["role"], limits=LIMITS)
    except SheetRefused as trouble:
        raise RosterRefused(trouble.problems) from trouble
    if not rows:
        raise RosterRefused(["the roster names nobody: add a line for each account"])
    entries: list[Entry] = []
    problems: list[str] = []
    seats: dict[tuple[str, str], int] = {}
    roles: dict[str, Entry] = {}
    for row in rows:
        entry = _entry(row, problems)
        if entry is None:
            continue
        first = roles.setdefault(entry.account, entry)
        earlier = seats.setdefault((entry.account, entry.cohort), entry.line)
        if first.role != entry.role:
            problems.append(
                f"line {entry.line}: {entry.account!r} is {_a(first.role)} in line {first.line} and "
                f"{_a(entry.role)} here: give an account one role"
            )
        elif earlier != entry.line:
            problems.append(
                f"line {entry.line}: repeats line {earlier}, {entry.account!r} in {entry.cohort!r}: remove one of them"
            )
        entries.append(entry)
    if problems:
        raise RosterRefused(first_of(problems))
    return Roster(tuple(entries))


def _entry(row: Row, problems: list[str]) -> Entry | None:
    """The entry of one row, or None after its problems were noted."""
    account = unicodedata.normalize("NFKC", row.cells["account"].strip())
    cohort = row.cells["cohort"].strip()
    role = row.cells["role"].strip().casefold() or "student"
    noted = [
        f"line {row.line}: {said}"
        for said in (_wrong_with_account(account), _wrong_with_cohort(cohort), _wrong_with_role(role))
        if said
    ]
    problems += noted
    if noted:
        return None
    return Entry(row.line, account, cohort, "instructor" if role == "instructor" else "student")


def _wrong_with_account(account: str) -> str:
    if not account:
        return "no account name: fill it in"
    if len(account) > LONGEST_ACCOUNT:
        return f"an account name of {len(account)} characters: use at most {LONGEST_ACCOUNT}"
    if not ACCOUNT.fullmatch(account):
        return f"the account name {account!r} has other characters than letters, digits and @ . + - _: leave them out"
    return ""


def _wrong_with_cohort(cohort: str) -> str:
    if not cohort:
        return "no cohort: fill in its short name"
    if len(cohort) > LONGEST_COHORT or not COHORT.fullmatch(cohort):
        return (
            f"{cohort[:LONGEST_COHORT]!r} is no cohort's short name, which has at most {LONGEST_COHORT} plain letters, "
            "digits, - and _: correct it"
        )
    return ""


def _wrong_with_role(role: str) -> str:
    if role in ("student", "instructor"):
        return ""
    if role == "director":
        return "a roster makes nobody a director: leave the line out, an administrator does that"
    return f"the role {role[:LONGEST_ACCOUNT]!r} is not known: write student or instructor, or leave it empty"


def _a(role: Role) -> str:
    return "an instructor" if role == "instructor" else "a student"
