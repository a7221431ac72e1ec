"""A canal in its root, drawn along its length: walls and lumen as they were and as they are, and what stands in it.

The upright scale is true; bends are true to it; widths and walls are drawn larger, and the drawing says how much. The
rule beside it has the answered working length as a solid pointer and the reference as an open bracket.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from django.utils.translation import gettext as _

from assess.presenting.canal_chart import CanalChart, Tool
from assess.presenting.chart_labels import labels
from assess.presenting.chart_marks import watched
from assess.presenting.chart_paper import TALL, TOP, Line, along, between, drawing, path, words
from casebank.instruments.teaching import TEACHING

RULE_X, ROOT_LEFT, ROOT_RIGHT = 40.0, 72.0, 280.0
MOST_ENLARGED = 3.0
FOOT = 14.0
MUD_DOTS = 6  # across the canal where mud fills it


@dataclass(frozen=True)
class Section:
    """Where everything stands on the paper: heights of the levels, and the edges of root and canal."""

    chart: CanalChart

    @cached_property
    def y(self) -> Line:
        return TOP + self.chart.now.shape.levels_mm * self.chart.paper.px_per_mm

    @cached_property
    def middle(self) -> Line:
        """The canal's first centre line, bent as in the plane of the drawing and as upright as it can be, px."""
        shape = self.chart.now.shape
        turned = np.cumsum(shape.bend_furcation_per_mm) * shape.step_mm
        aside = -np.cumsum(np.sin(turned - turned.mean())) * shape.step_mm
        return np.asarray((aside - (aside.max() + aside.min()) / 2) * self.chart.paper.px_per_mm)

    @cached_property
    def px_per_mm(self) -> float:
        """Scale of widths and walls: as large as the paper lets it be."""
        shape = self.chart.now.shape
        room = ROOT_RIGHT - ROOT_LEFT - float(np.ptp(self.middle))
        across = float((shape.width_mm + shape.furcation_mm + shape.outer_mm).max())
        return min(MOST_ENLARGED * self.chart.paper.px_per_mm, max(room, 60.0) / across)

    @property
    def enlarged(self) -> float:
        return self.px_per_mm / self.chart.paper.px_per_mm

    @cached_property
    def root(self) -> tuple[Line, Line]:
        shape = self.chart.now.shape
        left = self.middle - self.px_per_mm * (np.maximum(shape.furcation_mm, 0.0) + shape.width_mm / 2)
        right = self.middle + self.px_per_mm * (np.maximum(shape.outer_mm, 0.0) + shape.width_mm / 2)
        shift = (ROOT_LEFT + ROOT_RIGHT - float(left.min()) - float(right.max())) / 2
        return left + shift, right + shift

    @cached_property
    def was(self) -> tuple[Line, Line]:
        shape = self.chart.now.shape
        return self._inside(shape.furcation_mm, shape.outer_mm)

    @cached_property
    def now(self) -> tuple[Line, Line]:
        return self._inside(self.chart.now.furcation_mm, self.chart.now.outer_mm)

    def _inside(self, furcation_mm: Line, outer_mm: Line) -> tuple[Line, Line]:
        left, right = self.root
        return left + self.px_per_mm * np.maximum(furcation_mm, 0.0), right - self.px_per_mm * np.maximum(outer_mm, 0.0)

    def x(self, depth_mm: float, side: int) -> float:
        """The canal's middle at a depth, or its wall on one side."""
        left, right = (float(np.interp(depth_mm, self.chart.now.shape.levels_mm, edge)) for edge in self.now)
        return {-1: left, 0: (left + right) / 2, 1: right}[side]


def section(chart: CanalChart) -> str:
    """The drawing as SVG. What it names stands in a list beside it, its figures in a table."""
    on = Section(chart)
    title = _("Canal %(canal)s in its root") % {"canal": chart.canal}
    if chart.columns:
        title = _("Canal %(canal)s in its root, after %(place)d of %(count)d moves") % {
            "canal": chart.canal,
            "place": chart.place,
            "count": len(chart.columns),
        }
    said = " ".join(f"{chart.paper.at(mark.depth_mm):.1f} mm: {mark.sentence}" for mark in chart.marks)
    parts = [*_rule(chart), *_root(on), *_canal(on), *_inside(on), *labels(on.x, chart)]
    return drawing(f"section-{chart.canal}", title, said, TOP + TALL + FOOT, parts)


def enlarged(chart: CanalChart) -> str:
    """How much larger widths are drawn than lengths, as a figure."""
    return f"{Section(chart).enlarged:.1f}"


def _rule(chart: CanalChart) -> list[str]:
    paper, end_mm = chart.paper, chart.now.shape.working_depth_mm
    marks = paper.marks()
    foot = TOP + TALL
    upper, lower = (paper.y(end_mm + off) for off in (-TEACHING.terminus_tolerance_mm, TEACHING.terminus_tolerance_mm))
    return [
        words(4, 18, _("mm from the cusp"), "chart-small"),
        path("chart-rule", f"M{RULE_X} {TOP}V{foot}" + "".join(f"M{RULE_X} {y:.1f}h{_tick(mm)}" for mm, y in marks)),
        *(words(RULE_X - 16, y + 5, str(mm), "chart-end") for mm, y in marks if mm % 5 == 0),
        path("chart-ref", f"M54 {upper:.1f}h7V{lower:.1f}h-7"),
        path("chart-you", _pointer(paper.y(chart.said_mm - chart.paper.cusp_to_orifice_mm)))
        if chart.said_mm is not None and abs(chart.said_mm - paper.at(end_mm)) < TALL / paper.px_per_mm
        else "",
    ]


