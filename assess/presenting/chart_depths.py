"""How deep each move went, on the same upright scale as the canal, and the thinnest walls after each of them."""

from django.utils.translation import gettext as _

from assess.presenting.canal_chart import CanalChart, Column
from assess.presenting.chart_paper import TALL, TOP, WIDTH, drawing, path, words
from casebank.instruments.teaching import TEACHING

LEFT, RIGHT = 42.0, 412.0
WIDEST = 30.0  # of one move's column
WALL_TOP, WALL_TALL = TOP + TALL + 34.0, 70.0
FOOT = 34.0
WIDE_NUMBER = 22.0
HATCH = 9


def depths(chart: CanalChart) -> str:
    """The drawing as SVG. The same figures stand in the table of moves."""
    title = _("Depth reached by move in canal %(canal)s") % {"canal": chart.canal}
    harmful = [f"{one.number} ({one.harm})" for one in chart.columns if one.harm]
    said = _("%(count)d moves in their order; the table below has their figures.") % {"count": len(chart.columns)}
    if harmful:
        said = " ".join([said, _("Harm at moves %(moves)s.") % {"moves": ", ".join(harmful)}])
    lanes = Lanes(len(chart.columns))
    parts = [part for draw in (_paper, _moves, _harm, _walls, _numbers, _hits) for part in draw(chart, lanes)]
    return drawing(f"depths-{chart.canal}", title, said, WALL_TOP + WALL_TALL + FOOT, parts)


class Lanes:
    """Columns of equal width, one a move; places count from 1."""

    def __init__(self, count: int) -> None:
        self.pitch = min(WIDEST, (RIGHT - LEFT) / max(1, count))

    def x(self, place: int) -> float:
        """Middle of a move's column."""
        return LEFT + self.pitch * (place - 0.5)


def _paper(chart: CanalChart, lanes: Lanes) -> list[str]:
    paper, shape = chart.paper, chart.now.shape
    end, foramen = paper.y(shape.working_depth_mm), paper.y(shape.length_mm)
    marks, half = paper.marks(), lanes.pitch / 2
    here = f"M{lanes.x(chart.place) - half:.1f} {TOP}h{2 * half:.1f}V{WALL_TOP + WALL_TALL}h{-2 * half:.1f}z"
    return [
        path("chart-here", here) if chart.place else "",
        path("chart-grid", "".join(f"M{LEFT} {y:.1f}H{RIGHT}" for mm, y in marks if mm % 5 == 0)),
        *(words(LEFT - 8, y + 5, str(mm), "chart-end") for mm, y in marks if mm % 5 == 0),
        path("chart-level", f"M{LEFT} {TOP}H{RIGHT}M{LEFT} {foramen:.1f}H{RIGHT}"),
        path("chart-aim", f"M{LEFT} {end:.1f}H{RIGHT}"),
    ]


def _moves(chart: CanalChart, lanes: Lanes) -> list[str]:
    """Every move's line and its end, gathered by ink: those still to come are pale."""
    inks: dict[str, list[str]] = {}
    for place, one in enumerate(chart.columns, 1):
        later = " chart-later" if place > chart.place else ""
        x, y = lanes.x(place), chart.paper.y(one.tip_mm)
        for ink, way in _marks(one, x, y):
            inks.setdefault(ink + later, []).append(way)
    return [path(ink, "".join(ways)) for ink, ways in sorted(inks.items())]


def _marks(one: Column, x: float, y: float) -> list[tuple[str, str]]:
    if not one.entered:
        return [("chart-cross", f"M{x - 4:.1f} {TOP + 4}l8 8m0-8l-8 8")]
    line = f"M{x:.1f} {TOP}V{y:.1f}"
    arrow = f"M{x - 5:.1f} {y - 8:.1f}h10l-5 8z"
    if one.manner == "other":
        return [("chart-rinse", line), ("chart-open", f"M{x - 4:.1f} {y - 4:.1f}h8v8h-8z")]
    if one.manner == "rinse":
        return [("chart-rinse", line), ("chart-drop", f"M{x:.1f} {y - 9:.1f}q-6 9 0 9q6 0 0-9z")]
    if one.manner == "measure":
        return [("chart-measure", f"M{x:.1f} {TOP}V{y - 8:.1f}"), ("chart-open", arrow)]
    ink = "chart-engine" if one.manner == "engine" else "chart-hand"
    end = ("chart-arrow", arrow) if one.reached else ("chart-bar", f"M{x - 5:.1f} {y:.1f}h10")
    return [(ink, line), end]


