"""`manage.py criteria_table CASEFILE`: one case under every criteria set, as a plain table."""

from argparse import ArgumentParser
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from casebank.casefile import CriteriaTable, FileRefused, compare_sets, read_document
from casebank.difficulty import FactorLevel
from casebank.management.plain import FileCommand

RECALLED = " *"  # beside a level that rests on what was recalled


class Command(FileCommand):
    help = "Print how every criteria set judges a case file, side by side. Needs no database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("casefile", type=Path)
        parser.add_argument("--reasons", action="store_true", help="print the reason of every level as well")

    def work(self, **options: Any) -> None:
        document = read_document(options["casefile"])
        try:
            table = compare_sets(document)
        except ValueError as trouble:
            raise FileRefused(f"{options['casefile'].name}, {trouble}") from trouble
        lines = [*_head(document.title, table), "", *_table(table), "", *_bends(table)]
        if options["reasons"]:
            lines += ["", *_reasons(table)]
        self.stdout.write("\n".join(lines))


def _head(title: str, table: CriteriaTable) -> Iterator[str]:
    yield f"{title}, written for {table.own}"
    for column in table.columns:
        criteria, judgement = column.criteria, column.judgement
        yield f"{criteria.name}  {criteria.body}, {criteria.title}, {criteria.edition}; sha256 {criteria.sha256}"
        yield f"  {judgement.overall.reason}"
        if judgement.points:
            yield f"  {judgement.points.reason} ({judgement.points.status})"


def _table(table: CriteriaTable) -> Iterator[str]:
    names = [column.criteria.name for column in table.columns]
    rows = [["factor", *names], ["the whole case", *(column.judgement.overall.word for column in table.columns)]]
    for group in table.groups:
        rows.append([group.name])
        rows += [[f"  {row.label}", *(_level(level) for level in row.levels)] for row in group.rows]
    yield from _aligned(rows)
    yield f"{RECALLED.strip()} recalled: check your edition. -: not asked by this set."


def _level(level: FactorLevel | None) -> str:
    if level is None:
        return "-"
    return level.word + (RECALLED if "from memory" in level.statuses else "")


def _bends(table: CriteriaTable) -> Iterator[str]:
    yield f"The bend of canal {table.canal} on {table.film}, by every construction:"
    names = [column.criteria.name for column in table.columns]
    rows = [["construction", "angle", "its own class", *names]]
    rows += [
        [one.method.id, f"{one.angle_deg:.1f}°", one.class_word or "none given", *(word or "-" for word in one.words)]
        for one in table.readings
    ]
    yield from _aligned(rows)
    yield f"Radius: {table.radius}. {table.note}"


def _reasons(table: CriteriaTable) -> Iterator[str]:
    for column in table.columns:
        for level in column.judgement.factors:
            yield f"{column.criteria.name}, {column.criteria.factor(level.factor_id).label}: {level.reason}"


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(len(row[place]) for row in rows if len(row) > place) for place in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=False)).rstrip()
