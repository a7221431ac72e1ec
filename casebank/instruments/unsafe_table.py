"""The table of unsafe acts, loaded once from `unsafe_rules.toml`: words, reason and basis of each, by its id."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

COMMON = "common practice, no source"
CHOICE = "teaching choice"
BASES = ("source", COMMON, CHOICE)


@dataclass(frozen=True)
class UnsafeRule:
    """What makes an act unsafe.

    Attributes
    ----------
    id : str
    words, reason : str
        The act in a table's row, and why it is unsafe in one sentence.
    basis : str
        "source", "common practice, no source" or "teaching choice".
    source : str
        Named where the basis is a source.
    task, options : str, tuple of str
        Of a rule about an answer: the rubric's criterion, and the options that break the rule.
    """

    id: str
    words: str
    reason: str
    basis: str
    source: str = ""
    task: str = ""
    options: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise ValueError(f"unsafe rule {self.id}: a basis of {self.basis!r} is none of {', '.join(BASES)}")
        if (self.basis == "source") != bool(self.source):
            raise ValueError(f"unsafe rule {self.id}: name a source where the basis is a source, and only there")
        if bool(self.task) != bool(self.options):
            raise ValueError(f"unsafe rule {self.id}: a task needs the options that break the rule, and they need it")
        if not (self.words and self.reason.endswith(".")):
            raise ValueError(f"unsafe rule {self.id}: give it words, and a reason that ends with a full stop")

    @property
    def rests_on(self) -> str:
        """What the rule rests on, as it is shown."""
        return self.source or self.basis


def parsed(table: Mapping[str, Any]) -> Mapping[str, UnsafeRule]:
    """Rules by id. ValueError, naming the rule, if an entry is malformed or an id stands twice."""
    rules: dict[str, UnsafeRule] = {}
    for entry in table.get("rule", ()):
        name = entry.get("id", "without an id")
        try:
            rule = UnsafeRule(**{**entry, "options": tuple(entry.get("options", ()))})
        except TypeError as trouble:
            raise ValueError(f"unsafe rule {name}: {trouble}") from trouble
        if rule.id in rules:
            raise ValueError(f"unsafe rule {rule.id} stands twice: remove one")
        rules[rule.id] = rule
    return MappingProxyType(rules)


def _loaded() -> Mapping[str, UnsafeRule]:
    return parsed(tomllib.loads(Path(__file__).with_name("unsafe_rules.toml").read_text(encoding="utf-8")))


UNSAFE_RULES = _loaded()
