"""A student's written reasons, each with the lines to look for: to be marked, before any reference is shown."""

from collections.abc import Iterable
from dataclasses import dataclass

from assess.grading.fits import tasks_of
from assess.log import State, Wrote
from assess.presenting.naming import task_words
from casebank.casefile import Document
from casebank.rubric import Line, WrittenRule


@dataclass(frozen=True)
class Reason:
    """One written reason as it is marked."""

    task: str
    anchor: str
    label: str
    ask: str
    text: str
    lines: tuple[Line, ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(line.id for line in self.lines)


def reasons_written(document: Document, state: State, wanted: Iterable[str]) -> tuple[Reason, ...]:
    """The wanted tasks that were answered in words, in the order they are asked."""
    asked = set(wanted)
    found = []
    for task in tasks_of(document):
        answer, rule = state.answers.get(task.id), task.criterion.rule
        if task.id in asked and isinstance(answer, Wrote) and isinstance(rule, WrittenRule):
            anchor = f"m-{task.id.replace('.', '-')}"
            found.append(
                Reason(task.id, anchor, task_words(task, document), task.criterion.ask, answer.text, rule.lines)
            )
    return tuple(found)
