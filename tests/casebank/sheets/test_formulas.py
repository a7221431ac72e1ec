"""No text is left that a spreadsheet would run, and every guard comes off again."""

import re
import time
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.sheets import guarded, unguarded
from casebank.sheets.formulas import SIGNS

SPITEFUL = st.text(alphabet="=+-@＝＋－＠\t\r\n\0;,'\" \u00a0\u200b\ufeff“ab", max_size=12)
texts = SPITEFUL | st.text(max_size=20)


@pytest.mark.parametrize(
    "text",
    # the beginnings that the page "CSV Injection" of the OWASP Foundation lists, and NUL from its ASVS 5.0, 1.2.10
    ["=1+1", "+1+1", "-1+1", "@sum(a1)", "\t=1", "\r=1", "\n=1", "\tplain", "＝1", "＋1", "－1", "＠sum(a1)", "\0=1"],
)
def test_every_listed_beginning_gets_an_apostrophe(text):
    assert guarded(text)[0] == "'"
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize(
    "text", [" =1", "   +1", '"=1', "'=1", "' \"=1", "\u00a0@a", "\u200b=1", "\ufeff=1", "“=1", "\x0b-1"]
)
def test_spaces_quotes_and_unseen_characters_do_not_hide_a_beginning(text):
    assert guarded(text) == f"'{text}"


def test_a_cell_that_a_semicolon_or_a_line_break_would_begin_is_guarded_too():
    # the same page: a separator within a text can begin a new cell
    assert guarded("left;=1") == "left;'=1"
    assert guarded("left\n @a\r\n-") == "left\n' @a\r\n'-"
    assert guarded("left\t+1") == "left\t'+1"


@pytest.mark.parametrize(
    "text",
    ["", "alder", "year-three", "a@school", "25 mm, -0.5 mm short", "'tis", '"quoted"', "−20° to +20°", "line\n\nline"],
)
def test_other_text_stays_as_it_is(text):
    assert guarded(text) == text
    assert unguarded(text) == text


@given(texts)
def test_taking_the_guards_off_gives_the_text_again(text):
    assert unguarded(guarded(text)) == text


@given(texts)
def test_no_place_where_a_cell_can_begin_is_left_with_a_sign(text):
    for cell in re.split(r"[;\t\r\n]", guarded(text)):
        assert unicodedata.normalize("NFKC", cell.lstrip())[:1] not in {"=", "+", "-", "@"}
    assert guarded(text)[:1] not in {"\t", "\r", "\n", "\0"}


def test_every_character_that_normalises_to_a_sign_is_one():
    normal = {chr(code): unicodedata.normalize("NFKC", chr(code)) for code in range(0x110000)}
    assert {sign for sign, form in normal.items() if form[0] in {"=", "+", "-", "@"}} == set(SIGNS)


SLOW = {"breaks": "\n", "guarded breaks": "\n'", "spaces": " ", "quotes": "; '"}


@pytest.mark.parametrize("piece", SLOW.values(), ids=SLOW.keys())
def test_a_text_made_to_be_slow_is_not(piece):
    start = time.perf_counter()
    unguarded(guarded(piece * 100_000))
    assert time.perf_counter() - start < 2
