"""Stepping through one canal's moves: which one an address asks for, what it was, and its neighbours."""

from collections.abc import Mapping
from dataclasses import dataclass

from assess.presenting.canal_chart import CanalChart, Column
from assess.presenting.move_truth import Truth, truth
from casebank.instruments import Record


@dataclass(frozen=True)
class Stepping:
    """One place among a canal's moves; place 0 is before the first. Numbers are those of the whole bench log."""

    place: int
    count: int
    numbers: tuple[int, ...]
    move: Column | None
    truth: Truth | None

    @property
    def number(self) -> int:
        return self.numbers[self.place]

    @property
    def previous(self) -> int | None:
        return self.numbers[self.place - 1] if self.place else None

    @property
    def next(self) -> int | None:
        return self.numbers[self.place + 1] if self.place < self.count else None


def place_asked(record: Record, asked: Mapping[str, str]) -> int:
    """The place that `move=12`, a number of the whole log, or `place=5`, one of this canal's, asks for; else the last.

    A number of another canal's move gives the canal as it stood then.
    """
    count = len(record.steps)
    number, place = _whole(asked.get("move", "")), _whole(asked.get("place", ""))
    if number is not None:
        return sum(step.number <= number for step in record.steps)
    return count if place is None else min(place, count)


def stepping(record: Record, chart: CanalChart) -> Stepping:
    place = chart.place
    return Stepping(
        place=place,
        count=len(record.steps),
        numbers=(0, *(step.number for step in record.steps)),
        move=chart.columns[place - 1] if place else None,
        truth=truth(record.steps[place - 1], chart.sides) if place else None,
    )


def _whole(said: str) -> int | None:
    return int(said) if said.isascii() and said.isdecimal() and len(said) < 9 else None
