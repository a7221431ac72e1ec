"""A table that is written comes back cell by cell, and none of its texts can be run."""

import csv
import io
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.sheets import Limits, csv_text, read_rows

LARGE = Limits(bytes=1_000_000, rows=1_000)
SPITEFUL = st.text(alphabet="=+-@＝＋－＠\t\r\n;,'\" ab", max_size=10)
texts = SPITEFUL | st.text(max_size=15)
harmless = st.text(alphabet="bcé漢 .,;'\"\r\n0", max_size=10).map("a".__add__)  # a line break at the start is not
numbers = st.integers() | st.floats(allow_nan=False, allow_infinity=False)


def cells_of(text):
    """What the csv module makes of a text whose byte order mark has been read."""
    assert text[0] == "\ufeff"
    return list(csv.reader(io.StringIO(text[1:], newline=""), strict=True))


def test_a_table_is_written_with_mark_quotes_and_line_ends():
    # RFC 4180, section 2: CR LF ends a line; commas, quotes and line breaks are quoted, and quotes doubled
    text = csv_text(["case", "note"], [["one", 'says "no", twice'], ["two", "above\nbelow"]])
    assert text == '\ufeffcase,note\r\none,"says ""no"", twice"\r\ntwo,"above\nbelow"\r\n'
    assert text.encode().startswith(b"\xef\xbb\xbfcase")


def test_numbers_stay_numbers_and_nothing_is_an_empty_cell():
    text = csv_text(["a", "b", "c", "d"], [[-3, -0.25, 10**400, None]])
    assert cells_of(text)[1] == ["-3", "-0.25", "1" + "0" * 400, ""]


def test_a_text_that_looks_like_a_negative_number_is_text():
    assert cells_of(csv_text(["account"], [["-3"]]))[1] == ["'-3"]


def test_a_column_name_is_guarded_like_any_text():
    assert cells_of(csv_text(["=1+1"], []))[0] == ["'=1+1"]


@given(st.lists(st.tuples(texts, texts, numbers), max_size=5))
def test_read_by_the_csv_module_no_text_begins_as_a_formula_does(rows):
    written = cells_of(csv_text(["one", "two", "number"], rows))
    assert len(written) == len(rows) + 1
    for row in written:
        assert len(row) == 3
        for cell in row[:2]:
            first = unicodedata.normalize("NFKC", cell.lstrip(" \"'"))[:1]
            assert cell[:1] == "'" or first not in {"=", "+", "-", "@"}
            assert cell[:1] not in {"\t", "\r", "\n", "\0"}


@given(st.lists(st.lists(st.just("") | harmless, min_size=2, max_size=2), max_size=5))
def test_harmless_cells_come_back_from_the_csv_module_as_they_were(rows):
    assert cells_of(csv_text(["one", "two"], rows))[1:] == rows


@given(st.lists(numbers, max_size=5))
def test_numbers_come_back_exactly(values):
    read = [row[0] for row in cells_of(csv_text(["number"], [[value] for value in values]))[1:]]
    assert [type(value)(cell) for value, cell in zip(values, read, strict=True)] == values


@given(st.lists(st.tuples(texts, texts), max_size=5))
def test_what_is_written_is_read_again_whatever_it_is(rows):
    rows = [row for row in rows if "\0" not in "".join(row) and "".join(row).strip()]
    read = read_rows(csv_text(["one", "two"], rows).encode(), required=["one", "two"], limits=LARGE)
    assert [tuple(row.cells.values()) for row in read] == rows


def test_a_row_of_another_length_is_refused():
    with pytest.raises(ValueError, match="row 2 has 1 cells where the header has 2"):
        csv_text(["one", "two"], [["a", "b"], ["c"]])


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_none_is_refused(number):
    with pytest.raises(ValueError, match="not a number a sheet can hold: leave the cell empty"):
        csv_text(["number"], [[number]])
