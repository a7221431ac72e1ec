"""Factors of a criteria set from their tables: cells, and rules that read facts of the vocabulary."""

from types import MappingProxyType

from casebank.difficulty.bands import Band, Gap
from casebank.difficulty.criteria import STATUSES, Cell, Factor
from casebank.difficulty.rules import BandsRule, Rule, WordsRule
from casebank.difficulty.stretches import ends_of
from casebank.difficulty.tables import CriteriaError, Table
from casebank.difficulty.vocabulary import KnownFact, Vocabulary

Sources = dict[str, str]
Levels = tuple[str, ...]


def basis(table: Table, sources: Sources) -> tuple[str, str]:
    """Source, spelt out, and status of a table."""
    return sources[table.one_of("source", tuple(sources))], table.one_of("status", STATUSES)


def factor_from(
    table: Table, name: str, sources: Sources, levels: Levels, groups: tuple[str, ...], vocabulary: Vocabulary
) -> Factor:
    """A factor; `name` is what the file is called. A factor with `levels` has those words instead of the set's."""
    factor_id = table.text("id")
    table.where = f"{name}, factor {factor_id}"
    words = _own_words(table, len(levels)) if "levels" in table else levels
    label, group = table.text("label"), table.one_of("group", groups)
    rules = tuple(_rule(rule, sources, words, vocabulary) for rule in table.tables("rules", "rule"))
    highest = max(rule.highest for rule in rules)
    if highest == 1:
        raise CriteriaError(f"{table.where}: no rule gives more than {words[0]}: add one, or leave the factor out")
    facts = [rule.fact for rule in rules]
    if twice := next((fact for fact in facts if facts.count(fact) > 1), None):
        raise CriteriaError(f"{table.where}: fact {twice} stands twice: keep one of its rules")
    cells = table.table("cells")
    worded = max([highest, *(number for number, word in enumerate(words, 1) if word in cells)])
    factor = Factor(
        id=factor_id,
        label=label,
        group=group,
        words=words[:worded],
        cells=tuple(_cell(cells.table(word), sources) for word in words[:worded]),
        rules=rules,
    )
    cells.done()
    table.done()
    return factor


def _own_words(table: Table, most: int) -> Levels:
    words = table.texts("levels")
    if not 2 <= len(words) <= most:
        raise table.refuse("levels", f"{len(words)} words: give 2 to {most}, the lowest first")
    return words


def _cell(table: Table, sources: Sources) -> Cell:
    source, status = basis(table, sources)
    cell = Cell(table.text("wording"), source, status)
    table.done()
    return cell


def _rule(table: Table, sources: Sources, levels: Levels, vocabulary: Vocabulary) -> Rule:
    kind = table.one_of("kind", ("bands", "words"))
    source, status = basis(table, sources) if "source" in table or "status" in table else (None, None)
    name, label = table.text("fact"), table.text("label")
    if name not in vocabulary:
        raise table.refuse("fact", f"{name!r} is not known: use one of {', '.join(vocabulary)}, or add it under facts")
    fact = vocabulary[name]
    given = [(number, word) for number, word in enumerate(levels, 1) if word in table]
    if not given:
        raise CriteriaError(f"{table.where}: gives no level: add at least {levels[0]} and what counts as it")
    try:
        rule: Rule
        if kind == "bands":
            rule = _bands_rule(table, fact, label, given, source, status)
        else:
            rule = WordsRule(name, label, _values(table, fact, given), source, status)
    except CriteriaError:
        raise
    except ValueError as trouble:
        raise CriteriaError(f"{table.where}, {name}: {trouble}") from trouble
    table.done()
    return rule


def _bands_rule(
    table: Table,
    fact: KnownFact,
    label: str,
    given: list[tuple[int, str]],
    source: str | None,
    status: str | None,
) -> BandsRule:
    unit = table.text("unit")
    if unit != fact.unit:
        raise table.refuse("unit", f"{fact.name} is given in {fact.unit or 'words'}, not in {unit}: correct it")
    bands = sorted((_band(table.table(word), number) for number, word in given), key=lambda band: band.least)
    return BandsRule(
        fact=fact.name,
        label=label,
        unit=unit,
        bands=tuple(bands),
        decimals=table.whole("decimals", least=0) if "decimals" in table else 1,
        boundary=table.text_or_none("boundary"),
        gaps=tuple(_gap(gap) for gap in table.tables("gaps", "gap")) if "gaps" in table else (),
        source=source,
        status=status,
    )


def _band(table: Table, level: int) -> Band:
    least, least_counts, most, most_counts = ends_of(table)
    table.done()
    return Band(least, least_counts, most, most_counts, level=level)


def _gap(table: Table) -> Gap:
    least, least_counts, most, most_counts = ends_of(table)
    gap = Gap(least, least_counts, most, most_counts, says=table.text("says").rstrip("."))
    table.done()
    return gap


def _values(table: Table, fact: KnownFact, given: list[tuple[int, str]]) -> MappingProxyType[str, int]:
    """The level of each value of a fact: every one once, and no others."""
    values: dict[str, int] = {}
    for number, word in given:
        for value in table.texts(word):
            if value in values:
                raise table.refuse(word, f"{value!r} has a level already: let each value have one")
            if value not in fact.values:
                known = ", ".join(fact.values) or f"numbers in {fact.unit}"
                raise table.refuse(word, f"{fact.name} is never {value!r}: it has {known}")
            values[value] = number
    if without := [value for value in fact.values if value not in values]:
        raise CriteriaError(f"{table.where}, {fact.name}: no level for {', '.join(map(repr, without))}: give it one")
    return MappingProxyType(values)
