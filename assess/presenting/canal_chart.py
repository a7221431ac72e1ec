"""The chart of one canal after the case: its width before and after, how deep each move went; drawn and in figures."""

from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
from django.utils.translation import gettext as _

from assess.presenting.move_words import move_words
from casebank.instruments import Bench

LEFT, RIGHT, TOP, WIDTHS, GAP, REACHES = 56.0, 620.0, 34.0, 170.0, 74.0, 150.0
GROUNDS = {  # the page's own inks on a light and on a dark ground, as its style sheet has them
    "light": {"ink": "#13222a", "soft": "#465862", "edge": "#6d7f88", "you": "#0a5a68", "wash": "#dfeef0"},
    "dark": {"ink": "#e9eff1", "soft": "#b0bfc6", "edge": "#82959e", "you": "#7fd6e0", "wash": "#173a41"},
}
EVERY_MM = 1.0


@dataclass(frozen=True)
class Width:
    """Narrow diameter at one depth below the orifice, before and after, mm."""

    depth_mm: float
    natural_mm: float
    prepared_mm: float

    @property
    def depth(self) -> str:
        return f"{self.depth_mm:.1f}"

    @property
    def natural(self) -> str:
        return f"{self.natural_mm:.2f}"

    @property
    def prepared(self) -> str:
        return f"{self.prepared_mm:.2f}"


@dataclass(frozen=True)
class Reach:
    """How deep below the orifice one move took the tip, mm, and what harm it did."""

    number: int
    move: str
    felt: str
    depth_mm: float
    harm: str

    @property
    def depth(self) -> str:
        return f"{self.depth_mm:.1f}"


@dataclass(frozen=True)
class CanalChart:
    """One canal: its length from orifice to foramen, its widths and the reach of each move."""

    canal: str
    length_mm: float
    widths: tuple[Width, ...]
    reaches: tuple[Reach, ...]
    profile: tuple[Width, ...]


def canal_chart(bench: Bench, canal: str) -> CanalChart:
    """The chart of a canal of a replayed bench. ValueError if the tooth has no such canal."""
    record = bench.record_of(canal)
    shape, lumen = record.shape, record.lumen
    profile = tuple(
        Width(float(depth), float(natural), float(prepared))
        for depth, natural, prepared in zip(shape.levels_mm, shape.width_mm, lumen.width_mm, strict=True)
    )
    depths = [*np.arange(0, shape.length_mm, EVERY_MM), shape.length_mm]
    widths = tuple(
        Width(
            float(depth),
            float(np.interp(depth, shape.levels_mm, shape.width_mm)),
            float(np.interp(depth, shape.levels_mm, lumen.width_mm)),
        )
        for depth in depths
    )
    reaches = tuple(
        Reach(step.number, move_words(step.move), step.felt.words, step.reach.tip_mm, "; ".join(step.events))
        for step in record.steps
    )
    return CanalChart(canal, shape.length_mm, widths, reaches, profile)


def drawing(chart: CanalChart, ground: str = "light") -> str:
    """The chart as SVG, in the inks of a light or a dark ground. Its figures stand in a table beside it."""
    title = _("Canal %(canal)s: width over depth, and depth reached by move") % {"canal": chart.canal}
    bottom = TOP + WIDTHS + GAP + REACHES + 44
    inks = GROUNDS.get(ground, GROUNDS["light"])
    parts = [part % inks for part in (*_widths(chart), *_reaches(chart))]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 {bottom:g}" width="640" height="{bottom:g}" '
        f'role="img" font-family="sans-serif" font-size="13"><title>{escape(title)}</title>{"".join(parts)}</svg>'
    )


