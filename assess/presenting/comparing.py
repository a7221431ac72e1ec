"""What a settled attempt shows: unsafe steps, the score by stage, and each task with said, reference, why and working.

Called only once `may_see_results` has said yes: this is where references are read.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.grading.fits import tasks_of
from assess.grading.grade import GRADED_STAGES
from assess.grading.said import film_of
from assess.log import Chose, Measured, Stage, State, Wrote
from assess.presenting.axes import AXIS_NAMES, AXIS_NOTES, KEY_TYPES
from assess.presenting.films import Shown, further_views
from assess.presenting.kept import Kept
from assess.presenting.naming import task_words
from assess.presenting.overlaying import overlay
from assess.presenting.ruling import Ruler, measure_ruler, percent_ruler
from assess.presenting.side_by_side import Placed, TutorsMarks, Words, places_beside, words_marked
from assess.presenting.skilled import Skilled, skilled
from assess.presenting.standing import STAGE_NAMES
from assess.presenting.sureness import Pointed, Sureness, sureness
from casebank.casefile import Document, Reference, derive
from casebank.radiograph import View
from casebank.rubric import (
    MAIN_AXIS,
    MeasureReference,
    MeasureRule,
    OrderReference,
    OrderRule,
    Task,
    WrittenRule,
)

AGREES_FROM = 0.999
SURE = {"unsure": gettext_lazy("unsure"), "fairly sure": gettext_lazy("fairly sure"), "sure": gettext_lazy("sure")}
DERIVED: Kept[tuple[str, tuple[View, ...]], Reference] = Kept(64)


@dataclass(frozen=True)
class Compared:
    """One task, settled. Points, and what was lost of them, are hundredths of the whole of its axis.

    `key_type` says what its reference is. `places` lays an order beside its reference; `words` are a written reason's
    lines with the marks of its author and of a tutor.
    """

    id: str
    anchor: str
    label: str
    said: str
    confidence: str
    reference: str
    why: str
    working: tuple[str, ...]
    because: str
    next_act: str
    source: str
    key_type: str
    lost: float
    points: str
    agrees: bool
    ruler: Ruler | None
    film: Shown | None
    places: tuple[Placed, ...] = ()
    words: Words | None = None


@dataclass(frozen=True)
class ComparedAxis:
    """One axis beside the main one, never merged with it: what it came to, and its tasks."""

    key: str
    name: str
    note: str
    percent: float
    tasks: tuple[Compared, ...]


@dataclass(frozen=True)
class ComparedStage:
    """One stage: what the student expected of it, what it came to, and its tasks, those that differ apart."""

    key: str
    name: str
    percent: float
    ruler: Ruler
    differing: tuple[Compared, ...]
    agreeing: tuple[Compared, ...]


@dataclass(frozen=True)
class Unsafe:
    """One act that would endanger a patient, with where it was done and what the rule rests on."""

    where: str
    stage: str
    why: str
    basis: str


@dataclass(frozen=True)
class Comparison:
    percent: float
    expected: float
    unsafe: tuple[Unsafe, ...]
    stages: tuple[ComparedStage, ...]
    axes: tuple[ComparedAxis, ...]
    skill: Skilled | None
    sureness: Sureness | None
    versions: Mapping[str, Any]

    @property
    def has_words(self) -> bool:
        """Whether something was answered in the student's own words."""
        on_axes = [task for axis in self.axes for task in axis.tasks]
        return any(task.words for stage in self.stages for task in (*stage.differing, *stage.agreeing, *on_axes))


def reference_of(sha256: str, document: Document, state: State) -> Reference:
    """The reference of an edition for the films this student had. `sha256` is the edition's."""
    key = (sha256, further_views(state))
    return DERIVED.get(key) or DERIVED.put(key, derive(document, further=key[1]))


