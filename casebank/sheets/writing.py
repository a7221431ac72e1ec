"""A table as comma-separated text that a spreadsheet opens as it was meant, and runs nothing of."""

import csv
import io
from collections.abc import Iterable, Sequence
from math import isfinite

from casebank.sheets.formulas import guarded

BYTE_ORDER_MARK = "\ufeff"

Cell = str | int | float | None


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A table as text: encode it as UTF-8.

    It begins with a byte order mark, without which some spreadsheets read UTF-8 as their own country's code page
    (common practice, no source). Lines end in CR LF and fields are quoted as RFC 4180 says. Text that would be run is
    guarded (see `formulas`), in the header too; numbers stay numbers, so a negative one has its minus; None is an
    empty cell.

    Parameters
    ----------
    header : sequence of str
        Column names.
    rows : iterable of sequences
        Each as long as the header.

    Raises
    ------
    ValueError
        If a row has another number of cells than the header, or a number is not finite.

    Examples
    --------
    >>> csv_text(["case", "shift"], [["=1+1", -2]])
    "\\ufeffcase,shift\\r\\n'=1+1,-2\\r\\n"

    References
    ----------
    RFC 4180, section 2.
    """
    sink = io.StringIO(newline="")
    writer = csv.writer(sink, lineterminator="\r\n")
    writer.writerow([_written(name) for name in header])
    for number, row in enumerate(rows, start=1):
        if len(row) != len(header):
            raise ValueError(f"row {number} has {len(row)} cells where the header has {len(header)}: give each its own")
        writer.writerow([_written(cell) for cell in row])
    return BYTE_ORDER_MARK + sink.getvalue()


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return guarded(cell)
    if isinstance(cell, int):
        return str(int(cell))
    if not isfinite(cell):
        raise ValueError(f"{cell} is not a number a sheet can hold: leave the cell empty")
    return repr(float(cell))
