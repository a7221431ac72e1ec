"""The bench as the hand knows it: canals with what was felt in them, the tray, and the log in tactile words.

Only what a move made felt is taken from the bench. Where a tip really was, and why, waits for Compare.
"""

from dataclasses import dataclass

from assess.log import Measured, Stage, State
from assess.presenting.move_words import move_words
from assess.presenting.tray import InHand, ToolPlace, tray
from casebank.instruments import Bench, Step

RULE_MM = 26  # the rule beside a canal; longer readings stand at its end
NO_INSTRUMENT = ("irrigate", "medicate", "seal_canal")  # what is carried in and leaves no tip standing


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
    tray: tuple[ToolPlace, ...]
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
    return Benchside(
        canals=tuple(_canal(name, name == in_hand, rows, state) for name in bench.canals),
        canal=in_hand,
        answer=answer,
        tray=tray(stage, state.moves, InHand(in_hand, kind, typed, trouble)),
        log=tuple(reversed(rows)),
    )


def _row(step: Step) -> LogRow:
    at_mm = "" if step.felt.at_mm is None else f"{step.felt.at_mm:.1f}"
    return LogRow(step.number, step.canal, step.move.kind, move_words(step.move), step.felt.words, at_mm)


def _canal(name: str, current: bool, rows: list[LogRow], state: State) -> CanalSide:
    own = [row for row in rows if row.canal == name]
    at_mm = next((row.at_mm for row in reversed(own) if row.at_mm and row.kind not in NO_INSTRUMENT), "")
    settled = state.answers.get(f"working-length.{name}")
    length_mm = f"{settled.value:.1f}" if isinstance(settled, Measured) and settled.value is not None else ""
    return CanalSide(name, current, len(own), at_mm, length_mm, _y(at_mm), _y(length_mm))


def _y(mm: str) -> float | None:
    return round(8 + 10 * min(max(float(mm), 0), RULE_MM), 1) if mm else None
