"""What the feedback on a task must be able to show before it is published: place, size and reason.

Being told right or wrong alone teaches little about pictures; place and size with it do (Frank et al., perceptual
learning of mammographic lesions). So a task that is answered on a picture shows where, how far apart and why; any other
task shows why.
"""

import re
from collections.abc import Mapping
from dataclasses import fields
from typing import Protocol

from casebank.rubric.answers import MarkReference, MarkSaid, MeasureReference, MeasureSaid, Reference, Said
from casebank.rubric.kinds import compare
from casebank.rubric.opening import OutlineReference, OutlineSaid
from casebank.rubric.rubric import Task
from casebank.rubric.rules import MarkRule, MeasureRule

SIZE = re.compile(r"\d(?:\.\d+)? ?(?:mm|°)")
FEWEST_WORDS = 3
"""A reason with fewer words than this gives none: a choice."""


class Keyed(Protocol):
    """A reference answer: its value, how it came about, and its value on each film where films differ."""

    @property
    def value(self) -> Reference: ...
    @property
    def working(self) -> tuple[str, ...]: ...
    @property
    def by_film(self) -> Mapping[int, Reference]: ...


def feedback_gaps(task: Task, keyed: Keyed, *, read_on_film: bool = False) -> tuple[str, ...]:
    """One sentence for each thing the feedback on a task could not show; none if it shows all it must.

    Parameters
    ----------
    task : Task
    keyed : Keyed
        Its reference answer in this case.
    read_on_film : bool, optional
        Whether a number of mm or degrees is read on a film, so that it has a place there. A mark and an opening have
        one in any case; a count has no single one.
    """
    gaps = []
    if is_on_picture(task, read_on_film=read_on_film):
        gaps += _no_place(task, keyed)
        if not any(SIZE.search(why) for why in _near_misses(task, keyed)):
            gaps.append(f"{task.id}: feedback gives no size: word the comparison with a number and its unit")
    if not _says_something(task.criterion.reasons.because):
        gaps.append(f"{task.id}: feedback gives no reason: say in reasons.because why this is asked")
    if not any(_says_something(sentence) for sentence in keyed.working):
        gaps.append(f"{task.id}: nothing says how its reference came about: add the key's reason to the case")
    return tuple(gaps)


def is_on_picture(task: Task, *, read_on_film: bool) -> bool:
    """Whether a task is answered on a film or on the crown's map."""
    rule = task.criterion.rule
    return task.criterion.kind in {"mark", "outline"} or (
        read_on_film and isinstance(rule, MeasureRule) and rule.unit != "count"
    )


def _no_place(task: Task, keyed: Keyed) -> list[str]:
    if isinstance(keyed.value, OutlineReference):
        named = all(wall.side.strip() for wall in keyed.value.walls)
        return [] if named else [f"{task.id}: feedback shows no place: name the side of each wall of the usual opening"]
    if not keyed.by_film:
        return [f"{task.id}: feedback shows no place: give its reference on at least one film"]
    if any(isinstance(one, MeasureReference) and not one.of for one in (keyed.value, *keyed.by_film.values())):
        return [f"{task.id}: feedback shows no place: name the canal that its reference was read on"]
    return []


def _near_misses(task: Task, keyed: Keyed) -> list[str]:
    """What the comparison says to answers a little beside the reference."""
    missed = [_beside(task, reference) for reference in (keyed.value, *keyed.by_film.values())]
    return [compare(task.criterion, said, reference).why for said, reference in missed]


def _beside(task: Task, reference: Reference) -> tuple[Said, Reference]:
    match task.criterion.rule, reference:
        case MarkRule() as rule, MarkReference():
            off_mm = (rule.full_within_mm + rule.none_beyond_mm) / 2
            x_mm, y_mm = reference.points_mm[0]
            return MarkSaid(((x_mm + off_mm, y_mm),)), reference
        case MeasureRule() as rule, MeasureReference():
            off = (rule.full_within + rule.none_beyond) / 2
            return MeasureSaid(reference.value + off, next(iter(sorted(reference.of)), None)), reference
        case _, OutlineReference():
            values = {one.name: getattr(reference, one.name) for one in fields(reference)}
            return OutlineSaid(**values | {"beyond_mm3": reference.beyond_mm3 + reference.need_mm3}), reference
        case _:
            raise ValueError(
                f"{task.id}: a {task.criterion.kind} cannot have a {type(reference).__name__} as its reference"
            )


def _says_something(sentence: str) -> bool:
    return len(re.findall(r"\w+", sentence)) >= FEWEST_WORDS
