"""Rows from the bytes of a sheet; every refusal is a sentence that names the line and says what to do."""

import codecs
import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from casebank.sheets.formulas import unguarded

MOST_PROBLEMS = 50  # listed one by one: more would not be read
LONGEST_NAME = 40  # of an unknown column, as far as a message repeats it

SAVE_ANEW = "save the sheet as CSV UTF-8"
ARCHIVE = b"PK\x03\x04"  # how a zip archive begins, and with it the usual spreadsheet files


@dataclass(frozen=True)
class Limits:
    """The largest sheet that is read, and what to do with a larger one. Rows are lines below the header."""

    bytes: int
    rows: int
    advice: str = "split the sheet"


@dataclass(frozen=True)
class Row:
    """One row: the line of the file it begins in, from 1, and its cells by column name."""

    line: int
    cells: Mapping[str, str]


class SheetRefused(ValueError):
    """A sheet that cannot be used: `problems` holds a sentence for each thing to correct."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


def first_of(problems: Sequence[str], *, most: int = MOST_PROBLEMS) -> tuple[str, ...]:
    """The first problems of a list, and how many more there are.

    Examples
    --------
    >>> first_of(["line 2: empty", "line 3: empty", "line 4: empty"], most=1)
    ('line 2: empty', 'and 2 more')
    """
    more = len(problems) - most
    return (*problems[:most], f"and {more:,} more") if more > 0 else tuple(problems)


def read_rows(
    content: bytes, *, required: Sequence[str], optional: Sequence[str] = (), limits: Limits
) -> tuple[Row, ...]:
    """The rows of a sheet, in their order.

    The first line that is not blank names the columns, in any order and in small or capital letters; commas or
    semicolons separate, whichever it has more of. Rows without any text are passed over. A cell is given as it stands,
    except that an apostrophe put there by `guarded` is taken off; an optional column that is not there reads as empty.

    Parameters
    ----------
    content : bytes
        UTF-8, with or without byte order mark; lines end in LF, CR LF or CR, and may break within quotes.
    required, optional : sequence of str
        Column names, in small letters.
    limits : Limits
        Checked before anything is taken apart, so a line break within quotes counts as a row there.

    Raises
    ------
    SheetRefused
        If the sheet is too large, no UTF-8 text, has no header or another one, quotes that do not match, or lines with
        another number of fields than the header; all such lines are named.

    Examples
    --------
    >>> read_rows(b"Account;Cohort\\nalder;y3\\n", required=["account", "cohort"], limits=Limits(bytes=100, rows=9))
    (Row(line=2, cells={'account': 'alder', 'cohort': 'y3'}),)
    """
    if len(content) > limits.bytes:
        raise SheetRefused(
            [f"the sheet has {len(content):,} bytes and at most {limits.bytes:,} are read: {limits.advice}"]
        )
    text = _text(content)
    rows = _line_breaks(text.rstrip("\r\n"))
    if rows > limits.rows:
        raise SheetRefused([f"the sheet has {rows:,} rows and at most {limits.rows:,} are read: {limits.advice}"])
    records = _records(text)
    columns = _columns(next(records, (1, []))[1], required, optional)
    found, problems = [], []
    for line, fields in records:
        if len(fields) != len(columns):
            problems.append(
                f"line {line}: number of fields is {len(fields)} where the header names {len(columns)}: "
                "correct the line, and put a text that has a separator in it in quotes"
            )
            continue
        cells = dict.fromkeys(optional, "") | dict(zip(columns, map(unguarded, fields), strict=True))
        found.append(Row(line, cells))
    if problems:
        raise SheetRefused(first_of(problems))
    return tuple(found)


def _text(content: bytes) -> str:
    if content.startswith(ARCHIVE):
        raise SheetRefused([f"this is a spreadsheet's own file or another archive, not text: {SAVE_ANEW}"])
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise SheetRefused([f"not UTF-8 text but UTF-16: {SAVE_ANEW}"])
    content = content.removeprefix(codecs.BOM_UTF8)
    if b"\0" in content:
        line = _line_breaks(content[: content.index(b"\0")].decode("latin-1")) + 1
        raise SheetRefused([f"line {line}: a NUL byte, which no text has (UTF-16 does): {SAVE_ANEW}"])
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as trouble:
        line = _line_breaks(content[: trouble.start].decode("utf-8")) + 1
        raise SheetRefused([f"line {line}: not UTF-8 text: {SAVE_ANEW}"]) from trouble


def _line_breaks(text: str) -> int:
    return text.count("\n") + text.count("\r") - text.count("\r\n")


def _records(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line and fields of every record that has any text."""
    heading = next((line for line in io.StringIO(text, newline="") if line.strip()), "")
    separator = ";" if heading.count(";") > heading.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            fields = next(reader)
        except StopIteration:
            return
        except csv.Error as trouble:
            raise SheetRefused(
                [
                    f"line {line}: its fields cannot be told apart ({trouble}): "
                    "close every quote, and double those within a text"
                ]
            ) from trouble
        if any(field.strip() for field in fields):
            yield line, fields


def _columns(header: list[str], required: Sequence[str], optional: Sequence[str]) -> list[str]:
    """The column names in the sheet's order, as the caller spells them."""
    known = [*required, *optional]
    columns = [unguarded(name).strip().casefold() for name in header]
    if not columns:
        raise SheetRefused([f"the sheet is empty: begin it with a line that names the columns {', '.join(known)}"])
    problems = []
    named: set[str] = set()
    for place, name in enumerate(columns, start=1):
        if not name:
            problems.append(f"the header leaves column {place} without a name: name it or remove the column")
        elif name not in known:
            problems.append(
                f"the header names {name[:LONGEST_NAME]!r}, which is not known here: "
                f"remove it or use {', '.join(known)}"
            )
        elif name in named:
            problems.append(f"the header names {name!r} more than once: keep one")
        named.add(name)
    problems += [
        f"the header does not name {name!r}: add the column, separated by comma or semicolon"
        for name in required
        if name not in named
    ]
    if problems:
        raise SheetRefused(first_of(problems))
    return columns