def _tick(mm: int) -> int:
    return 11 if mm % 5 == 0 else 6


def _pointer(y: float) -> str:
    return f"M{RULE_X - 1} {min(max(y, TOP), TOP + TALL):.1f}l-12-6v12z"


def _root(on: Section) -> list[str]:
    (left, right), (near, far), (was_near, was_far) = on.root, on.now, on.was
    shape, sides = on.chart.now.shape, on.chart.sides
    thin = [
        f"M{root[i]:.1f} {on.y[i]:.1f}H{edge[i]:.1f}"
        for wall, root, edge in ((on.chart.now.furcation_mm, left, near), (on.chart.now.outer_mm, right, far))
        for i in np.flatnonzero(wall[watched(on.chart.now)] < TEACHING.thin_wall_mm)[::2]
    ]
    foramen = on.chart.paper.y(shape.length_mm)
    return [
        words(ROOT_LEFT, TOP - 10, sides.furcation, "chart-small"),
        words(ROOT_RIGHT, TOP - 10, sides.outer, "chart-small chart-end"),
        path("chart-dentine", between(left, near, on.y) + between(far, right, on.y)),
        path("chart-taken", between(was_near, near, on.y) + between(far, was_far, on.y)),
        path("chart-thin", "".join(thin)),
        path("chart-root", along(left, on.y) + along(right, on.y)),
        path(
            "chart-level", f"M{ROOT_LEFT - 10} {TOP}H{ROOT_RIGHT + 10}M{ROOT_LEFT - 10} {foramen:.1f}H{ROOT_RIGHT + 10}"
        ),
    ]


def _canal(on: Section) -> list[str]:
    (near, far), (was_near, was_far) = on.now, on.was
    dots = []
    share = on.chart.now.packed_mm3 / on.chart.now.cell_mm3
    for i in np.flatnonzero(share > TEACHING.mud_share)[::2]:
        count = max(1, round(float(share[i]) * MUD_DOTS))
        places = (np.arange(count) + 0.5 + (int(i) // 2 % 2 - 0.5) * 0.4) / count
        dots += [f"M{near[i] + (far[i] - near[i]) * place:.1f} {on.y[i]:.1f}h0" for place in places]
    return [
        path("chart-was", along(was_near, on.y) + along(was_far, on.y)),
        path("chart-now", along(near, on.y) + along(far, on.y)),
        path("chart-mud", "".join(dots)),
    ]


def _inside(on: Section) -> list[str]:
    """What stands or lies in the canal: the instrument of this move, the prepared end, notches, a fragment."""
    now, paper = on.chart.now, on.chart.paper
    drawn = [_filling(on, now.contents.fill.end_mm)] if now.contents.fill else []
    if on.chart.tool:
        drawn.append(_tool(on, on.chart.tool))
    if now.terminus:
        y = paper.y(now.terminus.at_mm)
        left, right = (on.x(now.terminus.at_mm, side) for side in (-1, 1))
        drawn.append(path("chart-stop", f"M{left - 9:.1f} {y:.1f}H{right + 9:.1f}"))
    for notch in now.notches:
        side = 1 if np.interp(notch.at_mm, now.shape.levels_mm, now.shape.toward_furcation) >= 0 else -1
        deep = max(6.0, notch.depth_mm * on.px_per_mm) * side
        drawn.append(
            path(
                "chart-notch",
                f"M{on.x(notch.at_mm, side):.1f} {paper.y(notch.at_mm) - 5:.1f}l{deep:.1f} 5l{-deep:.1f} 5z",
            )
        )
    if now.fragment:
        piece_mm = np.linspace(
            now.fragment.top_mm, min(now.fragment.top_mm + TEACHING.fragment_mm, now.shape.length_mm), 13
        )
        across = np.array([on.x(float(mm), 0) for mm in piece_mm]) + np.resize([3.0, -3.0], 13)
        drawn.append(path("chart-piece", along(across, TOP + piece_mm * paper.px_per_mm)))
    return drawn


def _filling(on: Section, end_mm: float) -> str:
    filled = on.chart.now.shape.levels_mm <= end_mm
    near, far = on.now
    return path("chart-fill", between(near[filled], far[filled], on.y[filled])) if filled.any() else ""


def _tool(on: Section, tool: Tool) -> str:
    """An instrument by its own widths, in the middle of the canal; a needle has one width."""
    levels = on.chart.now.shape.levels_mm
    at_mm = np.r_[levels[levels < tool.tip_mm], tool.tip_mm]
    wide_mm = np.full_like(at_mm, tool.needle_mm)
    if tool.instrument:
        wide_mm = tool.instrument.diameters_mm(tool.tip_mm - at_mm)
    near, far = on.now
    middle = np.interp(at_mm, levels, (near + far) / 2)
    half = wide_mm * on.px_per_mm / 2
    return path("chart-tool", between(middle - half, middle + half, TOP + at_mm * on.chart.paper.px_per_mm))
