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
    Verdict,
)
from casebank.rubric.criterion import Criterion, Example, Reasons
from casebank.rubric.framework import Competency, Framework, bundled_framework, load_framework
from casebank.rubric.kinds import KINDS, check, compare
from casebank.rubric.rubric import Rubric, Task, bundled, bundled_names, disagreements, load
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule, MarkRule, MeasureRule
from casebank.rubric.table import RubricError

__all__ = [
    "KINDS",
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
    "MarkReference",
    "MarkRule",
    "MarkSaid",
    "MeasureReference",
    "MeasureRule",
    "MeasureSaid",
    "Reasons",
    "Reference",
    "Rubric",
    "RubricError",
    "Said",
    "Task",
    "Verdict",
    "bundled",
    "bundled_framework",
    "bundled_names",
    "check",
    "compare",
    "disagreements",
    "load",
    "load_framework",
]
