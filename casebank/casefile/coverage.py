"""Which competencies the tasks of some cases exercise, and which no task does: the holes of a collection."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from casebank.casefile.document import Document
from casebank.difficulty import criteria_named
from casebank.rubric import Competency, Framework, bundled_framework
from casebank.rubric import bundled as bundled_rubric


@dataclass(frozen=True)
class Cell:
    """One competency in one case: how many of its tasks exercise it, and whether the case names it as an aim."""

    tasks: int
    aim: bool


@dataclass(frozen=True)
class Row:
    """One competency through all cases."""

    competency: Competency
    cells: tuple[Cell, ...]

    @property
    def tasks(self) -> int:
        """Tasks of all cases that exercise it; 0 is a hole."""
        return sum(cell.tasks for cell in self.cells)

    @property
    def aims(self) -> int:
        """Cases that name it as an aim."""
        return sum(cell.aim for cell in self.cells)


@dataclass(frozen=True)
class Coverage:
    """A matrix of competencies by cases; `cases` are slugs in the order of every row's cells."""

    framework: Framework
    cases: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def empty(self) -> tuple[Competency, ...]:
        """Competencies that no task of any case exercises."""
        return tuple(row.competency for row in self.rows if row.tasks == 0)


def coverage(documents: Sequence[Document], *, framework: str = "undergraduate") -> Coverage:
    """Count, for every competency of the framework, the tasks of each case that exercise it.

    A criterion asked in each canal or for each factor counts once for each of them, as it is asked.

    Raises
    ------
    ValueError
        If there is no such framework, or a case's rubric refers to another one.
    """
    whole = bundled_framework(framework)
    tasks = [_tasks_by_competency(document, framework) for document in documents]
    return Coverage(
        framework=whole,
        cases=tuple(document.slug for document in documents),
        rows=tuple(
            Row(
                competency,
                tuple(
                    Cell(counts[competency.id], competency.id in document.competencies)
                    for document, counts in zip(documents, tasks, strict=True)
                ),
            )
            for competency in whole.competencies
        ),
    )


def _tasks_by_competency(document: Document, framework: str) -> Counter[str]:
    rubric = bundled_rubric(document.rubric)
    if rubric.framework != framework:
        raise ValueError(
            f"case {document.slug}: its rubric {rubric.id} refers to the framework {rubric.framework}, "
            f"not to {framework}: count such cases apart"
        )
    tasks = rubric.tasks(
        canals=[canal.name for canal in document.anatomy.tooth.canals],
        factors=[factor.id for factor in criteria_named(document.criteria).factors],
    )
    return Counter(competency for task in tasks for competency in task.criterion.competencies)
