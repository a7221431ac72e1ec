"""Orders and written reasons laid beside their reference, once it may be seen."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from assess.models import Attempt
from casebank.rubric import Line, OrderReference, OrderRule, WrittenRule


@dataclass(frozen=True)
class Placed:
    """One place of an order: what was put there and where the reference has it, and what the reference has here.

    `agrees` says that the place is one of those the reference has for it.
    """

    place: int
    said: str
    meant: str
    agrees: bool
    reference: str
    either: str


@dataclass(frozen=True)
class Marked:
    """One line of a written reason: whether its author found it met, and a tutor; none as long as none has marked."""

    line: Line
    met: bool
    by_tutor: bool | None = None


@dataclass(frozen=True)
class TutorsMarks:
    """A tutor's marks of one written reason, as they stand: which lines, whose and when."""

    met: frozenset[str]
    tutor: str
    at: datetime


@dataclass(frozen=True)
class Words:
    """A written reason as it was marked. Points are of those there are; a tutor's change no percent."""

    task: str
    anchor: str
    lines: tuple[Marked, ...]
    tutor: TutorsMarks | None

    @property
    def whole(self) -> int:
        return sum(one.line.points for one in self.lines)

    @property
    def by_author(self) -> int:
        return sum(one.line.points for one in self.lines if one.met)

    @property
    def by_tutor(self) -> int:
        return sum(one.line.points for one in self.lines if one.by_tutor)


def places_beside(rule: OrderRule, said: Sequence[str], reference: OrderReference) -> tuple[Placed, ...]:
    """An order and its reference, place by place. Items that may stand either way share their places.

    Examples
    --------
    >>> rule = OrderRule({"a": "A", "b": "B", "c": "C"})
    >>> keyed = OrderReference((frozenset("a"), frozenset("bc")))
    >>> [(one.said, one.meant, one.agrees, one.reference) for one in places_beside(rule, ("b", "a", "c"), keyed)]
    [('B', '2 or 3', False, 'A'), ('A', '1', False, 'B'), ('C', '2 or 3', True, 'C')]
    """
    spans: dict[str, range] = {}
    listed: list[str] = []
    for group in reference.groups:
        span = range(len(listed) + 1, len(listed) + len(group) + 1)
        spans |= dict.fromkeys(group, span)
        listed += [item for item in rule.items if item in group]
    rows = []
    for place, item in enumerate(listed, 1):
        own = said[place - 1] if place <= len(said) else None
        rows.append(
            Placed(
                place=place,
                said=rule.items[own] if own else "",
                meant=_places(spans[own]) if own else "",
                agrees=own is not None and place in spans[own],
                reference=rule.items[item],
                either=_places(spans[item]) if len(spans[item]) > 1 else "",
            )
        )
    return tuple(rows)


def words_marked(rule: WrittenRule, task: str, met: Collection[str], tutor: TutorsMarks | None) -> Words:
    lines = tuple(Marked(line, line.id in met, line.id in tutor.met if tutor else None) for line in rule.lines)
    return Words(task=task, anchor=f"w-{task.replace('.', '-')}", lines=lines, tutor=tutor)


def tutors_marks(attempt: Attempt) -> dict[str, TutorsMarks]:
    """The marks that stand of each reason written in an attempt, by task."""
    standing = attempt.words_marked.standing().select_related("marked_by")
    return {one.task: TutorsMarks(frozenset(one.met), one.marked_by.username, one.marked_at) for one in standing}


def _places(span: range) -> str:
    if len(span) == 1:
        return str(span[0])
    between = _("%(first)d or %(last)d") if len(span) == 2 else _("%(first)d to %(last)d")
    return between % {"first": span[0], "last": span[-1]}