def comparison(
    document: Document,
    state: State,
    reference: Reference,
    result: Mapping[str, Any],
    films: Mapping[int, Shown],
    marks: Mapping[str, TutorsMarks],
) -> Comparison:
    """Everything the Compare page shows.

    `result` is the stored grade, `films` the attempt's films by number, `marks` a tutor's by written task.
    """
    tasks = {task.id: task for task in tasks_of(document)}
    compared = [
        _compared(tasks[one["id"]], one, document, state, reference, films, marks)
        for one in result["criteria"]
        if one["id"] in tasks
    ]
    lies_on = {one["id"]: one.get("axis", MAIN_AXIS) for one in result["criteria"]}  # older records know one axis
    main = [one for one in compared if lies_on[one.id] == MAIN_AXIS]
    stages = tuple(
        _stage(Stage(key), result["stages"][key], state, [one for one in main if tasks[one.id].criterion.stage == key])
        for key in GRADED_STAGES  # a database may give a record's keys back in an order of its own
        if key in result["stages"]
    )
    weighed = [one for one in result["criteria"] if lies_on[one["id"]] == MAIN_AXIS]
    weights = {key: sum(one["weight"] for one in weighed if one["stage"] == key) for key in result["stages"]}
    expected = sum(state.self_grade.get(Stage(key), 0) * weight for key, weight in weights.items())
    return Comparison(
        percent=result["percent"],
        expected=expected / (sum(weights.values()) or 1),
        unsafe=tuple(
            Unsafe(one["where"], str(STAGE_NAMES[Stage(one["stage"])]), one["why"], one["basis"])
            for one in result["unsafe"]
        ),
        stages=stages,
        axes=tuple(
            _axis(key, result["axes"][key], [one for one in compared if lies_on[one.id] == key])
            for key in AXIS_NAMES
            if key != MAIN_AXIS and key in result.get("axes", {})
        ),
        skill=skilled(result),
        sureness=sureness(result, {one.id: Pointed(one.label, one.anchor) for one in compared}),
        versions=result["versions"],
    )


def _stage(stage: Stage, percent: float, state: State, compared: list[Compared]) -> ComparedStage:
    name = str(STAGE_NAMES[stage])
    return ComparedStage(
        key=stage.value,
        name=name,
        percent=percent,
        ruler=percent_ruler(name, state.self_grade.get(stage), percent),
        differing=tuple(sorted((one for one in compared if not one.agrees), key=lambda one: -one.lost)),
        agreeing=tuple(one for one in compared if one.agrees),
    )


def _axis(key: str, percent: float, compared: Sequence[Compared]) -> ComparedAxis:
    return ComparedAxis(
        key=key, name=str(AXIS_NAMES[key]), note=str(AXIS_NOTES[key]), percent=percent, tasks=tuple(compared)
    )


def _compared(
    task: Task,
    one: Mapping[str, Any],
    document: Document,
    state: State,
    reference: Reference,
    films: Mapping[int, Shown],
    marks: Mapping[str, TutorsMarks],
) -> Compared:
    criterion, answer = task.criterion, state.answers.get(task.id)
    agrees = one["credit"] >= AGREES_FROM
    on_film = film_of(answer)
    return Compared(
        id=task.id,
        anchor=f"t-{task.id.replace('.', '-')}",
        label=task_words(task, document),
        said=one["said"],
        confidence=str(SURE[answer.confidence]) if answer and answer.confidence else "",
        reference=one["reference"],
        why=one["why"],
        working=tuple(one["working"]),
        because=criterion.reasons.because,
        next_act="" if agrees else criterion.reasons.next_act,
        source=criterion.reasons.source,
        key_type=str(KEY_TYPES[one.get("key_type", criterion.key_type)]),
        lost=(1 - one["credit"]) * one["weight"],
        points=_("%(earned)s of %(weight)s")
        % {"earned": _figure(one["credit"] * one["weight"]), "weight": _figure(one["weight"])},
        agrees=agrees,
        ruler=_ruler(task, state, reference),
        film=overlay(task, document, state, films[on_film], reference) if on_film and on_film in films else None,
        places=_places(task, state, reference),
        words=_words(task, state, marks),
    )


def _places(task: Task, state: State, reference: Reference) -> tuple[Placed, ...]:
    rule, meant, said = task.criterion.rule, reference.answers[task.id].value, state.answers.get(task.id)
    if not isinstance(rule, OrderRule) or not isinstance(meant, OrderReference):
        return ()
    return places_beside(rule, said.values if isinstance(said, Chose) else (), meant)


def _words(task: Task, state: State, marks: Mapping[str, TutorsMarks]) -> Words | None:
    """A written reason as it was marked; none where nothing was written."""
    rule = task.criterion.rule
    if not isinstance(rule, WrittenRule) or not isinstance(state.answers.get(task.id), Wrote):
        return None
    return words_marked(rule, task.id, state.own_marks.get(task.id, ()), marks.get(task.id))


def _figure(points: float) -> str:
    return f"{points:.1f}".removesuffix(".0")


def _ruler(task: Task, state: State, reference: Reference) -> Ruler | None:
    """The two readings on one rule, where both are numbers of the same thing."""
    answer, rule = state.answers.get(task.id), task.criterion.rule
    if not isinstance(rule, MeasureRule) or rule.unit == "count":
        return None
    if not isinstance(answer, Measured) or answer.value is None:
        return None
    keyed = reference.answers[task.id]
    meant = keyed.by_film.get(answer.film or 0, keyed.value)
    if not isinstance(meant, MeasureReference) or (meant.of and answer.of not in meant.of):
        return None
    return measure_ruler(task.criterion.label, answer.value, meant.value, rule)
