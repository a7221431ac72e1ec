"""From a table of the rubric's file to the values of what is told or drawn: an order, a reason, an opening."""

from typing import cast

from casebank.rubric.chance import GREATEST_GUESS_RATE
from casebank.rubric.opening import Band, OutlineReference, OutlineRule, OutlineSaid, Part, WallLeft
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid, random_order_credit
from casebank.rubric.reason import MARKERS, Line, Marker, WrittenReference, WrittenRule, WrittenSaid
from casebank.rubric.table import Table


def order_rule(table: Table) -> OrderRule:
    return OrderRule(
        items=_wordings(table, "items"),
        first=table.text("first"),
        last=table.text("last"),
        none_from=table.number("none_from"),
        unsafe_first=_wordings(table, "unsafe_first") if "unsafe_first" in table else {},
    )


def order_said(example: Table) -> OrderSaid:
    return OrderSaid(example.texts("said"))


def order_reference(table: Table) -> OrderReference:
    return OrderReference(tuple(frozenset(group) for group in table.groups("order")))


def refuse_guessed_order(rule: OrderRule, reference: OrderReference) -> None:
    """Raise ValueError if a random order earns too much, or what is unsafe at first leads the reference."""
    rate = random_order_credit(rule, reference)
    if rate > GREATEST_GUESS_RATE + 1e-12:
        raise ValueError(
            f"a random order earns {100 * rate:.0f} % of the credit, more than "
            f"{100 * GREATEST_GUESS_RATE:.0f} %: add items, part the groups, or lower none_from"
        )
    if unsafe := sorted(reference.groups[0] & set(rule.unsafe_first)):
        raise ValueError(f"{unsafe[0]} is unsafe at first and leads the reference: correct one of the two")


def written_rule(table: Table) -> WrittenRule:
    return WrittenRule(tuple(_line(line) for line in table.tables("line")), table.whole("most_letters"))


def written_said(example: Table) -> WrittenSaid:
    table = example.table("said")
    met = frozenset(table.texts("met")) if "met" in table else frozenset[str]()
    by = cast("Marker", table.one_of("by", MARKERS)) if "by" in table else None
    said = WrittenSaid(table.text("text"), met, by)
    table.close()
    return said


def written_reference(table: Table) -> WrittenReference:
    return WrittenReference(table.text("model"))


def outline_rule(table: Table) -> OutlineRule:
    return OutlineRule(
        reach=_band(table, "reach", "full_within_deg", "none_beyond_deg"),
        removed=_band(table, "removed", "full_within_of_need", "none_beyond_of_need"),
        crown_wall=_band(table, "crown_wall", "full_from_mm", "none_below_mm"),
        root_wall=_band(table, "root_wall", "full_from_mm", "none_below_mm"),
        roof=_band(table, "roof", "full_within_of_roof", "none_beyond_of_roof"),
    )


def outline_said(example: Table) -> OutlineSaid:
    table = example.table("said")
    unsafe = table.texts("unsafe") if "unsafe" in table else ()
    leans, missed, walls = _leans(table), _missed(table), _walls(table)
    said = OutlineSaid(
        leans_deg=leans, missed=missed, walls=walls, unsafe=unsafe,
        need_mm3=table.number("need_mm3"), beyond_mm3=table.number("beyond_mm3"),
        roof_left_mm2=table.number("roof_left_mm2"), roof_mm2=table.number("roof_mm2"),
    )  # fmt: skip
    table.close()
    return said


def outline_reference(table: Table) -> OutlineReference:
    leans, missed, walls = _leans(table), _missed(table), _walls(table)
    return OutlineReference(
        leans_deg=leans, missed=missed, walls=walls,
        need_mm3=table.number("need_mm3"), beyond_mm3=table.number("beyond_mm3"),
        roof_left_mm2=table.number("roof_left_mm2"), roof_mm2=table.number("roof_mm2"),
    )  # fmt: skip


def _band(table: Table, name: str, full: str, none: str) -> Band:
    inner = table.table(name)
    for wanted in (full, none):
        plain = wanted.rpartition("_of_")[0] or wanted.rpartition("_")[0]
        for field in inner.fields():
            if field.startswith(plain) and field != wanted:
                raise inner.refused(field, f"the unit does not stand in this key's name: write {wanted}")
    band = Band(share=inner.number("share"), full=inner.number(full), none=inner.number(none))
    inner.close()
    return band


def _line(table: Table) -> Line:
    line = Line(table.text("id"), table.text("label"), table.text("counts"), table.whole("points"))
    table.close()
    return line


def _leans(table: Table) -> dict[str, float]:
    inner = table.table("leans_deg")
    return {canal: inner.number(canal) for canal in inner.fields()}


def _missed(table: Table) -> frozenset[str]:
    return frozenset(table.texts("missed")) if "missed" in table else frozenset()


def _walls(table: Table) -> tuple[WallLeft, ...]:
    return tuple(_wall(wall) for wall in table.tables("walls")) if "walls" in table else ()


def _wall(table: Table) -> WallLeft:
    wall = WallLeft(cast("Part", table.text("part")), table.number("thick_mm"), table.text("side"))
    table.close()
    return wall


def _wordings(table: Table, field: str) -> dict[str, str]:
    inner = table.table(field)
    return {value: inner.text(value) for value in inner.fields()}
