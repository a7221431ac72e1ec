"""The words beside a canal's drawing, each with a line to its place, none over another; harm has its moves' numbers."""

from collections.abc import Callable

from assess.presenting.canal_chart import CanalChart
from assess.presenting.chart_marks import Mark
from assess.presenting.chart_paper import TALL, TOP, path, words

LINE_X, WORDS_X = 288.0, 298.0
APART = 20.0
PIN_HALF = 9.0


def labels(x: Callable[[float, int], float], chart: CanalChart) -> list[str]:
    """Words of every mark. `x` gives where the canal's middle or wall is at a depth."""
    drawn = []
    for mark, y in zip(chart.marks, heights([chart.paper.y(mark.depth_mm) for mark in chart.marks]), strict=True):
        at = chart.paper.y(mark.depth_mm)
        ink = "chart-lead chart-lead-harm" if mark.is_harm else "chart-lead"
        drawn.append(path(ink, f"M{x(mark.depth_mm, mark.side):.1f} {at:.1f}L{LINE_X} {y:.1f}h6"))
        drawn += _pinned(mark, y) if mark.is_harm else [words(WORDS_X, y + 5, mark.word, "chart-word")]
    return drawn


def heights(wanted: list[float]) -> list[float]:
    """Heights near those wanted, in their order, far enough apart and on the paper as long as there is room."""
    placed: list[float] = []
    for y in wanted:
        placed.append(max(y, placed[-1] + APART) if placed else y)
    floor = TOP + TALL
    for place in range(len(placed) - 1, -1, -1):
        placed[place] = min(placed[place], floor)
        floor = placed[place] - APART
    return placed


def _pinned(mark: Mark, y: float) -> list[str]:
    """A numbered pin, then the word; more than one move is told by a plus."""
    number = str(mark.numbers[0]) + ("+" if len(mark.numbers) > 1 else "")
    wide = max(2 * PIN_HALF, 9.0 * len(number) + 8)
    flat = wide - 2 * PIN_HALF
    pin = f"M{WORDS_X + PIN_HALF:.1f} {y - PIN_HALF:.1f}h{flat:.1f}a9 9 0 0 1 0 18h{-flat:.1f}a9 9 0 0 1 0-18z"
    return [
        path("chart-pin", pin),
        words(WORDS_X + wide / 2, y + 5, number, "chart-number"),
        words(WORDS_X + wide + 5, y + 5, mark.word, "chart-word chart-harm"),
    ]
