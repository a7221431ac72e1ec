"""The tray as it lies before a student: the tools of a stage, set as they were set last and never otherwise."""

from collections.abc import Mapping
from dataclasses import dataclass

from assess.log import Stage
from assess.presenting.benches import Moves
from assess.presenting.tool_parts import Figure, Part, Pick, Place, Tick, Tool
from assess.presenting.tools import TRAYS
from casebank.instruments import TAPERS, colour_of

OF_ONE_CANAL = ("to_mm", "depth_mm")  # a length is not carried over into another canal


@dataclass(frozen=True)
class InHand:
    """A canal, and the move that is in hand there: the kind, and, if it was refused, what was typed and why."""

    canal: str
    kind: str = ""
    typed: Mapping[str, str] | None = None
    trouble: str = ""


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
class ToolPart:
    """One line of a tool: things to pick from, or numbers with what stands in them, or a box to tick."""

    pick: Pick | None = None
    options: tuple[Cell, ...] = ()
    figures: tuple[tuple[Figure, str], ...] = ()
    tick: Tick | None = None
    ticked: bool = False


@dataclass(frozen=True)
class ToolForm:
    """One kind of move: what can be set, and what this student set last; a length only if it was in the same canal."""

    tool: Tool
    open: bool
    sizes: tuple[ToolSize, ...]
    tapers: tuple[str, ...]
    parts: tuple[ToolPart, ...]
    trouble: str = ""

    @property
    def kind(self) -> str:
        return self.tool.kind


@dataclass(frozen=True)
class ToolPlace:
    """Tools that lie together, under one heading."""

    name: str
    tools: tuple[ToolForm, ...]


def tray(stage: Stage, moves: Moves, in_hand: InHand) -> tuple[ToolPlace, ...]:
    """The tools of a stage, place by place; the one in hand, or else the one that was used last, lies open."""
    taken = in_hand.kind or (moves[-1][1].kind if moves else "")

    def laid_out(place: Place) -> ToolPlace:
        tools = (_tool(tool, moves, in_hand, is_open=tool.kind == taken) for tool in place.tools)
        return ToolPlace(str(place.name), tuple(tools))

    return tuple(laid_out(place) for place in TRAYS.get(stage, ()))


def _tool(tool: Tool, moves: Moves, in_hand: InHand, *, is_open: bool) -> ToolForm:
    refused = tool.kind == in_hand.kind
    typed = in_hand.typed if refused else None
    last = typed if typed is not None else _last(tool.kind, in_hand.canal, moves)
    return ToolForm(
        tool=tool,
        open=is_open,
        sizes=tuple(_size(tool.kind, size, last) for size in tool.sizes),
        tapers=tuple(f"{taper:.2f}" for taper in TAPERS),
        parts=tuple(_part(part, last) for part in tool.parts),
        trouble=in_hand.trouble if refused else "",
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


def _part(part: Part, last: Mapping[str, str]) -> ToolPart:
    match part:
        case Pick():
            return ToolPart(pick=part, options=_options(part, last))
        case Tick():
            return ToolPart(tick=part, ticked=part.name in last)
        case _:
            return ToolPart(figures=tuple((figure, last.get(figure.name, "")) for figure in part))


def _options(pick: Pick, last: Mapping[str, str]) -> tuple[Cell, ...]:
    """What there is to pick; the empty value is the one that was picked if a move was made without any."""
    picked = last.get(pick.name, "") if last else None
    return tuple(Cell(value, str(words), value == picked) for value, words in pick.options)


def _last(kind: str, canal: str, moves: Moves) -> dict[str, str]:
    """What was set in the last move of this kind, as its form sends it; a length only if it was in this canal."""
    for where, move in reversed(moves):
        if move.kind == kind:
            kept = {
                name: _plain(value) for name, value in vars(move).items() if value is not None and value is not False
            }
            if where != canal:
                kept = {name: value for name, value in kept.items() if name not in OF_ONE_CANAL}
            if "taper" in kept:
                kept["taper"] = f"{float(kept['taper']):.2f}"
            if kind == "engine_file":
                kept["file"] = f"{kept['size']}/{kept['taper']}"
            return kept
    return {}


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
