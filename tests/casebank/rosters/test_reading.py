"""Rosters as they are sent in, and everything that can be wrong with a line of one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.rosters import Entry, RosterRefused, read_roster


def sheet(*lines, header="account,cohort,role"):
    return "\n".join([header, *lines, ""]).encode()


def problems(content):
    with pytest.raises(RosterRefused) as refused:
        read_roster(content)
    assert str(refused.value) == "\n".join(refused.value.problems)
    return refused.value.problems


def test_a_roster_is_read_line_by_line():
    roster = read_roster(sheet("alder,y3-a,student", "birch,y3-a,Instructor", " cedar , y3-b ,"))
    assert roster.entries == (
        Entry(2, "alder", "y3-a", "student"),
        Entry(3, "birch", "y3-a", "instructor"),
        Entry(4, "cedar", "y3-b", "student"),
    )


def test_without_a_column_for_it_everybody_is_a_student():
    assert read_roster(sheet("alder;y3", header="Account;Cohort")).entries == (Entry(2, "alder", "y3", "student"),)


def test_an_account_may_sit_in_two_cohorts():
    assert [entry.cohort for entry in read_roster(sheet("alder,y3,", "alder,y4,")).entries] == ["y3", "y4"]


@pytest.mark.parametrize("account", ["-a", "@a", "+a", "a.b@c-d_e+f", "0", "bjørk", "木", "x" * 60])
def test_what_an_account_may_be_called_is_read_as_it_is(account):
    assert read_roster(sheet(f"{account},y3,")).entries[0].account == account


def test_a_name_that_was_guarded_against_formulas_is_the_name_without_the_guard():
    assert read_roster(sheet("'-alder,y3,")).entries[0].account == "-alder"


def test_full_width_letters_and_ligatures_become_plain_ones():
    # NFKC: the forms of one letter for other widths are that letter, and a ligature is its letters
    assert read_roster(sheet("ａｌｄｅｒ１,y3,", "ﬁr,y3,")).entries == (
        Entry(2, "alder1", "y3", "student"),
        Entry(3, "fir", "y3", "student"),
    )


WRONG = {
    "no account": (",y3,", "line 2: no account name: fill it in"),
    "spaces for an account": ('"  ",y3,', "line 2: no account name"),
    "account too long": (f"{'x' * 61},y3,", "line 2: an account name of 61 characters: use at most 60"),
    "too long once normalised": (f"{'ﬁ' * 31},y3,", "line 2: an account name of 62 characters"),
    "space in an account": ("al der,y3,", "line 2: the account name 'al der' has other characters"),
    "line break in an account": ('"al\nder",y3,', "line 2: the account name 'al\\nder' has other characters"),
    "formula for an account": ("=1+1,y3,", "line 2: the account name '=1+1' has other characters"),
    "mark-up for an account": ("<b>,y3,", "line 2: the account name '<b>' has other characters"),
    "no cohort": ("alder,,", "line 2: no cohort: fill in its short name"),
    "space in a cohort": ("alder,y 3,", "line 2: 'y 3' is no cohort's short name"),
    "accent in a cohort": ("alder,année,", "line 2: 'année' is no cohort's short name"),
    "cohort too long": (f"alder,{'y' * 61},", "is no cohort's short name, which has at most 60"),
    "unknown role": ("alder,y3,tutor", "line 2: the role 'tutor' is not known: write student or instructor"),
    "director": ("alder,y3,Director", "line 2: a roster makes nobody a director"),
}


@pytest.mark.parametrize(("line", "sentence"), WRONG.values(), ids=WRONG)
def test_a_wrong_line_is_refused_with_its_number_and_what_to_do(line, sentence):
    (problem,) = problems(sheet(line))
    assert sentence in problem


def test_everything_that_is_wrong_is_said_at_once():
    said = problems(sheet(",,boss", "birch,y3,", "a b,y3,"))
    assert [problem.partition(":")[0] for problem in said] == ["line 2", "line 2", "line 2", "line 4"]


def test_a_repeated_line_is_refused_with_both_lines():
    assert problems(sheet("alder,y3,", "birch,y3,", "alder,y3,student")) == (
        "line 4: repeats line 2, 'alder' in 'y3': remove one of them",
    )


def test_names_that_are_one_after_normalisation_repeat_each_other():
    assert "line 3: repeats line 2" in problems(sheet("alder,y3,", "ａｌｄｅｒ,y3,"))[0]


@pytest.mark.parametrize("cohort", ["y3", "y4"])
def test_an_account_in_two_roles_is_refused_with_both_lines(cohort):
    assert problems(sheet("alder,y3,", f"alder,{cohort},instructor")) == (
        "line 3: 'alder' is a student in line 2 and an instructor here: give an account one role",
    )


def test_fifty_problems_are_named_and_the_others_counted():
    said = problems(sheet(*["alder,y3,"] * 61))
    assert len(said) == 51
    assert said[49] == "line 52: repeats line 2, 'alder' in 'y3': remove one of them"
    assert said[50] == "and 10 more"


def test_a_sheet_with_many_lines_of_the_wrong_length_keeps_the_count_of_the_others():
    assert problems(sheet(*["alder"] * 61))[-1] == "and 11 more"


def test_five_thousand_rows_are_read():
    assert len(read_roster(sheet(*[f"student{number},y3," for number in range(5_000)])).entries) == 5_000


@pytest.mark.parametrize("rows", [5_001, 50_000])
def test_more_rows_are_refused_with_what_to_do(rows):
    assert problems(sheet(*[f"student{number},y3," for number in range(rows)])) == (
        f"the sheet has {rows:,} rows and at most 5,000 are read: split the roster by cohort",
    )


def test_a_file_of_many_megabytes_is_refused_with_what_to_do():
    (problem,) = problems(b"account,cohort\n" + b"x" * 2_000_000)
    assert problem.endswith("at most 2,000,000 are read: split the roster by cohort")


@pytest.mark.parametrize("content", [b"account,cohort", b"account,cohort\n\n,\n"])
def test_a_roster_of_nobody_is_refused(content):
    assert problems(content) == ("the roster names nobody: add a line for each account",)


def test_a_sheet_in_another_encoding_is_refused_with_its_line():
    assert problems("account,cohort\nalder,y3\nbjörk,y3\n".encode("latin-1")) == (
        "line 3: not UTF-8 text: save the sheet as CSV UTF-8",
    )


cells = st.text(alphabet="ab ﬁ@='\"\n3", max_size=4)


@given(st.lists(st.tuples(cells, cells, st.sampled_from(["", "student", "instructor", "director", "x"])), max_size=8))
def test_a_roster_that_is_read_has_each_seat_once_and_each_account_in_one_role(rows):
    content = sheet(*[",".join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in row) for row in rows])
    try:
        entries, said = read_roster(content).entries, ["read"]
    except RosterRefused as refused:
        entries, said = (), refused.problems
    assert said
    assert all(said)
    assert len({(entry.account, entry.cohort) for entry in entries}) == len(entries)
    assert len({(entry.account, entry.role) for entry in entries}) == len({entry.account for entry in entries})
    assert all(entry.account and entry.cohort for entry in entries)
