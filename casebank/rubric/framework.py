"""A competency framework: what somebody who finishes a course can do, so that tasks can say what they exercise."""

import tomllib
from collections import Counter
from dataclasses import dataclass
from functools import cache
from importlib import resources

from casebank.rubric.table import RubricError, Table


@dataclass(frozen=True)
class Competency:
    """One competency: its id, the level that is expected, and its title."""

    id: str
    level: str
    title: str


@dataclass(frozen=True)
class Framework:
    """A set of competencies.

    Attributes
    ----------
    source, note : str
        What it was shaped after, and what in it is ours.
    levels : tuple of (id, wording)
        From the most that is expected to the least.
    """

    id: str
    title: str
    source: str
    note: str
    levels: tuple[tuple[str, str], ...]
    competencies: tuple[Competency, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(competency.id for competency in self.competencies)

    def wording(self, level: str) -> str:
        """A level in words. KeyError, with the levels there are, if there is no such level."""
        for name, words in self.levels:
            if name == level:
                return words
        raise KeyError(f"framework {self.id} has no level {level}: it has {', '.join(name for name, _ in self.levels)}")

    def require(self, ids: tuple[str, ...]) -> None:
        """ValueError, naming the first id that is repeated or that this framework does not have."""
        for competency in ids:
            if competency not in self.ids:
                raise ValueError(
                    f"{competency!r} is no competency of the framework {self.id}: use one of {', '.join(self.ids)}"
                )
        if len(set(ids)) != len(ids):
            raise ValueError("a competency is named twice: name each once")


@cache
def bundled_framework(name: str) -> Framework:
    """The framework of that name that comes with the program. ValueError, with the names there are, if none has it."""
    folder = resources.files("casebank.rubric") / "frameworks"
    names = sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))
    if name not in names:
        raise ValueError(f"there is no framework {name!r}: use one of {', '.join(names)}")
    return load_framework((folder / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml")


def load_framework(text: str, name: str) -> Framework:
    """The framework in a TOML text; `name` is what the messages call the file.

    Raises RubricError, a ValueError, that names file, competency and field and says what to do.
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise RubricError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    top = Table(content, place=name)
    levels = _levels(top)
    framework = Framework(
        id=top.text("id"),
        title=top.text("title"),
        source=top.text("source"),
        note=top.text("note"),
        levels=levels,
        competencies=tuple(
            _competency(table, tuple(level for level, _ in levels)) for table in top.tables("competency")
        ),
    )
    top.close()
    for identity, times in Counter(framework.ids).items():
        if times > 1:
            raise RubricError(f"{name}, competency {identity}, id: it stands {times} times: give each its own id")
    if not framework.competencies:
        raise top.refused("competency", "a framework needs at least one: add it")
    return framework


def _levels(top: Table) -> tuple[tuple[str, str], ...]:
    table = top.table("levels")
    levels = tuple((name, table.text(name)) for name in table.fields())
    if not levels:
        raise top.refused("levels", "no level: add at least one")
    return levels


def _competency(table: Table, levels: tuple[str, ...]) -> Competency:
    competency = Competency(id=table.text("id"), level=table.one_of("level", levels), title=table.text("title"))
    table.close()
    return competency