def _widths(chart: CanalChart) -> list[str]:
    most = float(np.ceil(max(width.prepared_mm for width in chart.profile) * 5)) / 5
    floor = TOP + WIDTHS

    def height(width_mm: float) -> float:
        return floor - width_mm / most * WIDTHS

    def place(depth_mm: float, width_mm: float) -> str:
        return f"{_across(depth_mm, chart.length_mm):.1f} {height(width_mm):.1f}"

    natural = "M" + "L".join(place(one.depth_mm, one.natural_mm) for one in chart.profile)
    prepared = "M" + "L".join(place(one.depth_mm, one.prepared_mm) for one in chart.profile)
    back = "L".join(place(one.depth_mm, one.natural_mm) for one in reversed(chart.profile))
    heights = [most * share / 4 for share in range(5)]
    return [
        _text(LEFT, TOP - 14, _("Narrow width, mm: before (dashed), after (solid)"), "start", "ink", weight=600),
        f'<path fill="%(wash)s" d="{prepared}L{back}Z"/>',
        *(_line(f"M{LEFT} {height(mm):.1f}H{RIGHT}", "edge", 0.5) for mm in heights),
        *(_text(LEFT - 6, height(mm) + 4, f"{mm:.2f}".rstrip("0").rstrip("."), "end") for mm in heights),
        *_depths(chart.length_mm, floor),
        _line(natural, "ink", 1.75, "6 4"),
        _line(prepared, "you", 2.5),
    ]


def _reaches(chart: CanalChart) -> list[str]:
    top, floor = TOP + WIDTHS + GAP, TOP + WIDTHS + GAP + REACHES
    deepest = max([chart.length_mm, *(reach.depth_mm for reach in chart.reaches)])
    count = max(1, len(chart.reaches))
    every = max(1, count // 10)

    def place(number: int) -> float:
        return LEFT + (RIGHT - LEFT) * (number - 0.5) / count

    def depth(mm: float) -> float:
        return top + mm / deepest * REACHES

    return [
        _text(LEFT, top - 14, _("Depth reached by move, mm below the orifice"), "start", "ink", weight=600),
        *(_line(f"M{LEFT} {depth(mm):.1f}H{RIGHT}", "edge", 0.5) for mm in range(0, int(deepest) + 1, 5)),
        *(_text(LEFT - 6, depth(mm) + 4, str(mm), "end") for mm in range(0, int(deepest) + 1, 5)),
        _line(f"M{LEFT} {depth(chart.length_mm):.1f}H{RIGHT}", "ink", 1.75, "6 4"),
        _text(LEFT, depth(chart.length_mm) + 16, _("foramen"), "start", "ink"),
        *(
            _line(f"M{place(number):.1f} {top}V{depth(reach.depth_mm):.1f}", "you", 1.5)
            for number, reach in enumerate(chart.reaches, 1)
        ),
        *(
            f'<circle fill="%(you)s" cx="{place(number):.1f}" cy="{depth(reach.depth_mm):.1f}" r="4"/>'
            for number, reach in enumerate(chart.reaches, 1)
        ),
        *(
            _text(place(number), floor + 22, str(reach.number), "middle")
            for number, reach in enumerate(chart.reaches, 1)
            if (number - 1) % every == 0
        ),
        _text(RIGHT, floor + 40, _("move"), "end"),
    ]


def _depths(length_mm: float, floor: float) -> list[str]:
    marks = range(0, int(length_mm) + 1, 2)
    return [
        _line("".join(f"M{_across(mm, length_mm):.1f} {floor}v6" for mm in marks), "edge", 1),
        *(_text(_across(mm, length_mm), floor + 22, str(mm), "middle") for mm in marks),
        _text(RIGHT, floor + 40, _("mm below the orifice; the foramen stands at the right end"), "end"),
    ]


def _across(depth_mm: float, length_mm: float) -> float:
    return LEFT + (RIGHT - LEFT) * depth_mm / length_mm


def _line(path: str, ink: str, wide: float, dash: str = "") -> str:
    """A line; its ink is filled in with the ground's."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path fill="none" stroke="%({ink})s" stroke-width="{wide:g}"{dashed} d="{path}"/>'


def _text(x: float, y: float, words: str, anchor: str, ink: str = "soft", weight: int = 400) -> str:
    said = escape(str(words)).replace("%", "%%")
    return f'<text fill="%({ink})s" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-weight="{weight}">{said}</text>'
