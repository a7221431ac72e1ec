"""The rule for the case, and the points of a set, from their tables."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from casebank.difficulty.case_rules import (
    CaseRule,
    CaseStep,
    Component,
    ComponentsRule,
    CountRule,
    Points,
    PointsBand,
    PointsRule,
)
from casebank.difficulty.factor_entries import Levels, Sources, basis
from casebank.difficulty.stretches import ends_of
from casebank.difficulty.tables import CriteriaError, Table

KINDS = ("count", "points", "components")

Value = TypeVar("Value")


def case_rule_from(
    table: Table, sources: Sources, levels: Levels, factors: Sequence[str], points: Points | None
) -> CaseRule:
    """The rule for the case, of a kind in KINDS; without `kind` it counts."""
    source, status = basis(table, sources)
    kind = table.one_of("kind", KINDS) if "kind" in table else "count"
    rule: CaseRule
    if kind == "count":
        rule = CountRule(tuple(_step(step, levels) for step in table.tables("steps", "step")), source, status)
    elif kind == "components":
        rule = ComponentsRule(_components(table, factors), source, status)
    elif points is None:
        raise table.refuse("kind", "points decide and this set gives none: add points, or another kind of rule")
    else:
        rule = _or_refused(lambda: PointsRule(points, source, status), table)
    table.done()
    return rule


def points_from(table: Table, sources: Sources, levels: Levels) -> Points:
    """Points for each level of a factor, and what their total says."""
    source, status = basis(table, sources)
    each_table = table.table("each")
    each = tuple(each_table.whole(word, least=0) for word in levels)
    each_table.done()
    bands = tuple(_band(band, number, levels) for number, band in enumerate(table.tables("bands", "band"), 1))
    table.done()
    return _or_refused(lambda: Points(each, bands, source, status), table)


def _step(table: Table, levels: Levels) -> CaseStep:
    step = CaseStep(
        gives=levels.index(table.one_of("gives", levels)) + 1,
        at_least=table.whole("at_least", least=1),
        at_or_above=levels.index(table.one_of("at_or_above", levels)) + 1,
        boundary=table.text_or_none("boundary"),
    )
    table.done()
    return step


def _components(table: Table, factors: Sequence[str]) -> tuple[Component, ...]:
    found = []
    for part in table.tables("components", "component"):
        names = {key: tuple(part.texts(key)) if key in part else () for key in ("factors", "modifiers")}
        if not names["factors"]:
            raise part.refuse("factors", "missing: name the factors that give this component its level")
        for key, given in names.items():
            if unknown := [factor for factor in given if factor not in factors]:
                raise part.refuse(key, f"no factor {unknown[0]}: use one of {', '.join(factors)}")
        if both := set(names["factors"]) & set(names["modifiers"]):
            raise part.refuse("modifiers", f"{min(both)} is a factor of this component: keep it in one place")
        found.append(Component(part.text("name"), names["factors"], names["modifiers"]))
        part.done()
    used = {factor for part in found for factor in (*part.factors, *part.modifiers)}
    if left := [factor for factor in factors if factor not in used]:
        raise table.refuse("components", f"no component uses factor {left[0]}: name it in one, or leave it out")
    return tuple(found)


def _band(table: Table, number: int, levels: Levels) -> PointsBand:
    least, least_counts, most, most_counts = ends_of(table)
    gives = levels.index(table.one_of("gives", levels)) + 1 if "gives" in table else None
    band = PointsBand(least, least_counts, most, most_counts, level=number, says=table.text("says"), gives=gives)
    table.done()
    return band


def _or_refused(make: Callable[[], Value], table: Table) -> Value:
    try:
        return make()
    except CriteriaError:
        raise
    except ValueError as trouble:
        raise CriteriaError(f"{table.where}: {trouble}") from trouble
