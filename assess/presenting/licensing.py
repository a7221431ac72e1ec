"""The licence to treat: as a table of a programme's years, and beside the question that is answered within it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from assess.grading.fits import tasks_of
from assess.grading.licence import within_licence
from assess.log import Chose, Stage, State
from casebank.casefile import Document
from casebank.difficulty import criteria_named
from casebank.models import Cohort, Programme
from casebank.models import Licence as Stated
from casebank.rubric import LIMITS, ChoiceRule, Licence, Limit
from casebank.rubric.licence import YEARS

LEVELS = ("low", "moderate", "high")
LEVEL_NAMES = {"low": gettext_lazy("Low"), "moderate": gettext_lazy("Moderate"), "high": gettext_lazy("High")}
LIMIT_NAMES: dict[Limit, Promise] = {
    "treat": gettext_lazy("Treat, with the usual check"),
    "supervised": gettext_lazy("Treat, supervisor at the chair"),
    "refer": gettext_lazy("Refer"),
}


@dataclass(frozen=True)
class LicenceShown:
    """One year's licence under a question; without rows where none is stated."""

    year: int | None
    rows: tuple[tuple[str, str], ...]
    """A level in the words of the case's criteria, and the most that may be planned in those of the question."""


@dataclass(frozen=True)
class Pick:
    """One thing to choose in a select."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True)
class Cell:
    """One level of one year: its words to read, and the select to change it."""

    name: str
    level: str
    words: str
    picks: tuple[Pick, ...]


@dataclass(frozen=True)
class YearRow:
    year: int
    cells: tuple[Cell, ...]
    trouble: str = ""

    @property
    def stated(self) -> bool:
        return all(cell.words for cell in self.cells)


@dataclass(frozen=True)
class CohortRow:
    """One cohort and its year of study; none where its students are of several."""

    slug: str
    name: str
    year: int | None
    picks: tuple[Pick, ...]


def licences_shown(
    document: Document, state: State, stage: Stage, held: Callable[[], Licence | None], *, at_work: bool
) -> Mapping[str, LicenceShown]:
    """By task of a stage, the licence it is answered within: `held` at work, afterwards that of the answer itself."""
    shown = {}
    for task in tasks_of(document):
        rule = task.criterion.rule
        if task.criterion.stage != stage.value or not within_licence(task.criterion):
            continue
        assert isinstance(rule, ChoiceRule)
        answer = state.answers.get(task.id)
        licence = held() if at_work else answer.licence if isinstance(answer, Chose) else None
        if licence is not None:
            words = criteria_named(document.criteria).levels
            limits = (licence.at(level, of=len(words)) for level in range(1, len(words) + 1))
            rows = tuple((word, rule.wording(limit)) for word, limit in zip(words, limits, strict=True))
            shown[task.id] = LicenceShown(licence.year, rows)
        elif at_work:
            shown[task.id] = LicenceShown(None, ())
    return shown


def licence_rows(
    programme: Programme, sent: Mapping[str, str] | None = None, troubles: Mapping[int, str] | None = None
) -> tuple[YearRow, ...]:
    """A row for each year; `sent` is what a form sent just now, with what was wrong by year."""
    stated = {row.year: row for row in Stated.objects.filter(programme=programme)}
    return tuple(
        YearRow(
            year=year,
            cells=tuple(
                _cell(year, level, _chosen(stated.get(year), level, sent, field_name(year, level))) for level in LEVELS
            ),
            trouble=(troubles or {}).get(year, ""),
        )
        for year in YEARS
    )


def cohort_rows(cohorts: Sequence[Cohort]) -> tuple[CohortRow, ...]:
    return tuple(CohortRow(one.slug, one.name, one.year, year_picks(one.year)) for one in cohorts)


def year_picks(chosen: int | None) -> tuple[Pick, ...]:
    """Years of study to choose from."""
    return tuple(Pick(str(year), str(year), year == chosen) for year in YEARS)


def field_name(year: int, level: str) -> str:
    """What a form calls the limit of a year for a level."""
    return f"{level}-{year}"


def _chosen(row: Stated | None, level: str, sent: Mapping[str, str] | None, name: str) -> str:
    if sent is not None:
        return sent.get(name, "")
    return str(getattr(row, level)) if row else ""


def _cell(year: int, level: str, chosen: str) -> Cell:
    return Cell(
        name=field_name(year, level),
        level=str(LEVEL_NAMES[level]),
        words=next((str(LIMIT_NAMES[limit]) for limit in LIMITS if limit == chosen), ""),
        picks=tuple(Pick(limit, str(LIMIT_NAMES[limit]), limit == chosen) for limit in LIMITS),
    )
