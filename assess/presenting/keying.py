"""The whole key of a case, for whoever teaches: each task with its reference, working, weight and unsafe options.

No view that serves students may call this; a test names the views that do.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assess.grading.words import in_words
from assess.log import Stage
from assess.presenting.axes import AXIS_NAMES, KEY_TYPES
from assess.presenting.naming import task_words, view_words
from assess.presenting.opening_feedback import OpeningFeedback, opening_feedback
from assess.presenting.standing import STAGE_NAMES
from casebank.casefile import Document, Reference, ReferenceAnswer, derive
from casebank.casefile.obtainable import is_never_shown
from casebank.casefile.readings import film_views
from casebank.rubric import (
    MAIN_AXIS,
    ChoiceReference,
    ChoiceRule,
    LevelReference,
    OrderReference,
    OrderRule,
    Task,
    WrittenReference,
    WrittenRule,
)


@dataclass(frozen=True)
class Told:
    """A thing and what is said of it: an option and its share or its harm, a film and its reading."""

    name: str
    words: str


@dataclass(frozen=True)
class KeyedTask:
    """One task with everything that decides its grade. `weight` is in hundredths of its axis.

    `axis` names the axis unless it is the main one. `places` are those of an order, each with what may stand there;
    `lines` are what is looked for in a reason. Where the reference is told by them or is long, `brief` is empty.
    `counts_as_open` says that no film to be had shows the key, so that "cannot tell" agrees with it.
    """

    anchor: str
    label: str
    ask: str
    key_type: str
    turns_on_it: bool
    weight: str
    reference: str
    by_film: tuple[Told, ...]
    partly: tuple[Told, ...]
    unsafe: tuple[Told, ...]
    evidence: tuple[str, ...]
    working: tuple[str, ...]
    because: str
    source: str
    axis: str = ""
    brief: str = ""
    places: tuple[str, ...] = ()
    lines: tuple[Told, ...] = ()
    counts_as_open: bool = False


@dataclass(frozen=True)
class KeyedStage:
    """One stage, with its weight on the main axis and, by name, on the others."""

    key: str
    name: str
    weight: str
    apart: tuple[Told, ...]
    tasks: tuple[KeyedTask, ...]


@dataclass(frozen=True)
class KeyedFactor:
    label: str
    level: int
    word: str
    reason: str
    evidence: tuple[str, ...]


@dataclass(frozen=True)
class KeyedFilm:
    number: int
    words: str
    given: bool


@dataclass(frozen=True)
class Key:
    """Everything an author has to read before a case is published."""

    overall: KeyedFactor
    factors: tuple[KeyedFactor, ...]
    silent: tuple[str, ...]
    films: tuple[KeyedFilm, ...]
    stages: tuple[KeyedStage, ...]
    opening: OpeningFeedback | None
    rubric: str
    criteria: str


def key_of(document: Document) -> Key:
    """The key of a document. ValueError, in the words of the case file, if no reference follows from it."""
    reference = derive(document)
    judged, labels = reference.judgement, {factor.id: factor.label for factor in reference.criteria.factors}
    return Key(
        overall=KeyedFactor("", judged.overall.level, judged.overall.word, judged.overall.reason, ()),
        factors=tuple(
            KeyedFactor(labels[one.factor_id], one.level, one.word, one.reason, one.evidence) for one in judged.factors
        ),
        silent=judged.silent,
        films=tuple(
            KeyedFilm(number, view_words(view), number <= len(document.films))
            for number, view in film_views(document, None).items()
        ),
        stages=tuple(
            _stage(stage, document, reference)
            for stage in Stage
            if any(task.criterion.stage == stage for task in reference.tasks)
        ),
        opening=opening_feedback(document),
        rubric=f"{reference.rubric.id} {reference.rubric.version}",
        criteria=f"{reference.criteria.title}, {reference.criteria.edition}",
    )


def _stage(stage: Stage, document: Document, reference: Reference) -> KeyedStage:
    tasks = [task for task in reference.tasks if task.criterion.stage == stage]
    return KeyedStage(
        key=stage.value,
        name=str(STAGE_NAMES[stage]),
        weight=_figure(_weights(tasks).get(MAIN_AXIS, 0)),
        apart=tuple(
            Told(str(AXIS_NAMES[axis]), _figure(weight))
            for axis, weight in _weights(tasks).items()
            if axis != MAIN_AXIS
        ),
        tasks=tuple(_task(task, document, reference.answers[task.id]) for task in tasks),
    )


def _weights(tasks: Sequence[Task]) -> dict[str, float]:
    """What tasks weigh, by axis."""
    weights: dict[str, float] = {}
    for task in tasks:
        weights[task.criterion.axis] = weights.get(task.criterion.axis, 0) + task.weight
    return weights


def _task(task: Task, document: Document, answer: ReferenceAnswer) -> KeyedTask:
    criterion, value = task.criterion, answer.value
    wording = _wording(task, document)
    partly = value.partly if isinstance(value, ChoiceReference) else {}
    chosen = "; ".join(wording[option] for option in sorted(value.best)) if isinstance(value, ChoiceReference) else ""
    level = LevelReference(value.level) if isinstance(value, LevelReference) else value  # its evidence stands apart
    return KeyedTask(
        anchor=f"k-{task.id.replace('.', '-')}",
        label=task_words(task, document),
        ask=criterion.ask,
        key_type=str(KEY_TYPES[criterion.key_type]),
        turns_on_it=criterion.key_feature,
        weight=_figure(task.weight),
        reference=chosen or in_words(task, level),
        by_film=tuple(Told(f"{number}", in_words(task, one)) for number, one in sorted(answer.by_film.items())),
        partly=tuple(Told(wording[option], f"{share:.0%}") for option, share in partly.items()),
        unsafe=_unsafe(task, answer, wording),
        evidence=tuple(sorted(value.evidence)) if isinstance(value, LevelReference) else (),
        working=answer.working,
        because=criterion.reasons.because,
        source=criterion.reasons.source,
        axis="" if criterion.axis == MAIN_AXIS else str(AXIS_NAMES[criterion.axis]),
        brief="" if isinstance(value, OrderReference | WrittenReference) else chosen or in_words(task, level),
        places=_places(task, value),
        lines=_lines(task),
        counts_as_open=task.id == "canal-count" and is_never_shown(document, task.id),
    )


def _unsafe(task: Task, answer: ReferenceAnswer, wording: Mapping[str, str]) -> tuple[Told, ...]:
    """Options that are unsafe, and what is unsafe if it comes first."""
    options = tuple(Told(wording[option], reason) for option, reason in answer.unsafe.items())
    rule = task.criterion.rule
    if not isinstance(rule, OrderRule):
        return options
    first = (
        Told(_("%(item)s (%(first)s)") % {"item": rule.items[item], "first": rule.first}, reason)
        for item, reason in rule.unsafe_first.items()
    )
    return (*options, *first)


def _places(task: Task, value: object) -> tuple[str, ...]:
    """What may stand at each place of an order, from the first on."""
    rule = task.criterion.rule
    if not isinstance(rule, OrderRule) or not isinstance(value, OrderReference):
        return ()
    either = _(", either way")
    return tuple(
        "; ".join(rule.items[item] for item in rule.items if item in group) + (either if len(group) > 1 else "")
        for group in value.groups
    )


def _lines(task: Task) -> tuple[Told, ...]:
    """What is looked for in a reason, and when it is met, with its points."""
    rule = task.criterion.rule
    if not isinstance(rule, WrittenRule):
        return ()
    return tuple(
        Told(
            line.label,
            ngettext("%(counts)s (%(points)d point)", "%(counts)s (%(points)d points)", line.points)
            % {"counts": line.counts, "points": line.points},
        )
        for line in rule.lines
    )


def _wording(task: Task, document: Document) -> Mapping[str, str]:
    """The words of each option of a choice; a finding's letter with what it is."""
    rule = task.criterion.rule
    if not isinstance(rule, ChoiceRule):
        return {}
    if rule.options != "case":
        return rule.options
    films = {f"film {number}": f"film {number}" for number in film_views(document, None)}
    return {finding.letter: f"{finding.letter}, {finding.item}" for finding in document.chart} | films


def _figure(points: float) -> str:
    return f"{points:.1f}".removesuffix(".0")
