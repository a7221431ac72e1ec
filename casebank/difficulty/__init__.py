"""What makes a case hard: a published criteria set as data, the facts it asks for, and the level that follows."""

from casebank.difficulty.criteria import (
    Angle,
    Band,
    BandsRule,
    CaseRule,
    CaseStep,
    Cell,
    Criteria,
    Factor,
    Rule,
    WordsRule,
)
from casebank.difficulty.facts import Facts, Measured, Stated, measured_from, together
from casebank.difficulty.judge import FactorLevel, Judgement, Overall, judge
from casebank.difficulty.loading import bundled, load
from casebank.difficulty.tables import CriteriaError

__all__ = [
    "Angle",
    "Band",
    "BandsRule",
    "CaseRule",
    "CaseStep",
    "Cell",
    "Criteria",
    "CriteriaError",
    "Factor",
    "FactorLevel",
    "Facts",
    "Judgement",
    "Measured",
    "Overall",
    "Rule",
    "Stated",
    "WordsRule",
    "bundled",
    "judge",
    "load",
    "measured_from",
    "together",
]
