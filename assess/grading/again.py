"""An attempt graded under a later edition of its case: the same log, judged by a corrected key.

Pure and without a database, so that many can be graded at once in processes of their own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter

from assess.grading.fits import tasks_of
from assess.grading.grade import grade
from assess.grading.record import grade_record
from assess.grading.said import AnswerRefused
from assess.log import AnyEvent, OutOfTurn, State, fold
from casebank.casefile import Document, Reference, derive
from casebank.casefile.reading import parse_document
from casebank.radiograph import View
from casebank.rubric import ChoiceRule, MeasureRule

EVENTS: TypeAdapter[tuple[AnyEvent, ...]] = TypeAdapter(tuple[AnyEvent, ...])


@dataclass(frozen=True)
class GradedAgain:
    """The record of a further grade, as `grade_record` gives it; or none, and the sentence why there is none."""

    record: dict[str, Any] | None
    trouble: str = ""


def graded_again(worked_on: str, later: str, log: Sequence[str]) -> GradedAgain:
    """Grade a log under a later edition than the one it was worked on.

    Parameters
    ----------
    worked_on, later : str
        The text of the two editions' documents.
    log : sequence of str
        The attempt's events in order, each as JSON.
    """
    if trouble := why_not_under(worked_on, later):
        return GradedAgain(None, trouble)
    document = _document(later)
    events = EVENTS.validate_json(f"[{','.join(log)}]")
    if other := _other_findings(_document(worked_on), document, fold(events, case=document.slug)):
        return GradedAgain(None, f"Finding {other[0]}, which its student read, is no longer what it was.")
    try:
        return GradedAgain(grade_record(grade(document, events, derived=_derived)))
    except (AnswerRefused, OutOfTurn) as trouble_met:
        return GradedAgain(None, f"The log cannot be compared with the later edition: {trouble_met}.")


@lru_cache(maxsize=64)
def why_not_under(worked_on: str, later: str) -> str:
    """Why no log of one edition can be graded under the other; empty if it can.

    Both must ask the same tasks, offer the same options and give the same films: an answer is not judged by what its
    student was never asked, and a mark on a film not by another film.
    """
    before, after = _document(worked_on), _document(later)
    if before.slug != after.slug:
        return "It is another case."
    tasks, asked = ({task.id: task for task in tasks_of(one)} for one in (before, after))
    if removed := sorted(tasks.keys() - asked.keys()):
        return f"The task {removed[0]} is no longer asked."
    if added := sorted(asked.keys() - tasks.keys()):
        return f"The task {added[0]} was never asked in it."
    for name, task in tasks.items():
        rule, other = task.criterion.rule, asked[name].criterion.rule
        same = type(rule) is type(other)
        if isinstance(rule, ChoiceRule) and isinstance(other, ChoiceRule):
            same = set(rule.options) == set(other.options)
        if isinstance(rule, MeasureRule) and isinstance(other, MeasureRule):
            same = rule.unit == other.unit
        if not same:
            return f"The task {name} is answered in another way now."
    return "" if before.films == after.films else "The films that are given at the start are others now."


def _other_findings(before: Document, after: Document, state: State) -> list[str]:
    """Letters of findings that were read and stand for something else now: evidence is cited by them."""
    items = {finding.letter: finding.item for finding in after.chart}
    read = [one for one in before.chart if one.when == "start" or one.letter in state.asked]
    return [one.letter for one in read if items.get(one.letter) != one.item]


def changed_parts(worked_on: str, later: str) -> tuple[str, ...]:
    """The parts of a case file that differ between two editions, by their names in it."""
    before, after = _document(worked_on), _document(later)
    return tuple(name for name in type(before).model_fields if getattr(before, name) != getattr(after, name))


@lru_cache(maxsize=16)
def _document(content: str) -> Document:
    return parse_document(content.encode(), name="edition")


def _derived(document: Document, *, further: Sequence[View]) -> Reference:
    """The reference of a document that `_document` keeps, kept as well."""
    return _kept(_Same(document), tuple(further))


@dataclass(frozen=True, eq=False)
class _Same:
    """A document by what it is, not by what it says: to compare all it says would take longer than to derive."""

    document: Document

    def __hash__(self) -> int:
        return id(self.document)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.document is self.document


@lru_cache(maxsize=256)
def _kept(same: _Same, further: tuple[View, ...]) -> Reference:
    return derive(same.document, further=further)