def _harm(chart: CanalChart, lanes: Lanes) -> list[str]:
    """A pin above each harmful move with its number; where there is no room beside the last, above it."""
    drawn, last, raised = [], -WIDTH, False
    for place, one in enumerate(chart.columns, 1):
        if one.harm and place <= chart.place:
            x = lanes.x(place)
            raised = x - last < WIDE_NUMBER + 4 and not raised
            y, last = (10.0 if raised else 30.0), x
            drawn.append(path("chart-pin", f"M{x - 6:.1f} {y - 9:.1f}h12a9 9 0 0 1 0 18l-6 6l-6-6a9 9 0 0 1 0-18z"))
            drawn.append(words(x, y + 5, str(one.number), "chart-number"))
    return drawn


def _walls(chart: CanalChart, lanes: Lanes) -> list[str]:
    """Two lines that step down with each cut: the furcation's wall solid, the other dashed; thin walls are hatched."""
    most = max(*chart.thinnest_mm, 2 * TEACHING.thin_wall_mm)
    floor = WALL_TOP + WALL_TALL

    def y(wall_mm: float) -> float:
        return floor - wall_mm / most * WALL_TALL

    def stepping(first: float, walls: list[float]) -> str:
        half = lanes.pitch / 2
        return f"M{LEFT} {y(first):.1f}" + "".join(
            f"H{lanes.x(place):.1f}V{y(wall):.1f}h{half:.1f}" for place, wall in enumerate(walls, 1)
        )

    thin = y(TEACHING.thin_wall_mm)
    hatch = "".join(
        f"M{x:.0f} {floor}l{floor - thin:.1f} {thin - floor:.1f}" for x in range(int(LEFT), int(RIGHT) - 20, 9)
    )
    furcation, outer = chart.thinnest_mm
    said = _("Thinnest walls, mm: %(side)s solid")
    return [
        words(LEFT, WALL_TOP - 6, said % {"side": chart.sides.furcation}),
        path("chart-limit", f"M{LEFT} {thin:.1f}H{RIGHT}"),
        path("chart-hatch", hatch),
        path("chart-grid", f"M{LEFT} {floor}H{RIGHT}"),
        words(LEFT - 8, floor + 5, "0", "chart-end"),
        words(LEFT - 8, thin + 5, f"{TEACHING.thin_wall_mm:g}", "chart-end"),
        words(LEFT - 8, y(most) + 9, f"{most:.1f}", "chart-end"),
        path("chart-outer", stepping(outer, [one.outer_mm for one in chart.columns])),
        path("chart-wall", stepping(furcation, [one.furcation_mm for one in chart.columns])),
    ]


def _numbers(chart: CanalChart, lanes: Lanes) -> list[str]:
    """Words over the lines: the levels', and the moves' numbers, this one's and as many of the others as have room."""
    foramen = chart.paper.y(chart.now.shape.length_mm) + 17
    drawn = [words(RIGHT, foramen, _("foramen; dashed: working length"), "chart-small chart-end chart-halo")]
    every = max(1, int(-(-WIDE_NUMBER // lanes.pitch)))
    y = WALL_TOP + WALL_TALL + 18
    for place, one in enumerate(chart.columns, 1):
        x, here = lanes.x(place), place == chart.place
        if here:
            drawn.append(words(x, y, str(one.number), "chart-middle chart-word"))
        elif place % every == 1 % every and abs(x - lanes.x(chart.place or -99)) > WIDE_NUMBER:
            drawn.append(words(x, y, str(one.number), "chart-middle"))
    return drawn


def _hits(chart: CanalChart, lanes: Lanes) -> list[str]:
    """A column each that a pointer can hit; without script it does nothing, and keys have the control above."""
    wide, tall = lanes.pitch, WALL_TOP + WALL_TALL + FOOT - TOP
    return [
        f'<rect class="chart-hit" data-place="{place}" x="{lanes.x(place) - wide / 2:.1f}" y="{TOP}" '
        f'width="{wide:.1f}" height="{tall}"/>'
        for place in range(1, len(chart.columns) + 1)
    ]
