"""From facts to levels: the worst rule met gives a factor's level, the criteria's case rule gives the case's."""

from dataclasses import dataclass

from casebank.difficulty.criteria import BandsRule, Criteria, Factor, Rule, WordsRule, with_unit
from casebank.difficulty.facts import Facts, Measured, Stated

COUNT_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True)
class FactorLevel:
    """One factor's level.

    Attributes
    ----------
    factor_id, word : str
    level : int
        From 1 up; `word` is the set's word for it.
    reason : str
        The facts that give the level, each with its number and method, and how sure the cell is.
    evidence : tuple of str
        Letters of findings, or where a measured fact was read.
    """

    factor_id: str
    level: int
    word: str
    reason: str
    evidence: tuple[str, ...]


@dataclass(frozen=True)
class Overall:
    """The case's level and the count that gives it."""

    level: int
    word: str
    reason: str


@dataclass(frozen=True)
class Judgement:
    """Every factor's level in the set's order, the case's, and the facts that nothing stated."""

    factors: tuple[FactorLevel, ...]
    overall: Overall
    silent: tuple[str, ...]

    def factor(self, factor_id: str) -> FactorLevel:
        """The level of one factor. KeyError with the ids there are, if it was not judged."""
        for factor in self.factors:
            if factor.factor_id == factor_id:
                return factor
        raise KeyError(f"no factor {factor_id}: judged were {', '.join(one.factor_id for one in self.factors)}")


@dataclass(frozen=True)
class _Reading:
    """What one rule makes of one fact."""

    level: int
    clause: str
    evidence: str


def judge(criteria: Criteria, facts: Facts) -> Judgement:
    """Judge a case.

    Parameters
    ----------
    criteria : Criteria
    facts : mapping of fact name to Stated or Measured
        A fact that a rule reads and that is missing counts at the lowest level and is listed as silent. Measured facts
        that no rule reads are passed over.

    Raises
    ------
    ValueError
        If a finding states a fact no rule reads, or a value or unit does not fit its rule.
    """
    known = criteria.rules
    for name, fact in facts.items():
        if isinstance(fact, Stated) and name not in known:
            raise ValueError(
                f"finding {fact.finding} states {name}, which no rule of {criteria.name} reads: "
                f"use one of {', '.join(known)}"
            )
    factors = tuple(_judge_factor(criteria, factor, facts) for factor in criteria.factors)
    return Judgement(
        factors=factors,
        overall=_judge_case(criteria, [factor.level for factor in factors]),
        silent=tuple(name for name in known if name not in facts),
    )


def _judge_factor(criteria: Criteria, factor: Factor, facts: Facts) -> FactorLevel:
    readings = [_read(rule, facts[rule.fact]) for rule in factor.rules if rule.fact in facts]
    silent = [rule.label for rule in factor.rules if rule.fact not in facts]
    level = max((reading.level for reading in readings), default=1)
    word, cell = criteria.word(level), factor.cells[level - 1]
    met = [reading for reading in readings if reading.level == level]
    parts = []
    if met:
        parts.append(f"{word.capitalize()} (cell {cell.status}): {'; '.join(reading.clause for reading in met)}.")
    if silent:
        parts.append(f"Nothing stated about {', '.join(silent)}{'' if met else f', so {word}'}.")
    evidence = tuple(dict.fromkeys(reading.evidence for reading in met))
    return FactorLevel(factor.id, level, word, " ".join(parts), evidence)


def _judge_case(criteria: Criteria, levels: list[int]) -> Overall:
    level = criteria.case_rule.level_of(levels)
    counted = [(levels.count(number), criteria.word(number)) for number in range(2, len(criteria.levels) + 1)]
    shown = [pair for pair in counted if pair[0]] or counted
    count = ", ".join(f"{COUNT_WORDS[n] if n < len(COUNT_WORDS) else n} {word}" for n, word in shown)
    word = criteria.word(level)
    return Overall(level, word, f"{count.capitalize()}: {word} under the {criteria.edition} rule.")


def _read(rule: Rule, fact: Stated | Measured) -> _Reading:
    try:
        level, said = _in_bands(rule, fact) if isinstance(rule, BandsRule) else _in_words(rule, fact)
    except ValueError as trouble:
        origin = f"finding {fact.finding}" if isinstance(fact, Stated) else fact.source
        raise ValueError(f"{origin}: {trouble}") from trouble
    if isinstance(fact, Stated):
        evidence, notes = fact.finding, [f"finding {fact.finding}"]
    else:
        evidence, notes = fact.source, [fact.method, fact.source]
    if rule.status:
        notes.append(f"bands: {rule.status}" if isinstance(rule, BandsRule) else f"values: {rule.status}")
    return _Reading(level, f"{rule.label} {said} ({'; '.join(notes)})", evidence)


def _in_bands(rule: BandsRule, fact: Stated | Measured) -> tuple[int, str]:
    if isinstance(fact.value, str):
        raise ValueError(f"{rule.fact} is {fact.value!r}: give a number in {rule.unit}")
    if isinstance(fact, Measured) and fact.unit != rule.unit:
        raise ValueError(f"{rule.fact} is given in {fact.unit}: give it in {rule.unit}")
    band = rule.band_of(fact.value)
    return band.level, f"{with_unit(f'{fact.value:.{rule.decimals}f}', rule.unit)}, {band.in_words(rule.unit)}"


def _in_words(rule: WordsRule, fact: Stated | Measured) -> tuple[int, str]:
    if isinstance(fact.value, float):
        raise ValueError(f"{rule.fact} is {fact.value}: give one of {', '.join(rule.levels)}")
    return rule.level_of(str(fact.value)), str(fact.value)
