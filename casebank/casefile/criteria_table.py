"""One case under every criteria set: the same facts, each set's own construction, levels and rule for the case."""

from collections.abc import Sequence
from dataclasses import dataclass

from casebank.casefile.document import Document
from casebank.casefile.readings import Reading, film_views, plainest, read_curvature
from casebank.casefile.stated import facts_of, view_words
from casebank.difficulty import (
    AngleMethod,
    BandsRule,
    Criteria,
    FactorLevel,
    Judgement,
    Stated,
    angle_methods,
    criteria_sets,
    judge,
)
from casebank.radiograph import View

CURVATURE = "seen_curvature_deg"


@dataclass(frozen=True)
class SetJudged:
    """One set and what it makes of the case."""

    criteria: Criteria
    judgement: Judgement


@dataclass(frozen=True)
class FactorRow:
    """One factor under every set, in the order of the columns; None where a set does not ask it."""

    id: str
    label: str
    columns: tuple[SetJudged, ...]
    levels: tuple[FactorLevel | None, ...]

    @property
    def beside(self) -> tuple[tuple[SetJudged, FactorLevel | None], ...]:
        """Each set with its level."""
        return tuple(zip(self.columns, self.levels, strict=True))


@dataclass(frozen=True)
class GroupRows:
    """Factors whose evidence is found in one place."""

    name: str
    rows: tuple[FactorRow, ...]


@dataclass(frozen=True)
class MethodReading:
    """The same canal on the same film by one construction.

    Attributes
    ----------
    method : AngleMethod
    angle_deg : float
    class_word : str
        The class of the construction's own source, "unclassed" in its gaps; empty where it gives no classes.
    words : tuple of str
        The level that each set's bands would give to this number, in the order of the columns; empty where a set asks
        for no bend.
    """

    method: AngleMethod
    angle_deg: float
    class_word: str
    columns: tuple[SetJudged, ...]
    words: tuple[str, ...]

    @property
    def beside(self) -> tuple[tuple[SetJudged, str], ...]:
        """Each set with its word."""
        return tuple(zip(self.columns, self.words, strict=True))


@dataclass(frozen=True)
class CriteriaTable:
    """A case under several sets: `own` names the set it is written for.

    `canal` and `film` say where the bend is read, `readings` by every construction, `radius` the bend's circle; `note`
    says how far constructions lie apart.
    """

    own: str
    columns: tuple[SetJudged, ...]
    groups: tuple[GroupRows, ...]
    canal: str
    film: str
    readings: tuple[MethodReading, ...]
    radius: str
    note: str


def compare_sets(
    document: Document, *, sets: Sequence[Criteria] | None = None, further: Sequence[View] | None = None
) -> CriteriaTable:
    """Judge a case under several sets.

    Parameters
    ----------
    document : Document
    sets : sequence of Criteria, optional
        Without it, every set there is, the case's own first.
    further : sequence of View, optional
        Films taken beside the given ones; without it, those the author names as answering a question.

    Raises
    ------
    ValueError
        If a finding states a fact that the case's own set does not know, or what the anatomy decides; if a set of the
        school's own cannot be read.
    """
    chosen = sets if sets is not None else criteria_sets()
    ordered = sorted(chosen, key=lambda one: one.name != document.criteria)
    readings = read_curvature(document.anatomy, film_views(document, further))
    columns = tuple(SetJudged(one, _judged(document, readings, one)) for one in ordered)
    shown = plainest(readings)
    return CriteriaTable(
        own=document.criteria,
        columns=columns,
        groups=_groups(columns),
        canal=shown.canal,
        film=f"film {shown.film}, {view_words(shown)}",
        readings=tuple(_by(method, shown, columns) for method in angle_methods().methods),
        radius=angle_methods().radius.in_words(shown.bend.radius_mm),
        note=angle_methods().note,
    )


def _judged(document: Document, readings: Sequence[Reading], criteria: Criteria) -> Judgement:
    """A case under a set; what its findings state in words of another set's own is passed over."""
    facts = facts_of(document, readings, criteria)
    if criteria.name != document.criteria:
        facts = {
            name: fact for name, fact in facts.items() if not isinstance(fact, Stated) or name in criteria.vocabulary
        }
    return judge(criteria, facts)


def _groups(columns: tuple[SetJudged, ...]) -> tuple[GroupRows, ...]:
    """Every factor of any set under the place where its evidence is found, in the order of the columns."""
    labels: dict[str, dict[str, str]] = {}
    for column in columns:
        for group in column.criteria.groups:
            labels.setdefault(group, {})
        for factor in column.criteria.factors:
            labels[factor.group].setdefault(factor.id, factor.label)
    return tuple(
        GroupRows(group, tuple(_row(group, factor, label, columns) for factor, label in factors.items()))
        for group, factors in labels.items()
        if factors
    )


def _row(group: str, factor: str, label: str, columns: tuple[SetJudged, ...]) -> FactorRow:
    return FactorRow(factor, label, columns, tuple(_level(group, factor, column) for column in columns))


def _level(group: str, factor: str, column: SetJudged) -> FactorLevel | None:
    asked = {one.id for one in column.criteria.factors if one.group == group}
    return column.judgement.factor(factor) if factor in asked else None


def _by(method: AngleMethod, shown: Reading, columns: tuple[SetJudged, ...]) -> MethodReading:
    angle_deg = method.of(shown.bend)
    words = tuple(_word_for(angle_deg, column.criteria) for column in columns)
    return MethodReading(method, angle_deg, method.classes.of(angle_deg), columns, words)


def _word_for(angle_deg: float, criteria: Criteria) -> str:
    for factor in criteria.factors:
        for rule in factor.rules:
            if rule.fact == CURVATURE and isinstance(rule, BandsRule):
                return factor.word(rule.band_of(angle_deg).level)
    return ""
