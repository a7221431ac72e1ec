"""Rows from sheets as spreadsheets save them, and the sentence for each that cannot be read."""

import codecs
import csv

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.sheets import Limits, SheetRefused, first_of, read_rows

LARGE = Limits(bytes=1_000_000, rows=1_000)


def read(content, *, required=("account", "cohort"), optional=("role",), limits=LARGE):
    content = content if isinstance(content, bytes) else content.encode()
    return read_rows(content, required=required, optional=optional, limits=limits)


def refusals(content, **others):
    with pytest.raises(SheetRefused) as refused:
        read(content, **others)
    assert str(refused.value) == "\n".join(refused.value.problems)
    return refused.value.problems


def values(rows):
    return [(row.line, row.cells["account"], row.cells["cohort"], row.cells["role"]) for row in rows]


PLAIN = [(2, "alder", "y3", ""), (3, "birch", "y4", "")]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CR LF", "CR"])
@pytest.mark.parametrize("separator", [",", ";"])
@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8], ids=["no mark", "byte order mark"])
def test_a_sheet_is_read_however_it_was_saved(end, separator, mark):
    text = end.join(["account,cohort", "alder,y3", "birch,y4", ""]).replace(",", separator)
    assert values(read(mark + text.encode())) == PLAIN


def test_columns_may_come_in_any_order_and_in_capitals_with_spaces():
    assert values(read(" Role , COHORT,Account\nstudent,y3,alder\n")) == [(2, "alder", "y3", "student")]


def test_the_separator_is_that_of_the_header_and_the_other_is_text():
    assert values(read("account;cohort\na,b;y3\n")) == [(2, "a,b", "y3", "")]
    assert values(read("account,cohort\na;b,y3\n")) == [(2, "a;b", "y3", "")]


def test_a_line_break_within_quotes_keeps_the_numbers_of_later_lines():
    rows = read('account,cohort\n"al\nder",y3\n"bi\r\n\r\nrch",y4\ncedar,y5\n')
    assert values(rows) == [(2, "al\nder", "y3", ""), (4, "bi\r\n\r\nrch", "y4", ""), (7, "cedar", "y5", "")]


def test_rows_without_text_are_passed_over_and_counted():
    assert values(read("\n\naccount,cohort\n\nalder,y3\n,\n ,,,\nbirch,y4\n\n")) == [
        (5, "alder", "y3", ""),
        (8, "birch", "y4", ""),
    ]


def test_a_cell_is_given_with_its_spaces_quotes_and_accents():
    assert values(read('account,cohort\n"  é ""x"" ",漢\n')) == [(2, '  é "x" ', "漢", "")]


def test_a_guard_against_formulas_is_taken_off():
    assert values(read("account,cohort\n'-smith,'tis\n")) == [(2, "-smith", "'tis", "")]


def test_a_header_alone_has_no_rows():
    assert read("account,cohort\n") == ()


ENCODINGS = {
    "Latin-1": ("account,cohort\nalder,y3\nbjörk,y3\n".encode("latin-1"), "line 3: not UTF-8 text"),
    "Latin-1 after CR": ("account,cohort\ralder,y3\rbjörk,y3\r".encode("latin-1"), "line 3: not UTF-8 text"),
    "Latin-1 after a mark": (codecs.BOM_UTF8 + b"account,cohort\nbj\xf6rk,y3\n", "line 2: not UTF-8 text"),
    "cut within a character": ("account,cohort\nbjö".encode()[:-1], "line 2: not UTF-8 text"),
    "half a surrogate pair": (b"account,cohort\n\xed\xa0\x80,y3\n", "line 2: not UTF-8 text"),
    "UTF-16, low byte first": (codecs.BOM_UTF16_LE + "account".encode("utf-16-le"), "not UTF-8 text but UTF-16"),
    "UTF-16, high byte first": (codecs.BOM_UTF16_BE + "account".encode("utf-16-be"), "not UTF-8 text but UTF-16"),
    "UTF-16 without a mark": ("account".encode("utf-16-le"), "line 1: a NUL byte"),
    "NUL": (b"account,cohort\nalder,y3\nbi\0rch,y3\n", "line 3: a NUL byte"),
    "a spreadsheet's own file": (b"PK\x03\x04\x14\0\x06\0", "a spreadsheet's own file"),
}


@pytest.mark.parametrize(("content", "sentence"), ENCODINGS.values(), ids=ENCODINGS)
def test_other_bytes_than_utf_8_are_refused_with_their_line_and_what_to_do(content, sentence):
    (problem,) = refusals(content)
    assert sentence in problem
    assert problem.endswith(": save the sheet as CSV UTF-8")


def test_too_many_bytes_are_refused_before_they_are_looked_at():
    limits = Limits(bytes=1_500, rows=10, advice="split it by year")
    assert refusals(b"\0" * 1_501, limits=limits) == (
        "the sheet has 1,501 bytes and at most 1,500 are read: split it by year",
    )


