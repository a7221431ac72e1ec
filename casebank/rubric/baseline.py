"""What guessing earns at a task: a frozen table of constant answers for a rubric, beside random answers to this case.

A grade is a pure function of document and log, so the constant strategy cannot be fitted while grading: it is fitted
once, on a stated population, and kept as `baselines/<rubric id>-<version>.toml`. What a random answer earns needs no
table: it follows from the document. A table that was published never changes without a new `edition`, which every
grade names; `python -m fixtures.baselines` writes it anew.

The table is fitted on all cases there are, those it is used for among them. The robots that test it are fitted on one
half of the authored cases and scored on the other, so that what they earn is no memory; the table knows more than they
do, and skill is understated rather than overstated.
"""

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Literal, cast, get_args

from casebank.rubric.answers import LevelSaid, Reference, Said
from casebank.rubric.entries import ENTRIES
from casebank.rubric.kinds import compare
from casebank.rubric.rubric import Rubric, Task
from casebank.rubric.rules import LevelRule
from casebank.rubric.skill import Guess
from casebank.rubric.skill_random import Setting, random_credit
from casebank.rubric.table import RubricError, Table

SCHEMA = 1
Way = Literal["cannot tell", "moves at random"]
CANNOT_TELL: Way = "cannot tell"
"""That the films do not show it: the same in every case, so a constant answer too."""
MOVES_AT_RANDOM: Way = "moves at random"
"""At the bench: whoever moves at all meets some of what is looked for."""
WAYS: tuple[Way, ...] = get_args(Way)


@dataclass(frozen=True)
class Row:
    """What is always said to one criterion, or to one factor of the difficulty, and its mean credit.

    A way is compared with films or with the bench, not with a reference: only its mean counts.
    """

    said: Said | Way
    mean: float


@dataclass(frozen=True)
class Baseline:
    """A table of constant answers.

    Attributes
    ----------
    rubric : str
        Id and version of the rubric it answers.
    edition : int
        Counted from 1; 0 where a rubric has no table, so that only random answers are corrected for.
    population : str
        The cases it was fitted on, in a sentence.
    rows : mapping of criterion or task id to Row
    sha256 : str
        Of the file's text.
    """

    rubric: str
    edition: int
    population: str
    rows: Mapping[str, Row]
    sha256: str

    def guess(self, task: Task, reference: Reference, setting: Setting) -> Guess | None:
        """What guessing earns at a task; None for a kind of comparison whose guess nobody has worked out.

        Where the table has no answer a guesser answers at random.
        """
        at_random = random_credit(task.criterion, reference, setting)
        if at_random is None:
            return None
        row = self.rows.get(row_of(task)) or self.rows.get(task.criterion.id)
        if row is None or not _can_be_said(task, row.said):
            return Guess(at_random, at_random, at_random)
        if row.said == MOVES_AT_RANDOM:
            return Guess(row.mean, row.mean, row.mean)
        here = row.mean if row.said == CANNOT_TELL else compare(task.criterion, row.said, reference).credit
        return Guess(row.mean, here, at_random)


def _can_be_said(task: Task, said: Said | Literal["cannot tell"]) -> bool:
    """Whether a constant answer can be one here: the criteria of a case may know fewer levels than those it was for."""
    return not (isinstance(said, LevelSaid) and isinstance(rule := task.criterion.rule, LevelRule)) or (
        said.level in rule.levels
    )


def row_of(task: Task) -> str:
    """The row a task is found in: factors are asked alike in every case, canals are not."""
    return task.id if task.criterion.per == "factor" else task.criterion.id


def baseline_for(rubric: Rubric) -> Baseline:
    """The table that comes with the program for a rubric; an empty one where there is none."""
    if rubric.sha256 not in _READ:
        _READ[rubric.sha256] = _bundled(rubric)
    return _READ[rubric.sha256]


_READ: dict[str, Baseline] = {}  # by the rubric's own text: a process reads each table once


def _bundled(rubric: Rubric) -> Baseline:
    name = table_name(rubric)
    found = resources.files("casebank.rubric") / "baselines" / name
    if not found.is_file():
        return Baseline(f"{rubric.id} {rubric.version}", 0, "No case: only random answers are corrected for.", {}, "")
    return load_baseline(found.read_text(encoding="utf-8"), name, rubric)


def table_name(rubric: Rubric) -> str:
    """The file a rubric's table is kept in.

    >>> from casebank.rubric import bundled
    >>> table_name(bundled("treatment-path"))
    'treatment-path-2.toml'
    """
    return f"{rubric.id}-{rubric.version}.toml"


def load_baseline(text: str, name: str, rubric: Rubric) -> Baseline:
    """The table in a TOML text; `name` is what the messages call the file.

    Raises RubricError, a ValueError, that names file and field and says what to do.
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise RubricError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    top = Table(content, place=name)
    if (schema := top.whole("schema")) != SCHEMA:
        raise top.refused("schema", f"{schema} is not the schema this program reads: fit the table anew")
    answers = f"{top.text('rubric')} {top.whole('version')}"
    if answers != f"{rubric.id} {rubric.version}":
        raise top.refused("rubric", f"it answers {answers}, not {rubric.id} {rubric.version}: fit the table anew")
    edition, population = top.whole("edition"), top.text("population")
    if edition < 1:
        raise top.refused("edition", f"{edition} is no edition: count from 1")
    rows = dict(_row(table, rubric) for table in top.tables("row"))
    top.close()
    return Baseline(answers, edition, population, rows, hashlib.sha256(text.encode()).hexdigest())


def _row(table: Table, rubric: Rubric) -> tuple[str, Row]:
    identity, mean = table.text("id"), table.number("mean")
    try:
        criterion = rubric.criterion(identity)
    except KeyError as trouble:
        raise table.refused("id", f"{trouble.args[0]}: fit the table anew") from trouble
    if not 0 <= mean <= 1:
        raise table.refused("mean", f"{mean:g} is no mean credit: it lies between 0 and 1")
    if criterion.kind not in ENTRIES:
        raise table.refused("id", f"{identity} is of a kind this program does not compare: remove the row")
    said: Said | Way
    said = cast("Way", table.one_of("way", WAYS)) if "way" in table else ENTRIES[criterion.kind].said(table)
    table.close()
    return identity, Row(said, mean)
