"""The competency map: what the tasks of the open cases exercise, with the gaps first."""

from collections.abc import Sequence
from dataclasses import dataclass

from assess.presenting.naming import tooth_words
from casebank.casefile.coverage import Cell, coverage
from casebank.models import Edition
from casebank.rubric import Framework


@dataclass(frozen=True)
class CaseHead:
    slug: str
    title: str
    tooth: int
    tooth_words: str


@dataclass(frozen=True)
class CompetencyRow:
    """One competency, its level in words, and a cell for each case."""

    title: str
    level: str
    tasks: int
    aims: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class CompetencyMap:
    framework: Framework
    cases: tuple[CaseHead, ...]
    gaps: tuple[CompetencyRow, ...]
    rows: tuple[CompetencyRow, ...]

    @property
    def in_order(self) -> tuple[CompetencyRow, ...]:
        """Every competency, the gaps first."""
        return (*self.gaps, *self.rows)


def competency_map(editions: Sequence[Edition]) -> CompetencyMap:
    """The map of some editions, one a case: competencies that no task exercises apart, the rest as the framework has
    them."""
    whole = coverage([edition.document for edition in editions])
    rows = [
        CompetencyRow(
            title=row.competency.title,
            level=whole.framework.wording(row.competency.level),
            tasks=row.tasks,
            aims=row.aims,
            cells=row.cells,
        )
        for row in whole.rows
    ]
    return CompetencyMap(
        framework=whole.framework,
        cases=tuple(
            CaseHead(edition.case.slug, edition.title, edition.tooth, tooth_words(edition.tooth))
            for edition in editions
        ),
        gaps=tuple(row for row in rows if not row.tasks),
        rows=tuple(row for row in rows if row.tasks),
    )
