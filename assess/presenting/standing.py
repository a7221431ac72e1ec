"""Where an attempt stands: its stages, and what is still open in one before it is committed."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.grading.fits import tasks_of
from assess.log import Chose, Levelled, Stage, State, Wrote
from casebank.casefile import Document
from casebank.difficulty import criteria_named
from casebank.instruments import FitCone

STAGE_NAMES = {
    Stage.LOOK: gettext_lazy("Look"),
    Stage.WEIGH: gettext_lazy("Weigh"),
    Stage.OPEN: gettext_lazy("Open"),
    Stage.SHAPE: gettext_lazy("Shape"),
    Stage.FILL: gettext_lazy("Fill"),
    Stage.COMPARE: gettext_lazy("Compare"),
}


@dataclass(frozen=True)
class StageMark:
    """One stage on the line: closed, now or later; an address where it can be read."""

    key: str
    state: str
    url: str = ""


def standing(state: State, stage: Stage) -> str:
    """Whether a stage is closed, now or later."""
    if stage in state.closed:
        return "closed"
    return "now" if stage is state.open_stage else "later"


def is_carried_on(state: State) -> bool:
    """Whether the student referred the case, so that what follows is an exercise."""
    decision = state.answers.get("decision")
    return Stage.WEIGH in state.closed and isinstance(decision, Chose) and "refer" in decision.values


def unanswered(document: Document, state: State, stage: Stage) -> tuple[str, ...]:
    """One sentence for each thing a stage asks that has no answer yet, or an answer that lacks a part."""
    labels = {factor.id: factor.label for factor in criteria_named(document.criteria).factors}
    said = []
    for task in tasks_of(document):
        if task.criterion.stage != stage.value or task.criterion.kind == "bench":
            continue
        name = labels.get(task.of or "", "") or " ".join(filter(None, (task.criterion.label, task.of)))
        answer = state.answers.get(task.id)
        if answer is None:
            said.append(_("%(task)s: no answer") % {"task": name})
        elif isinstance(answer, Levelled) and task.of and not answer.evidence:
            said.append(_("%(task)s: no finding or film pinned") % {"task": name})
        elif answer.confidence is None and not isinstance(answer, Wrote):
            said.append(_("%(task)s: you have not said how sure you are") % {"task": name})
    return (*said, *_undone(document, state, stage))


def _undone(document: Document, state: State, stage: Stage) -> tuple[str, ...]:
    canals = [canal.name for canal in document.anatomy.tooth.canals]
    if stage is Stage.SHAPE:
        worked = {canal for canal, _move in state.moves}
        return tuple(_("Canal %(canal)s: nothing done") % {"canal": name} for name in canals if name not in worked)
    if stage is Stage.FILL:
        tried = {canal for canal, move in state.moves if isinstance(move, FitCone)}
        return tuple(_("Canal %(canal)s: no cone tried") % {"canal": name} for name in canals if name not in tried)
    return ()
