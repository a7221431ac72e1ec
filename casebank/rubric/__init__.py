"""What is asked of a case, and how an answer is compared with its reference."""

from casebank.rubric.answers import (
    BenchReference,
    BenchSaid,
    ChoiceReference,
    ChoiceSaid,
    LevelReference,
    LevelSaid,
    MarkReference,
    MarkSaid,
    MeasureReference,
    MeasureSaid,
    Reference,
    Said,
)
from casebank.rubric.criterion import AXES, MAIN_AXIS, Axis, Criterion, Example, Reasons
from casebank.rubric.framework import Competency, Framework, bundled_framework, load_framework
from casebank.rubric.kinds import KINDS, check, compare
from casebank.rubric.licence import LIMITS, Licence, Limit, more_cautious, never_falls
from casebank.rubric.loading import bundled, bundled_names, load
from casebank.rubric.opening import OutlineReference, OutlineRule, OutlineSaid, WallLeft
from casebank.rubric.ordering import OrderReference, OrderRule, OrderSaid, order_in_words, unsafe_at_first
from casebank.rubric.reason import Line, WrittenReference, WrittenRule, WrittenSaid
from casebank.rubric.rubric import Rubric, Task, disagreements
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule, MarkRule, MeasureRule
from casebank.rubric.table import RubricError
from casebank.rubric.verdict import Verdict

__all__ = [
    "AXES",
    "KINDS",
    "LIMITS",
    "MAIN_AXIS",
    "Axis",
    "BenchReference",
    "BenchRule",
    "BenchSaid",
    "ChoiceReference",
    "ChoiceRule",
    "ChoiceSaid",
    "Competency",
    "Criterion",
    "Example",
    "Framework",
    "LevelReference",
    "LevelRule",
    "LevelSaid",
    "Licence",
    "Limit",
    "Line",
    "MarkReference",
    "MarkRule",
    "MarkSaid",
    "MeasureReference",
    "MeasureRule",
    "MeasureSaid",
    "OrderReference",
    "OrderRule",
    "OrderSaid",
    "OutlineReference",
    "OutlineRule",
    "OutlineSaid",
    "Reasons",
    "Reference",
    "Rubric",
    "RubricError",
    "Said",
    "Task",
    "Verdict",
    "WallLeft",
    "WrittenReference",
    "WrittenRule",
    "WrittenSaid",
    "bundled",
    "bundled_framework",
    "bundled_names",
    "check",
    "compare",
    "disagreements",
    "load",
    "load_framework",
    "more_cautious",
    "never_falls",
    "order_in_words",
    "unsafe_at_first",
]
