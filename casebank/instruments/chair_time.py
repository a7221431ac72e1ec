"""Time in the chair that a record took: minutes by kind of move, teaching choices loaded from `chair_time.toml`."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from casebank.instruments.moves import Move
from casebank.instruments.record import Step


@dataclass(frozen=True)
class Cost:
    """Minutes of one kind of move, and what each unit of one of its fields adds."""

    minutes: float
    meaning: str
    field: str = ""
    each: float = 0.0

    def __post_init__(self) -> None:
        for minutes in (self.minutes, self.each):
            if not 0 <= minutes <= 60:
                raise ValueError(f"{minutes} minutes are no time at a chair: give 0 to 60")

    def of(self, move: Move) -> float:
        """Minutes of one move."""
        return self.minutes + (self.each * float(getattr(move, self.field)) if self.field else 0.0)


@dataclass(frozen=True)
class ChairTime:
    """Minutes in the chair: findings asked for, further films, and the bench by kind of move."""

    findings: float
    films: float
    by_kind: Mapping[str, float]

    @property
    def bench(self) -> float:
        return sum(self.by_kind.values())

    @property
    def minutes(self) -> float:
        return self.findings + self.films + self.bench


def chair_time(steps: Iterable[Step], *, films: int = 0, finding_minutes: float = 0.0) -> ChairTime:
    """Time of a record, of so many further films, and of the findings asked for.

    A move that was refused, because a piece lies in the canal, takes no time.
    """
    if films < 0 or not 0 <= finding_minutes < float("inf"):
        raise ValueError("films and minutes of findings are counted from 0: correct the two")
    by_kind: dict[str, float] = {}
    for step in steps:
        if step.reach.hold != "refused":
            kind = step.move.kind
            by_kind[kind] = by_kind.get(kind, 0.0) + COSTS[kind].of(step.move)
    return ChairTime(finding_minutes, films * FILM.minutes, by_kind)


def parsed(table: Mapping[str, Any]) -> tuple[Cost, dict[str, Cost]]:
    """The cost of a film, and those of the moves by kind. ValueError, naming the entry, if one is malformed."""
    costs = {}
    for name, entry in (("film", table["film"]), *table["move"].items()):
        each = entry.get("each", {})
        plain = {key: value for key, value in entry.items() if key != "each"}
        try:
            costs[name] = Cost(**plain, field=each.get("field", ""), each=each.get("minutes", 0.0))
        except (TypeError, ValueError) as trouble:
            raise ValueError(f"chair time of {name}: {trouble}") from trouble
    return costs.pop("film"), costs


FILM, COSTS = parsed(tomllib.loads(Path(__file__).with_name("chair_time.toml").read_text(encoding="utf-8")))
