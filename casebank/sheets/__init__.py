"""Tables as comma-separated text: read from what a spreadsheet saves, written so that no spreadsheet runs a cell."""

from casebank.sheets.formulas import guarded, unguarded
from casebank.sheets.reading import MOST_PROBLEMS, Limits, Row, SheetRefused, first_of, read_rows
from casebank.sheets.writing import Cell, csv_text

__all__ = [
    "MOST_PROBLEMS",
    "Cell",
    "Limits",
    "Row",
    "SheetRefused",
    "csv_text",
    "first_of",
    "guarded",
    "read_rows",
    "unguarded",
]
