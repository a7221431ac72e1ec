"""The factors of difficulty as they are asked, grouped by where their evidence is found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from assess.log import Levelled, State
from assess.presenting.chart import Pin, pins
from casebank.casefile import Document
from casebank.difficulty import Factor, criteria_named

FACTOR_TASK = "difficulty-levels"


@dataclass(frozen=True)
class LevelOption:
    """One level of a factor: its word, how it reads in the criteria, and how sure that wording is."""

    level: int
    word: str
    wording: str
    doubt: str
    chosen: bool


@dataclass(frozen=True)
class AskedFactor:
    """One factor as it stands: `first_open` for the first that has no level yet."""

    task: str
    anchor: str
    number: int
    label: str
    levels: tuple[LevelOption, ...]
    pins: tuple[tuple[Pin, bool], ...]
    confidence: str
    level: int
    word: str
    first_open: bool = False
    next_anchor: str = ""
    trouble: str = ""

    @property
    def cited(self) -> tuple[Pin, ...]:
        return tuple(pin for pin, chosen in self.pins if chosen)


@dataclass(frozen=True)
class Group:
    name: str
    factors: tuple[AskedFactor, ...]


@dataclass(frozen=True)
class Weighing:
    """Every factor by group; `done` of `whole` have a level; the criteria's name; how a bend is measured."""

    groups: tuple[Group, ...]
    done: int
    whole: int
    criteria: str
    angle: str

    @property
    def factors(self) -> tuple[AskedFactor, ...]:
        return tuple(factor for group in self.groups for factor in group.factors)


def weighing(document: Document, state: State, troubles: Mapping[str, str] | None = None) -> Weighing:
    criteria = criteria_named(document.criteria)
    citable = pins(document, state)
    in_order = [factor for group in criteria.groups for factor in criteria.factors if factor.group == group]
    asked = [_asked(number, factor, state, citable) for number, factor in enumerate(in_order, 1)]
    first = next((factor.task for factor in asked if not factor.level), "")
    following = [*(factor.anchor for factor in asked[1:]), "whole"]
    asked = [
        replace(one, first_open=one.task == first, next_anchor=after, trouble=(troubles or {}).get(one.task, ""))
        for one, after in zip(asked, following, strict=True)
    ]
    groups = tuple(
        Group(name, tuple(one for one, factor in zip(asked, in_order, strict=True) if factor.group == name))
        for name in criteria.groups
    )
    return Weighing(
        groups=groups,
        done=sum(bool(factor.level) for factor in asked),
        whole=len(asked),
        criteria=f"{criteria.title}, {criteria.body}, {criteria.edition}",
        angle=f"{criteria.angle.method.id}: {criteria.angle.taken_on}",
    )


def _asked(number: int, factor: Factor, state: State, citable: Sequence[Pin]) -> AskedFactor:
    task = f"{FACTOR_TASK}.{factor.id}"
    answer = state.answers.get(task)
    said = answer if isinstance(answer, Levelled) else None
    level = said.level if said else 0
    evidence = said.evidence if said else ()
    return AskedFactor(
        task=task,
        anchor=f"f-{factor.id}",
        number=number,
        label=factor.label,
        levels=tuple(
            LevelOption(n, factor.word(n), cell.wording, "" if cell.status == "verified" else cell.status, n == level)
            for n, cell in enumerate(factor.cells, 1)
        ),
        pins=tuple((pin, pin.value in evidence) for pin in citable),
        confidence=(said.confidence or "") if said else "",
        level=level,
        word=factor.word(level) if level else "",
    )
