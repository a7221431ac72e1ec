"""From a table of the rubric's file to the values of a kind: its rule, and an example's answer and reference."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, cast

from casebank.rubric.answers import (
    BenchReference,
    BenchSaid,
    ChoiceReference,
    ChoiceSaid,
    LevelReference,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureSaid,
    Reference,
    Said,
)
from casebank.rubric.chance import refuse_guessing
from casebank.rubric.entries_told import (
    order_reference,
    order_rule,
    order_said,
    outline_reference,
    outline_rule,
    outline_said,
    written_reference,
    written_rule,
    written_said,
)
from casebank.rubric.rules import UNITS, BenchRule, ChoiceRule, LevelRule, MarkRule, MeasureRule, Rule, Unit
from casebank.rubric.table import Table

MEASURES = ("full_within", "none_beyond", "plausible_from", "plausible_to")


def level_rule(table: Table) -> LevelRule:
    words = table.texts("words")
    if len(words) != 3:
        raise table.refused("words", f"{len(words)} words for three levels: give three, from low to high")
    return LevelRule(
        words=words,
        one_over=table.number("one_over"),
        one_under=table.number("one_under"),
        two_steps=table.number("two_steps"),
        without_evidence=table.number("without_evidence"),
        most_pins=table.whole("most_pins"),
    )


def choice_rule(table: Table) -> ChoiceRule:
    most = table.whole("most") if "most" in table else 1
    partly: dict[str, Mapping[str, float]] = {}
    if "partly" in table:
        outer = table.table("partly")
        partly = {best: _shares(outer.table(best)) for best in outer.fields()}
    ordered = table.texts("ordered") if "ordered" in table else ()
    return ChoiceRule(options=_options(table), most=most, partly=partly, ordered=ordered)


def measure_rule(table: Table) -> MeasureRule:
    unit = table.one_of("unit", UNITS)
    for name in MEASURES:
        for field in table.fields():
            if field == name or (field.startswith(f"{name}_") and field != f"{name}_{unit}"):
                raise table.refused(field, f"the unit does not stand in this key's name: write {name}_{unit}")
    values = {name: table.number(f"{name}_{unit}") for name in MEASURES}
    rule = MeasureRule(
        unit=cast("Unit", unit),
        method=table.text("method") if "method" in table else "",
        counted=table.text("counted") if "counted" in table else "",
        **values,
    )
    refuse_guessing(rule)
    return rule


def mark_rule(table: Table) -> MarkRule:
    for name in ("full_within", "none_beyond"):
        for field in table.fields():
            if field == name or (field.startswith(f"{name}_") and field != f"{name}_mm"):
                raise table.refused(field, f"the unit does not stand in this key's name: write {name}_mm")
    rule = MarkRule(
        full_within_mm=table.number("full_within_mm"),
        none_beyond_mm=table.number("none_beyond_mm"),
        false_mark_cost=table.number("false_mark_cost"),
        most_marks=table.whole("most_marks"),
        plausible_area_mm2=table.number("plausible_area_mm2"),
    )
    refuse_guessing(rule)
    return rule


def bench_rule(table: Table) -> BenchRule:
    return BenchRule(counts=table.text("counts"))


def level_said(example: Table) -> LevelSaid:
    table = example.table("said")
    said = LevelSaid(table.whole("level"), _names(table, "evidence"))
    table.close()
    return said


def choice_said(example: Table) -> ChoiceSaid:
    return example.texts("said")


def measure_said(example: Table) -> MeasureSaid:
    table = example.table("said")
    said = MeasureSaid(table.number("value"), table.text("of") if "of" in table else None)
    table.close()
    return said


def mark_said(example: Table) -> MarkSaid:
    table = example.table("said")
    said = MarkSaid(table.points("points_mm"))
    table.close()
    return said


def bench_said(example: Table) -> BenchSaid:
    table = example.table("said")
    notes = table.texts("notes") if "notes" in table else ()
    said = BenchSaid(table.number("met"), table.number("of"), notes)
    table.close()
    return said


def level_reference(table: Table) -> LevelReference:
    return LevelReference(table.whole("level"), _names(table, "evidence"))


def choice_reference(table: Table) -> ChoiceReference:
    partly = _shares(table.table("partly")) if "partly" in table else {}
    return ChoiceReference(frozenset(table.texts("best")), partly)


def measure_reference(table: Table) -> MeasureReference:
    return MeasureReference(table.number("value"), _names(table, "of"))


def mark_reference(table: Table) -> MarkReference:
    return MarkReference(table.points("points_mm"))


def bench_reference(table: Table) -> BenchReference:
    return BenchReference(table.text("expected"))


@dataclass(frozen=True)
class Entry:
    """How one kind's rule, answers and references are read."""

    rule: Callable[[Table], Rule]
    said: Callable[[Table], Said]
    reference: Callable[[Table], Reference]


ENTRIES: Mapping[str, Entry] = {
    "level": Entry(level_rule, level_said, level_reference),
    "choice": Entry(choice_rule, choice_said, choice_reference),
    "measure": Entry(measure_rule, measure_said, measure_reference),
    "mark": Entry(mark_rule, mark_said, mark_reference),
    "bench": Entry(bench_rule, bench_said, bench_reference),
    "order": Entry(order_rule, order_said, order_reference),
    "rank": Entry(order_rule, order_said, order_reference),
    "outline": Entry(outline_rule, outline_said, outline_reference),
    "written": Entry(written_rule, written_said, written_reference),
}


def _options(table: Table) -> Mapping[str, str] | Literal["case"]:
    options = table.take("options")
    if options == "case":
        return "case"
    if not isinstance(options, dict):
        raise table.refused("options", 'list the options as value = "wording", or write options = "case"')
    inner = Table(options, place=table.place, path="rule.options.")
    return {value: inner.text(value) for value in inner.fields()}


def _shares(table: Table) -> Mapping[str, float]:
    return {option: table.number(option) for option in table.fields()}


def _names(table: Table, field: str) -> frozenset[str]:
    return frozenset(table.texts(field)) if field in table else frozenset()
