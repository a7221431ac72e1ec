"""From facts to levels: the worst rule met gives a factor's level, the criteria's case rule gives the case's."""

from dataclasses import dataclass

from casebank.difficulty.bands import with_unit
from casebank.difficulty.criteria import Criteria, Factor
from casebank.difficulty.facts import Facts, Measured, Stated
from casebank.difficulty.rules import BandsRule, Rule, WordsRule


@dataclass(frozen=True)
class FactorLevel:
    """One factor's level.

    Attributes
    ----------
    factor_id, word : str
    level : int
        From 1 up; `word` is the factor's word for it.
    reason : str
        The facts that give the level, each with its number and method, how sure the cell is, and how the set reads
        what its source leaves open.
    evidence : tuple of str
        Letters of findings, or where a measured fact was read.
    statuses : tuple of str
        How sure the cell and the rules that decide are, each once.
    """

    factor_id: str
    level: int
    word: str
    reason: str
    evidence: tuple[str, ...]
    statuses: tuple[str, ...]


@dataclass(frozen=True)
class Overall:
    """The case's level and the count, the points or the components that give it."""

    level: int
    word: str
    reason: str


@dataclass(frozen=True)
class PointsTotal:
    """The total of a set's points, what the set says of it, and how sure that is."""

    total: int
    says: str
    reason: str
    status: str


@dataclass(frozen=True)
class Judgement:
    """Every factor's level in the set's order, the case's, its points if any, and the facts that nothing stated."""

    factors: tuple[FactorLevel, ...]
    overall: Overall
    points: PointsTotal | None
    silent: tuple[str, ...]

    def factor(self, factor_id: str) -> FactorLevel:
        """The level of one factor. KeyError with the ids there are, if it was not judged."""
        for factor in self.factors:
            if factor.factor_id == factor_id:
                return factor
        raise KeyError(f"no factor {factor_id}: judged were {', '.join(one.factor_id for one in self.factors)}")


@dataclass(frozen=True)
class _Reading:
    """What one rule makes of one fact; `openly` says how the set reads what its source leaves open."""

    level: int
    clause: str
    evidence: str
    openly: tuple[str, ...]
    status: str | None


def judge(criteria: Criteria, facts: Facts) -> Judgement:
    """Judge a case.

    Parameters
    ----------
    criteria : Criteria
    facts : mapping of fact name to Stated or Measured
        A fact that a rule reads and that is missing counts at the lowest level and is listed as silent. Facts that no
        rule reads are passed over.

    Raises
    ------
    ValueError
        If a finding states a fact that the set's vocabulary does not have, or a value or unit does not fit.
    """
    for name, fact in facts.items():
        if isinstance(fact, Stated):
            _require_known(criteria, name, fact)
    factors = tuple(_judge_factor(factor, facts) for factor in criteria.factors)
    levels = {factor.factor_id: factor.level for factor in factors}
    return Judgement(
        factors=factors,
        overall=_judge_case(criteria, levels),
        points=_total(criteria, list(levels.values())),
        silent=tuple(name for name in criteria.facts if name not in facts),
    )


def _require_known(criteria: Criteria, name: str, fact: Stated) -> None:
    """A finding may state what this set does not read, as long as it is a fact with such a value."""
    known = criteria.vocabulary.get(name)
    if known is None:
        raise ValueError(
            f"finding {fact.finding} states {name}, which no rule of {criteria.name} reads and no other set knows: "
            f"use one of {', '.join(criteria.vocabulary)}"
        )
    if name not in criteria.facts and known.values and str(fact.value) not in known.values:
        raise ValueError(
            f"finding {fact.finding}: {name} cannot be {fact.value!r}: use one of {', '.join(known.values)}"
        )


def _judge_factor(factor: Factor, facts: Facts) -> FactorLevel:
    readings = [_read(rule, facts[rule.fact]) for rule in factor.rules if rule.fact in facts]
    silent = [rule.label for rule in factor.rules if rule.fact not in facts]
    level = max((reading.level for reading in readings), default=1)
    word, cell = factor.word(level), factor.cells[level - 1]
    met = [reading for reading in readings if reading.level == level]
    parts = []
    if met:
        parts.append(f"{word.capitalize()} (cell {cell.status}): {'; '.join(reading.clause for reading in met)}.")
        parts.extend(dict.fromkeys(said for reading in met for said in reading.openly))
    if silent:
        parts.append(f"Nothing stated about {', '.join(silent)}{'' if met else f', so {word}'}.")
    evidence = tuple(dict.fromkeys(reading.evidence for reading in met))
    statuses = dict.fromkeys([cell.status, *(reading.status for reading in met if reading.status)])
    return FactorLevel(factor.id, level, word, " ".join(parts), evidence, tuple(statuses))


def _judge_case(criteria: Criteria, levels: dict[str, int]) -> Overall:
    ruling = criteria.case_rule.rule_on(
        levels, criteria.levels, {factor.id: factor.label for factor in criteria.factors}
    )
    word = criteria.word(ruling.level)
    why = f"{ruling.why[:1].upper()}{ruling.why[1:]}: {word} under the {criteria.edition} rule."
    return Overall(ruling.level, word, " ".join((why, *ruling.notes)))


def _total(criteria: Criteria, levels: list[int]) -> PointsTotal | None:
    points = criteria.points
    if points is None:
        return None
    total = points.total(levels)
    band = points.band_of(total)
    each = ", ".join(f"{word} {worth}" for word, worth in zip(criteria.levels, points.each, strict=True))
    reason = f"{total} points over {len(levels)} factors ({each}), {band.in_words('points')}: {band.says}."
    return PointsTotal(total, band.says, reason, points.status)


def _read(rule: Rule, fact: Stated | Measured) -> _Reading:
    try:
        level, said, openly = _in_bands(rule, fact) if isinstance(rule, BandsRule) else _in_words(rule, fact)
    except ValueError as trouble:
        origin = f"finding {fact.finding}" if isinstance(fact, Stated) else fact.source
        raise ValueError(f"{origin}: {trouble}") from trouble
    if isinstance(fact, Stated):
        evidence, notes = fact.finding, [f"finding {fact.finding}"]
    else:
        evidence, notes = fact.source, [fact.method, fact.source]
    if rule.status:
        notes.append(f"bands: {rule.status}" if isinstance(rule, BandsRule) else f"values: {rule.status}")
    return _Reading(level, f"{rule.label} {said} ({'; '.join(notes)})", evidence, openly, rule.status)


def _in_bands(rule: BandsRule, fact: Stated | Measured) -> tuple[int, str, tuple[str, ...]]:
    if isinstance(fact.value, str):
        raise ValueError(f"{rule.fact} is {fact.value!r}: give a number in {rule.unit}")
    if isinstance(fact, Measured) and fact.unit != rule.unit:
        raise ValueError(f"{rule.fact} is given in {fact.unit}: give it in {rule.unit}")
    band = rule.band_of(fact.value)
    said = f"{with_unit(f'{fact.value:.{rule.decimals}f}', rule.unit)}, {band.in_words(rule.unit)}"
    return band.level, said, tuple(rule.read_openly(fact.value))


def _in_words(rule: WordsRule, fact: Stated | Measured) -> tuple[int, str, tuple[str, ...]]:
    if isinstance(fact.value, float):
        raise ValueError(f"{rule.fact} is {fact.value}: give one of {', '.join(rule.levels)}")
    return rule.level_of(str(fact.value)), str(fact.value), ()
