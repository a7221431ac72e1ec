"""The table of what a cohort agreed with: shares with their intervals, which way the rest departs, and unsafe steps."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from assess.log import Stage
from assess.presenting.naming import tooth_words
from assess.presenting.standing import STAGE_NAMES
from assess.presenting.unsafe_words import unsafe_words
from assess.reports import CaseFigures, ItemFigures
from assess.stats import LEAST_SHOWN, agreement
from casebank.sheets import Cell

SPAN = 200.0  # the rule's length in the drawing
FEW = 20  # below this an interval spans more than a third of the whole: teaching choice
ORDERS = {"asked": gettext_lazy("as it is asked"), "lowest": gettext_lazy("lowest agreement first")}
STAGES = tuple(stage for stage in Stage if stage is not Stage.COMPARE)


@dataclass(frozen=True)
class Chosen:
    """How a reader wants to see a table: one stage or all, and in which order."""

    stage: str
    order: str


@dataclass(frozen=True)
class ItemRow:
    """One item. `x`, `from_x` and `to_x` place share and interval on a rule from 0 to SPAN."""

    label: str
    stage: str
    n: int
    percent: int
    low: int
    high: int
    share: float
    few: bool
    x: float
    from_x: float
    to_x: float
    over: int
    under: int
    other: int
    silent: int
    agree: int


@dataclass(frozen=True)
class RowGroup:
    name: str
    rows: tuple[ItemRow, ...]


@dataclass(frozen=True)
class UnsafeRow:
    words: str
    attempts: int
    n: int


@dataclass(frozen=True)
class CaseTable:
    """One case of a table; `hidden` says why it has no figures, `left_out` what the figures are made without."""

    anchor: str
    title: str
    tooth: int
    tooth_words: str
    edition: str
    finished: int
    hidden: str
    left_out: str
    groups: tuple[RowGroup, ...]
    unsafe: tuple[UnsafeRow, ...]


def chosen_by(query: Mapping[str, str]) -> Chosen:
    """What an address asks for; what it cannot mean is passed over."""
    stage, order = query.get("stage", ""), query.get("order", "")
    return Chosen(stage if stage in [one.value for one in STAGES] else "", order if order in ORDERS else "asked")


def case_tables(figures: Sequence[CaseFigures], chosen: Chosen) -> list[CaseTable]:
    slugs = [one.slug for one in figures]
    return [_table(one, chosen, several=slugs.count(one.slug) > 1) for one in figures]


def sheet(tables: Sequence[CaseTable]) -> tuple[list[str], list[list[Cell]]]:
    """Header and rows of the same tables for a spreadsheet, and nothing that they do not show."""
    header = [
        *(_("case"), _("tooth"), _("edition"), _("group"), _("item"), _("n"), _("agree"), _("agree %")),
        *(_("interval from %"), _("interval to %"), _("over"), _("under"), _("other"), _("no answer")),
        *(_("unsafe in"), _("note")),
    ]
    rows: list[list[Cell]] = []
    for table in tables:
        case: list[Cell] = [table.title, table.tooth, table.edition]
        if table.hidden:
            rows.append([*case, *[None] * 12, table.hidden])
            continue
        for group in table.groups:
            for row in group.rows:
                figures = [row.n, row.agree, row.percent, row.low, row.high, row.over, row.under, row.other, row.silent]
                rows.append([*case, group.name or row.stage, row.label, *figures, None, _("few") if row.few else None])
        for one in table.unsafe:
            rows.append([*case, _("unsafe steps"), one.words, one.n, *[None] * 8, one.attempts, None])
    return header, rows


def _table(figures: CaseFigures, chosen: Chosen, *, several: bool) -> CaseTable:
    wanted = [one for one in figures.items if chosen.stage in ("", one.asked.stage)]
    return CaseTable(
        anchor=f"case-{figures.slug}-{figures.edition}",
        title=figures.title,
        tooth=figures.tooth,
        tooth_words=tooth_words(figures.tooth),
        edition=str(figures.edition) if several else "",
        finished=figures.finished,
        hidden="" if figures.finished else _("fewer than %(least)d finished: hidden") % {"least": LEAST_SHOWN},
        left_out=_left_out(figures),
        groups=_lowest_first(wanted) if chosen.order == "lowest" else _as_asked(wanted),
        unsafe=tuple(
            UnsafeRow(unsafe_words(one.rule, one.label), one.attempts, figures.finished) for one in figures.unsafe
        ),
    )


def _as_asked(items: Sequence[ItemFigures]) -> tuple[RowGroup, ...]:
    """Factors by the group their evidence is found in, then the rest by stage."""
    groups: dict[str, list[ItemRow]] = {}
    for one in items:
        words = _("Difficulty: %(group)s") % {"group": one.asked.group} if one.asked.group else _stage(one)
        groups.setdefault(words, []).append(_row(one))
    return tuple(RowGroup(name, tuple(rows)) for name, rows in groups.items())


def _lowest_first(items: Sequence[ItemFigures]) -> tuple[RowGroup, ...]:
    rows = sorted((_row(one) for one in items), key=lambda row: row.share)
    return (RowGroup("", tuple(rows)),) if rows else ()


def _row(one: ItemFigures) -> ItemRow:
    counts, found = one.counts, agreement(one.counts)
    if found is None:
        raise ValueError(f"{one.asked.item} was counted nowhere: leave it out")
    return ItemRow(
        label=one.asked.label,
        stage=_stage(one),
        n=found.n,
        percent=round(100 * found.share),
        low=round(100 * found.low),
        high=round(100 * found.high),
        share=found.share,
        few=found.n < FEW,
        x=round(SPAN * found.share, 1),
        from_x=round(SPAN * found.low, 1),
        to_x=round(SPAN * found.high, 1),
        over=counts.over,
        under=counts.under,
        other=counts.other,
        silent=counts.silent,
        agree=counts.agree,
    )


def _stage(one: ItemFigures) -> str:
    return str(STAGE_NAMES[Stage(one.asked.stage)])


def _left_out(figures: CaseFigures) -> str:
    """What a total is made without; a single group says so by being hidden itself."""
    if not figures.finished or not figures.left_out:
        return ""
    return ngettext(
        "Made without one assignment that fewer than %(least)d finished.",
        "Made without %(count)d assignments that fewer than %(least)d each finished.",
        figures.left_out,
    ) % {"count": figures.left_out, "least": LEAST_SHOWN}
