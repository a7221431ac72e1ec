"""What makes a case hard: a published criteria set as data, the facts it asks for, and the level that follows."""

from casebank.difficulty.angles import AngleMethod, angle_methods
from casebank.difficulty.bands import Band, Gap
from casebank.difficulty.case_rules import CaseRule, CaseStep, Component, ComponentsRule, CountRule, Points, PointsRule
from casebank.difficulty.criteria import Angle, Cell, Criteria, Factor
from casebank.difficulty.facts import Facts, Measured, Stated, measured_from, together
from casebank.difficulty.judge import FactorLevel, Judgement, Overall, PointsTotal, judge
from casebank.difficulty.loading import load
from casebank.difficulty.rules import BandsRule, Rule, WordsRule
from casebank.difficulty.shelf import criteria_named, criteria_names, criteria_sets, use_folder
from casebank.difficulty.tables import CriteriaError
from casebank.difficulty.vocabulary import known_facts

__all__ = [
    "Angle",
    "AngleMethod",
    "Band",
    "BandsRule",
    "CaseRule",
    "CaseStep",
    "Cell",
    "Component",
    "ComponentsRule",
    "CountRule",
    "Criteria",
    "CriteriaError",
    "Factor",
    "FactorLevel",
    "Facts",
    "Gap",
    "Judgement",
    "Measured",
    "Overall",
    "Points",
    "PointsRule",
    "PointsTotal",
    "Rule",
    "Stated",
    "WordsRule",
    "angle_methods",
    "criteria_named",
    "criteria_names",
    "criteria_sets",
    "judge",
    "known_facts",
    "load",
    "measured_from",
    "together",
    "use_folder",
]
