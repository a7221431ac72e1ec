"""The bench as the hand knows it: canals with what was felt in them, the tray, and the log in tactile words.

Only what a move made felt is taken from the bench. Where a tip really was, and why, waits for Compare.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext_lazy

from assess.log import Measured, Stage, State
from assess.presenting.benches import Moves
from assess.presenting.move_words import SOLUTIONS, move_words
from casebank.instruments import ENGINE_SIZES, SIZES, TAPERS, Bench, Step, colour_of
from casebank.instruments.iso3630 import FLARE_SIZE
from casebank.instruments.moves import GAUGE_SIZES, LENGTH_SIZES, RECAPITULATION_SIZES

LARGEST_ON_TRAY = 60
RULE_MM = 26  # the rule beside a canal; longer readings stand at its end
KINDS = {
    Stage.SHAPE: (
        "hand_file",
        "coronal_flare",
        "engine_file",
        "irrigate",
        "recapitulate",
        "read_length",
        "gauge",
        "fit_cone",
    ),
    Stage.FILL: ("fit_cone", "irrigate", "recapitulate"),
}

TOOLS = {
    "hand_file": gettext_lazy("Hand file"),
    "coronal_flare": gettext_lazy("Coronal flare"),
    "engine_file": gettext_lazy("Engine file"),
    "irrigate": gettext_lazy("Irrigate"),
    "recapitulate": gettext_lazy("Recapitulate"),
    "read_length": gettext_lazy("Read the length"),
    "gauge": gettext_lazy("Gauge"),
    "fit_cone": gettext_lazy("Try a cone"),
}
TOOL_SIZES: dict[str, tuple[int, ...]] = {
    "hand_file": tuple(size for size in SIZES if size <= LARGEST_ON_TRAY),
    "coronal_flare": (FLARE_SIZE,),
    "engine_file": ENGINE_SIZES,
    "irrigate": (),
    "recapitulate": RECAPITULATION_SIZES,
    "read_length": LENGTH_SIZES,
    "gauge": tuple(size for size in GAUGE_SIZES if size <= LARGEST_ON_TRAY),
    "fit_cone": tuple(size for size in SIZES if 15 <= size <= LARGEST_ON_TRAY),
}


@dataclass(frozen=True)
class Cell:
    """One engine file: tip and taper."""

    value: str
    label: str
    chosen: bool


@dataclass(frozen=True)
class ToolSize:
    """A size with its handle's colour; for engine files one cell a taper."""

    size: int
    label: str
    colour: str
    chosen: bool
    cells: tuple[Cell, ...] = ()


@dataclass(frozen=True)
class ToolForm:
    """One kind of move: what can be set, and what this student set last; a length only if it was in the same canal."""

    kind: str
    name: str
    open: bool
    sizes: tuple[ToolSize, ...]
    tapers: tuple[str, ...]
    last: dict[str, str]
    trouble: str = ""


@dataclass(frozen=True)
class LogRow:
    number: int
    canal: str
    kind: str
    move: str
    felt: str
    at_mm: str


@dataclass(frozen=True)
class CanalSide:
    """One canal on its upright rule; y runs from 8 at the cusp."""

    name: str
    current: bool
    moves: int
    at_mm: str
    length_mm: str
    at_y: float | None
    length_y: float | None


@dataclass(frozen=True)
class Benchside:
    canals: tuple[CanalSide, ...]
    canal: str
    answer: LogRow | None
    tools: tuple[ToolForm, ...]
    solutions: tuple[tuple[str, str], ...]
    log: tuple[LogRow, ...]


def benchside(
    bench: Bench,
    state: State,
    stage: Stage,
    *,
    canal: str = "",
    kind: str = "",
    typed: dict[str, str] | None = None,
    trouble: str = "",
) -> Benchside:
    """What stands at the bench, with `canal` in hand; `kind`, `typed` and `trouble` are of a move that was refused."""
    rows = [_row(step) for step in bench.record]
    in_hand = canal if canal in bench.canals else rows[-1].canal if rows else bench.canals[0]
    answer = next((row for row in reversed(rows) if row.canal == in_hand), None)
    used = state.moves[-1][1].kind if state.moves else ""
    return Benchside(
        canals=tuple(_canal(name, name == in_hand, rows, state) for name in bench.canals),
        canal=in_hand,
        answer=answer,
        tools=tuple(
            _tool(
                one,
                in_hand,
                state.moves,
                one == (kind or used),
                typed if one == kind else None,
                trouble if one == kind else "",
            )
            for one in KINDS.get(stage, ())
        ),
        solutions=tuple((value, str(words)) for value, words in SOLUTIONS.items()),
        log=tuple(reversed(rows)),
    )


def _row(step: Step) -> LogRow:
    at_mm = "" if step.felt.at_mm is None else f"{step.felt.at_mm:.1f}"
    return LogRow(step.number, step.canal, step.move.kind, move_words(step.move), step.felt.words, at_mm)


def _canal(name: str, current: bool, rows: list[LogRow], state: State) -> CanalSide:
    own = [row for row in rows if row.canal == name]
    at_mm = next((row.at_mm for row in reversed(own) if row.at_mm and row.kind != "irrigate"), "")
    settled = state.answers.get(f"working-length.{name}")
    length_mm = f"{settled.value:.1f}" if isinstance(settled, Measured) else ""
    return CanalSide(name, current, len(own), at_mm, length_mm, _y(at_mm), _y(length_mm))


def _y(mm: str) -> float | None:
    return round(8 + 10 * min(max(float(mm), 0), RULE_MM), 1) if mm else None


def _tool(kind: str, canal: str, moves: Moves, is_open: bool, typed: dict[str, str] | None, trouble: str) -> ToolForm:
    last = typed if typed is not None else _last(kind, canal, moves)
    return ToolForm(
        kind=kind,
        name=str(TOOLS[kind]),
        open=is_open,
        sizes=tuple(_size(kind, size, last) for size in TOOL_SIZES[kind]),
        tapers=tuple(f"{taper:.2f}" for taper in TAPERS),
        last=last,
        trouble=trouble,
    )


def _size(kind: str, size: int, last: Mapping[str, str]) -> ToolSize:
    cells: tuple[Cell, ...] = ()
    if kind == "engine_file":
        cells = tuple(
            Cell(value, f"{size:02d}/.{round(taper * 100):02d}", last.get("file") == value)
            for taper in TAPERS
            for value in (f"{size}/{taper:.2f}",)
        )
    return ToolSize(size, f"{size:02d}", colour_of(size), last.get("size") == str(size), cells)


def _last(kind: str, canal: str, moves: Moves) -> dict[str, str]:
    """What was set in the last move of this kind; the length only if it was in this canal."""
    for where, move in reversed(moves):
        if move.kind == kind:
            kept = {name: _plain(value) for name, value in vars(move).items() if value is not None}
            if where != canal:
                kept.pop("to_mm", None)
                kept.pop("depth_mm", None)
            if kind == "engine_file":
                kept["file"] = f"{kept['size']}/{float(kept['taper']):.2f}"
            if kind == "fit_cone":
                kept["taper"] = f"{float(kept['taper']):.2f}"
            return kept
    return {}


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
