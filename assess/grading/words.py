"""Answers and references as a reader says them, with unit and place."""

from assess.grading.said import CannotTell
from casebank.rubric import (
    BenchReference,
    BenchSaid,
    ChoiceReference,
    ChoiceRule,
    LevelReference,
    LevelRule,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureRule,
    MeasureSaid,
    OrderReference,
    OrderRule,
    OrderSaid,
    OutlineReference,
    OutlineSaid,
    Task,
    WrittenReference,
    WrittenSaid,
    order_in_words,
)

UNIT_MARKS = {"deg": "°", "mm": " mm", "count": ""}


def in_words(task: Task, said: object) -> str:  # noqa: PLR0911 one return a kind
    """What was said to a task, or its reference; none reads as no answer."""
    rule = task.criterion.rule
    match said:
        case None:
            return "no answer"
        case CannotTell():
            return "cannot be told from these films"
        case tuple() if isinstance(rule, ChoiceRule):
            return "; ".join(rule.wording(option) for option in said)
        case ChoiceReference() if isinstance(rule, ChoiceRule):
            return "; ".join(rule.wording(option) for option in sorted(said.best))
        case LevelSaid() | LevelReference() if isinstance(rule, LevelRule):
            pins = f" ({', '.join(sorted(said.evidence))})" if said.evidence else ""
            return f"{rule.words[said.level - 1]}{pins}"
        case MeasureSaid() if isinstance(rule, MeasureRule):
            return _number(said.value, rule, said.of)
        case MeasureReference() if isinstance(rule, MeasureRule):
            return _number(said.value, rule, " or ".join(sorted(said.of)))
        case MarkSaid() | MarkReference():
            return "; ".join(_place(*point) for point in said.points_mm)
        case BenchSaid():
            return f"{said.met:g} of {said.of:g}"
        case BenchReference():
            return said.expected
        case _:
            return _made_in_words(task, said)


def _made_in_words(task: Task, said: object) -> str:
    """What was put in order, drawn or written."""
    match said:
        case OrderSaid() | OrderReference() if isinstance(task.criterion.rule, OrderRule):
            return order_in_words(task.criterion.rule, said)
        case OutlineSaid() | OutlineReference():
            return said.words
        case WrittenSaid():
            return said.text
        case WrittenReference():
            return said.model
        case _:
            raise TypeError(f"{task.id}: {type(said).__name__} has no words here")


def _number(value: float, rule: MeasureRule, of: str | None) -> str:
    number = f"{value:.1f}".removesuffix(".0") + UNIT_MARKS[rule.unit]
    return f"{number} for {of}" if of else number


def _place(right_mm: float, down_mm: float) -> str:
    across = f"{abs(right_mm):.1f} mm {'right' if right_mm >= 0 else 'left'}"
    return f"{across} and {abs(down_mm):.1f} mm {'below' if down_mm >= 0 else 'above'} the film's middle"
