"""The facts that criteria may read, each with its unit or its values: one vocabulary for all sets.

A set may add facts of its own. Because every set gives a level to every value of a fact it reads, a case written for
one set can be judged under another.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from casebank.difficulty.tables import CriteriaError, Table


@dataclass(frozen=True)
class KnownFact:
    """A fact: a number in a unit, or one of some values; the other is empty."""

    name: str
    unit: str
    values: tuple[str, ...]


Vocabulary = Mapping[str, KnownFact]


@cache
def known_facts() -> Vocabulary:
    """The facts of `known_facts.toml`, by name."""
    file = resources.files("casebank.difficulty") / "known_facts.toml"
    return facts_in(Table(tomllib.loads(file.read_text(encoding="utf-8")), "known_facts"))


def facts_in(table: Table) -> dict[str, KnownFact]:
    """The facts of a table, each with `unit` or with `values`. CriteriaError if one has neither or both."""
    return {name: _fact(name, table.table(name)) for name in table.fields()}


def _fact(name: str, table: Table) -> KnownFact:
    if ("unit" in table) == ("values" in table):
        raise CriteriaError(f"{table.where}: give either unit, for a number, or values, for words")
    fact = KnownFact(name, table.text("unit"), ()) if "unit" in table else KnownFact(name, "", table.texts("values"))
    table.done()
    return fact
