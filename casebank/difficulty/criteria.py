"""A criteria set: factors, the cells that word their levels, the rules that give a level, and the rule for the case.

Levels are whole numbers from 1 up; the set supplies their words, and a factor may have words of its own.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from casebank.difficulty.angles import AngleMethod
from casebank.difficulty.case_rules import CaseRule, Points
from casebank.difficulty.rules import Rule
from casebank.difficulty.vocabulary import Vocabulary

STATUSES = ("verified", "from memory", "teaching choice")


@dataclass(frozen=True)
class Cell:
    """How one level of a factor reads, where that comes from, and how sure it is (one of STATUSES)."""

    wording: str
    source: str
    status: str


@dataclass(frozen=True)
class Factor:
    """One thing that can make a case hard: `cells[0]` and `words[0]` are of level 1; the worst rule met decides."""

    id: str
    label: str
    group: str
    words: tuple[str, ...]
    cells: tuple[Cell, ...]
    rules: tuple[Rule, ...]

    def word(self, level: int) -> str:
        """The word for a level from 1 up."""
        return self.words[level - 1]


@dataclass(frozen=True)
class Angle:
    """How the curvature these criteria ask for is measured, and on which canal and film."""

    method: AngleMethod
    construction: str
    taken_on: str
    source: str
    status: str


@dataclass(frozen=True)
class Criteria:
    """One body's published difficulty criteria in one edition; sources are spelt out wherever one is named.

    `vocabulary` holds every fact that a finding may state under this set; `sha256` is that of the file's text.
    """

    name: str
    title: str
    body: str
    edition: str
    levels: tuple[str, ...]
    groups: tuple[str, ...]
    angle: Angle
    case_rule: CaseRule
    points: Points | None
    factors: tuple[Factor, ...]
    vocabulary: Vocabulary
    sha256: str

    def word(self, level: int) -> str:
        """The set's word for a level from 1 up."""
        return self.levels[level - 1]

    def factor(self, factor_id: str) -> Factor:
        """The factor of that id. KeyError with the ids there are, if it has none."""
        for factor in self.factors:
            if factor.id == factor_id:
                return factor
        raise KeyError(f"no factor {factor_id}: this set has {', '.join(factor.id for factor in self.factors)}")

    @property
    def facts(self) -> tuple[str, ...]:
        """Every fact that a rule reads, once, in the set's order."""
        return tuple(dict.fromkeys(rule.fact for factor in self.factors for rule in factor.rules))

    def rules_reading(self, fact: str) -> tuple[Rule, ...]:
        """The rules that read a fact, at most one a factor."""
        return tuple(rule for factor in self.factors for rule in factor.rules if rule.fact == fact)

    @property
    def level_words(self) -> Mapping[str | None, tuple[str, ...]]:
        """The words of the levels by factor; by None those of the whole case."""
        return {None: self.levels} | {factor.id: factor.words for factor in self.factors}
