"""A rubric read from one TOML file: what does not add up is refused with file, criterion and field."""

import hashlib
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib import resources
from typing import Any, TypeVar, cast

from casebank.rubric.answers import Reference
from casebank.rubric.criterion import (
    AXES,
    KEY_TYPES,
    MAIN_AXIS,
    PERS,
    STAGES,
    Axis,
    Criterion,
    Example,
    KeyType,
    Per,
    Reasons,
    Stage,
)
from casebank.rubric.entries import ENTRIES, Entry
from casebank.rubric.entries_told import refuse_guessed_order
from casebank.rubric.framework import Framework, bundled_framework
from casebank.rubric.kinds import compare
from casebank.rubric.ordering import OrderReference, OrderRule
from casebank.rubric.rubric import Rubric
from casebank.rubric.table import RubricError, Table

SCHEMA = 1
WHOLE_WEIGHT = 100
LEAST_KEY_FEATURE_WEIGHT = 50
KEYED_HERE = ("choice", "order", "rank", "written")
"""Kinds whose reference a rubric may carry for every case; a case that keys the task itself goes before it."""
MUST_BE_KEYED_HERE = ("order", "rank")
"""Kinds that no case can key."""

Value = TypeVar("Value")


@cache
def bundled(name: str) -> Rubric:
    """The rubric of that name that comes with the program. ValueError, with the names there are, if none has it."""
    folder = resources.files("casebank.rubric") / "rubrics"
    if name not in bundled_names():
        raise ValueError(f"there is no rubric {name!r}: use one of {', '.join(bundled_names())}")
    return load((folder / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml")


@cache
def bundled_names() -> tuple[str, ...]:
    """Names of the rubrics that come with the program."""
    entries = (resources.files("casebank.rubric") / "rubrics").iterdir()
    return tuple(sorted(entry.name.removesuffix(".toml") for entry in entries if entry.name.endswith(".toml")))


def load(text: str, name: str) -> Rubric:
    """The rubric in a TOML text; `name` is what the messages call the file.

    Raises RubricError, a ValueError, that names file, criterion and field and says what to do.
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise RubricError(f"{name}: not valid TOML ({trouble}): correct it there") from trouble
    top = Table(content, place=name)
    if (schema := top.whole("schema")) != SCHEMA:
        raise top.refused("schema", f"{schema} is not the schema this program reads: convert the file to {SCHEMA}")
    try:
        framework = bundled_framework(top.text("framework"))
    except RubricError:
        raise
    except ValueError as trouble:
        raise top.refused("framework", str(trouble)) from trouble
    rubric = Rubric(
        id=top.text("id"),
        version=top.whole("version"),
        title=top.text("title"),
        framework=framework.id,
        criteria=tuple(_criterion(table, framework) for table in _heads(top, name)),
        sha256=hashlib.sha256(text.encode()).hexdigest(),
    )
    top.close()
    if rubric.version < 1:
        raise top.refused("version", f"{rubric.version} is no version: count from 1")
    _check_whole(rubric, name)
    return rubric


def _heads(top: Table, name: str) -> Iterator[Table]:
    entries = top.take("criterion")
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise top.refused("criterion", "head each criterion with [[criterion]]")
    for number, entry in enumerate(entries, 1):
        identity: Any = entry.get("id", f"number {number}")
        yield Table(entry, place=f"{name}, criterion {identity}")


def _criterion(table: Table, framework: Framework) -> Criterion:
    kind = table.one_of("kind", tuple(ENTRIES))
    entry = ENTRIES[kind]
    with _placed(table.place):
        identity = table.text("id")
        if not identity.replace("-", "").isalnum() or identity != identity.lower():
            raise table.refused("id", "write it in small letters and hyphens: a dot would part a canal from it")
        rule = _read(table.table("rule"), entry.rule)
        reasons = _read(table.table("reasons"), _reasons)
        examples = tuple(_read(example, lambda row: _example(row, entry)) for example in _examples(table))
        criterion = Criterion(
            id=identity,
            stage=cast("Stage", table.one_of("stage", STAGES)),
            kind=kind,
            label=table.text("label"),
            ask=table.text("ask"),
            weight=table.whole("weight"),
            key_type=cast("KeyType", table.one_of("key_type", KEY_TYPES)),
            key_feature=table.truth("key_feature"),
            per=cast("Per", table.one_of("per", PERS)),
            competencies=_competencies(table, framework),
            rule=rule,
            reasons=reasons,
            examples=examples,
            axis=cast("Axis", table.one_of("axis", AXES)) if "axis" in table else MAIN_AXIS,
            key=_key(table, kind, entry),
        )
        _refuse_stray_references(criterion, table)
        if criterion.weight < 1:
            raise table.refused("weight", "a criterion without weight is not asked: give at least 1 or remove it")
        table.close()
    return criterion


def _key(table: Table, kind: str, entry: Entry) -> Reference | None:
    if "key" not in table:
        if kind in MUST_BE_KEYED_HERE:
            raise table.refused(
                "key", f"missing: the rubric itself carries the reference of a criterion of kind {kind}"
            )
        return None
    if kind not in KEYED_HERE:
        raise table.refused("key", f"the reference of a {kind} follows from the case: remove it")
    return _read(table.table("key"), entry.reference)


def _refuse_stray_references(criterion: Criterion, table: Table) -> None:
    """Refuse an example or a key that cannot be compared under the rule, and an order that is guessed too easily."""
    pairs = {f"example {number}": (one.said, one.reference) for number, one in enumerate(criterion.examples, 1)}
    if criterion.key is not None:
        pairs["key"] = (criterion.examples[0].said, criterion.key)
    for field, (said, reference) in pairs.items():
        try:
            compare(criterion, said, reference)
            if isinstance(criterion.rule, OrderRule) and isinstance(reference, OrderReference):
                refuse_guessed_order(criterion.rule, reference)
        except ValueError as trouble:
            raise table.refused(field, str(trouble)) from trouble


def _competencies(table: Table, framework: Framework) -> tuple[str, ...]:
    ids = table.texts("competencies")
    if not ids:
        raise table.refused("competencies", f"none: name at least one of the framework {framework.id}")
    try:
        framework.require(ids)
    except ValueError as trouble:
        raise table.refused("competencies", str(trouble)) from trouble
    return ids


def _examples(table: Table) -> tuple[Table, ...]:
    examples = table.tables("example") if "example" in table else ()
    if not examples:
        raise table.refused("example", "no worked example: add one with said, reference, credit and working")
    return examples


def _reasons(table: Table) -> Reasons:
    return Reasons(because=table.text("because"), next_act=table.text("next_act"), source=table.text("source"))


def _example(table: Table, entry: Entry) -> Example:
    credit = table.number("credit")
    if not 0 <= credit <= 1:
        raise table.refused("credit", f"{credit:g} is no credit: write a number from 0 to 1")
    said = entry.said(table)
    reference = _read(table.table("reference"), entry.reference)
    return Example(said=said, reference=reference, credit=credit, working=table.text("working"))


def _read(table: Table, reader: Callable[[Table], Value]) -> Value:
    with _placed(table.where):
        value = reader(table)
    table.close()
    return value


@contextmanager
def _placed(place: str) -> Iterator[None]:
    """Put the place before what a value says about itself."""
    try:
        yield
    except RubricError:
        raise
    except ValueError as trouble:
        raise RubricError(f"{place}: {trouble}") from trouble


def _check_whole(rubric: Rubric, name: str) -> None:
    for identity, times in Counter(criterion.id for criterion in rubric.criteria).items():
        if times > 1:
            raise RubricError(f"{name}, criterion {identity}, id: it stands {times} times: give each its own id")
    if MAIN_AXIS not in rubric.axes:
        raise RubricError(f"{name}, axis: nothing lies on the axis {MAIN_AXIS}: put the treatment's criteria there")
    for axis in rubric.axes:
        total = sum(criterion.weight for criterion in rubric.criteria if criterion.axis == axis)
        if total != WHOLE_WEIGHT:
            on_axis = "" if axis == MAIN_AXIS else f" on the axis {axis}"
            raise RubricError(
                f"{name}, weight: the weights{on_axis} add up to {total}: change them until they sum to {WHOLE_WEIGHT}"
            )
    heavy = sum(
        criterion.weight for criterion in rubric.criteria if criterion.key_feature and criterion.axis == MAIN_AXIS
    )
    if heavy < LEAST_KEY_FEATURE_WEIGHT:
        raise RubricError(
            f"{name}, key_feature: the key features hold {heavy} of {WHOLE_WEIGHT}: "
            f"raise their weights to at least {LEAST_KEY_FEATURE_WEIGHT}, or name more criteria as key features"
        )