def test_as_many_rows_as_are_allowed_are_read_and_one_more_is_not():
    limits = Limits(bytes=100_000, rows=1_000)
    sheet = "account,cohort\n" + "alder,y3\n" * 1_000
    assert len(read(sheet, limits=limits)) == 1_000
    assert len(read(sheet.rstrip("\n"), limits=limits)) == 1_000
    assert len(read(sheet + "\n\n", limits=limits)) == 1_000
    assert refusals(sheet + "birch,y3", limits=limits) == (
        "the sheet has 1,001 rows and at most 1,000 are read: split the sheet",
    )


def test_too_many_rows_are_refused_before_the_first_is_taken_apart():
    limits = Limits(bytes=1_000, rows=3)
    (problem,) = refusals('account,cohort\n"never closed\n\n\n\nx', limits=limits)
    assert "5 rows" in problem


HEADERS = {
    "empty": (b"", ["the sheet is empty: begin it with a line that names the columns account, cohort, role"]),
    "blank": (b"\n , \n", ["the sheet is empty"]),
    "no header": ("alder,y3\n", ["names 'alder'", "names 'y3'", "not name 'account'", "not name 'cohort'"]),
    "unknown": ("account,cohort,e-mail\n", ["names 'e-mail', which is not known here: remove it or use account,"]),
    "missing": ("account,role\n", ["does not name 'cohort': add the column"]),
    "repeated": ("account,cohort,Account\n", ["names 'account' more than once: keep one"]),
    "nameless": ("account,cohort,\n", ["leaves column 3 without a name: name it or remove the column"]),
    "tabs": ("account\tcohort\n", ["names 'account\\tcohort'", "separated by comma or semicolon", "not name 'cohort'"]),
}


@pytest.mark.parametrize(("content", "sentences"), HEADERS.values(), ids=HEADERS)
def test_a_header_that_does_not_fit_is_refused_with_everything_that_is_wrong(content, sentences):
    problems = refusals(content)
    assert len(problems) == len(sentences)
    for problem, sentence in zip(problems, sentences, strict=True):
        assert sentence in problem


def test_every_line_with_another_number_of_fields_is_named():
    problems = refusals("account,cohort\nalder\nbirch,y3\ncedar,y3,student,more\n")
    assert [problem.partition(": correct")[0] for problem in problems] == [
        "line 2: number of fields is 1 where the header names 2",
        "line 4: number of fields is 4 where the header names 2",
    ]
    assert problems[0].endswith("correct the line, and put a text that has a separator in it in quotes")


def test_fifty_lines_are_named_and_the_others_counted():
    problems = refusals("account,cohort\n" + "alder\n" * 53)
    assert len(problems) == 51
    assert problems[49].startswith("line 51:")
    assert problems[50] == "and 3 more"


QUOTES = {
    "never closed": ('account,cohort\nalder,y3\n"birch,y4\ncedar,y5\n', "line 3:"),
    "closed too early": ('account,cohort\nalder,y3\n\n"bi"rch,y4\n', "line 4:"),
    "too long to be a cell": ("account,cohort\nalder," + "y" * 200_000 + "\n", "line 2:"),
    "in the header": ('"account,cohort\nalder,y3\n', "line 1:"),
}


@pytest.mark.parametrize(("content", "line"), QUOTES.values(), ids=QUOTES)
def test_fields_that_cannot_be_told_apart_are_refused_with_the_line_they_begin_in(content, line):
    (problem,) = refusals(content)
    assert problem.startswith(f"{line} its fields cannot be told apart")
    assert problem.endswith("close every quote, and double those within a text")


def test_a_message_repeats_no_more_of_a_column_than_is_needed_to_find_it():
    assert len(refusals("account,cohort," + "x" * 100_000)[0]) < 200


def test_a_header_of_very_many_columns_is_refused_at_once():
    problems = refusals("account,cohort" + ",account" * 60_000)
    assert problems[-1] == "and 59,950 more"


def test_a_short_list_of_problems_stays_as_it_is():
    assert first_of(["one", "two"], most=2) == ("one", "two")
    assert first_of(["one", "two", "three", "four"], most=2) == ("one", "two", "and 2 more")


@given(st.binary(max_size=200) | st.text(alphabet='account,cohort;"\n\r\ufeff x', max_size=80).map(str.encode))
def test_whatever_the_bytes_are_they_are_read_or_refused_in_words(content):
    try:
        rows, said = read(b"account,cohort\n" + content), ["read"]
    except SheetRefused as refused:
        rows, said = (), refused.problems
    assert said
    assert all(said)
    assert all(set(row.cells) == {"account", "cohort", "role"} for row in rows)


def test_the_limits_of_the_csv_module_are_left_as_they_are():
    before = csv.field_size_limit()
    read("account,cohort\nalder,y3\n")
    assert csv.field_size_limit() == before
