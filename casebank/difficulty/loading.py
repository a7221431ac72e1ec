"""A criteria set from TOML: complete, sourced and free of contradiction, or refused in one sentence."""

import math
import tomllib
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType

from casebank.difficulty.criteria import (
    STATUSES,
    Angle,
    Band,
    BandsRule,
    CaseRule,
    CaseStep,
    Cell,
    Criteria,
    Factor,
    Rule,
    WordsRule,
)
from casebank.difficulty.tables import CriteriaError, Table

Sources = dict[str, str]
Levels = tuple[str, ...]


@cache
def bundled(name: str) -> Criteria:
    """A criteria set that comes with the program, such as "aae-2022". CriteriaError naming those there are."""
    folder = resources.files("casebank.difficulty") / "criteria"
    names = sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))
    if name not in names:
        raise CriteriaError(f"no criteria set {name!r} comes with the program: use one of {', '.join(names)}")
    return load((folder / f"{name}.toml").read_text(encoding="utf-8"), name)


def load(path_or_text: Path | str, name: str) -> Criteria:
    """A criteria set from a file (a Path) or from TOML text (a str).

    Parameters
    ----------
    path_or_text : Path or str
    name : str
        What the set, and any message about it, is called.

    Raises
    ------
    CriteriaError
        If the text is no TOML, a key is missing, unknown or of the wrong kind, a source or status is missing, bands
        overlap or leave a gap, or a value or fact has two levels.
    """
    try:
        text = path_or_text.read_text(encoding="utf-8") if isinstance(path_or_text, Path) else path_or_text
        top = Table(tomllib.loads(text), name)
    except tomllib.TOMLDecodeError as trouble:
        raise CriteriaError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    except OSError as trouble:
        raise CriteriaError(f"{name}: cannot be read ({trouble.strerror}): check the path") from trouble
    except UnicodeDecodeError as trouble:
        raise CriteriaError(f"{name}: not UTF-8 text: save it as UTF-8") from trouble
    sources = top.named_texts("sources")
    levels = top.texts("levels")
    if len(levels) < 2:
        raise top.refuse("levels", "one level tells nothing apart: give at least two, the lowest first")
    groups = top.texts("groups")
    criteria = Criteria(
        name=name,
        title=top.text("title"),
        body=top.text("body"),
        edition=top.text("edition"),
        levels=levels,
        groups=groups,
        angle=_angle(top.table("angle"), sources),
        case_rule=_case_rule(top.table("case_rule"), sources, levels),
        factors=tuple(_factor(table, name, sources, levels, groups) for table in top.tables("factor", "factor")),
    )
    top.done()
    _require_each_once(criteria)
    return criteria


def _angle(table: Table, sources: Sources) -> Angle:
    source, status = _basis(table, sources)
    angle = Angle(table.text("method"), table.text("construction"), table.text("taken_on"), source, status)
    table.done()
    return angle


def _case_rule(table: Table, sources: Sources, levels: Levels) -> CaseRule:
    source, status = _basis(table, sources)
    steps = tuple(_step(step, levels) for step in table.tables("steps", "step"))
    table.done()
    return CaseRule(steps, source, status)


def _step(table: Table, levels: Levels) -> CaseStep:
    step = CaseStep(
        gives=levels.index(table.one_of("gives", levels)) + 1,
        at_least=table.whole("at_least", least=1),
        at_or_above=levels.index(table.one_of("at_or_above", levels)) + 1,
    )
    table.done()
    return step


def _factor(table: Table, name: str, sources: Sources, levels: Levels, groups: tuple[str, ...]) -> Factor:
    factor_id = table.text("id")
    table.where = f"{name}, factor {factor_id}"
    cells = table.table("cells")
    factor = Factor(
        id=factor_id,
        label=table.text("label"),
        group=table.one_of("group", groups),
        cells=tuple(_cell(cells.table(word), sources) for word in levels),
        rules=tuple(_rule(rule, sources, levels) for rule in table.tables("rules", "rule")),
    )
    cells.done()
    table.done()
    return factor


def _cell(table: Table, sources: Sources) -> Cell:
    source, status = _basis(table, sources)
    cell = Cell(table.text("wording"), source, status)
    table.done()
    return cell


def _rule(table: Table, sources: Sources, levels: Levels) -> Rule:
    kind = table.one_of("kind", ("bands", "words"))
    source, status = _basis(table, sources) if "source" in table or "status" in table else (None, None)
    fact, label = table.text("fact"), table.text("label")
    given = [(number, word) for number, word in enumerate(levels, 1) if word in table]
    if not given:
        raise CriteriaError(f"{table.where}: gives no level: add at least {levels[0]} and what counts as it")
    try:
        rule: Rule
        if kind == "bands":
            bands = sorted((_band(table.table(word), number) for number, word in given), key=lambda band: band.least)
            rule = BandsRule(
                fact=fact,
                label=label,
                unit=table.text("unit"),
                bands=tuple(bands),
                decimals=table.whole("decimals", least=0) if "decimals" in table else 1,
                boundary=table.text_or_none("boundary"),
                source=source,
                status=status,
            )
        else:
            rule = WordsRule(fact, label, _values(table, given), source, status)
    except CriteriaError:
        raise
    except ValueError as trouble:
        raise CriteriaError(f"{table.where}, {fact}: {trouble}") from trouble
    table.done()
    return rule


def _values(table: Table, given: list[tuple[int, str]]) -> MappingProxyType[str, int]:
    values: dict[str, int] = {}
    for number, word in given:
        for value in table.texts(word):
            if value in values:
                raise table.refuse(word, f"{value!r} has a level already: let each value have one")
            values[value] = number
    return MappingProxyType(values)


def _band(table: Table, level: int) -> Band:
    """A band: from and to count themselves, above and below do not."""
    if not any(end in table for end in ("from", "above", "to", "below")):
        raise CriteriaError(f"{table.where}: has no end: give from, above, to or below")
    if "from" in table and "above" in table:
        raise table.refuse("above", "from is given as well: keep one of the two")
    if "to" in table and "below" in table:
        raise table.refuse("below", "to is given as well: keep one of the two")
    least_counts, most_counts = "from" in table, "to" in table
    least = table.number("from" if least_counts else "above") if least_counts or "above" in table else -math.inf
    most = table.number("to" if most_counts else "below") if most_counts or "below" in table else math.inf
    table.done()
    if least > most:
        raise CriteriaError(f"{table.where}: starts at {least:g} and ends at {most:g}: write the smaller number first")
    return Band(level, least, least_counts, most, most_counts)


def _basis(table: Table, sources: Sources) -> tuple[str, str]:
    return sources[table.one_of("source", tuple(sources))], table.one_of("status", STATUSES)


def _require_each_once(criteria: Criteria) -> None:
    for what, names in (
        ("factor", [factor.id for factor in criteria.factors]),
        ("fact", [rule.fact for factor in criteria.factors for rule in factor.rules]),
    ):
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice:
            raise CriteriaError(f"{criteria.name}: {what} {twice} stands twice: keep one or rename it")
