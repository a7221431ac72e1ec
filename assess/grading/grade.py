"""A grade is a pure function of the case's document and the log: the same two give the same grade."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from assess.grading.benchwork import Observed, observed_in, unsafe_at
from assess.grading.said import AnswerRefused, film_of, said_to
from assess.grading.words import in_words
from assess.log import AnyEvent, Chose, FilmTaken, Stage, State, fold
from casebank.casefile import Document, Reference, ReferenceAnswer, derive
from casebank.instruments import Bench, replay
from casebank.radiograph import View
from casebank.rubric import Task, compare

GRADER_VERSION = 2
GRADED_STAGES = tuple(stage.value for stage in Stage if stage is not Stage.COMPARE)


@dataclass(frozen=True)
class CriterionGrade:
    """One task: what was said, what the reference is, the credit from 0 to 1, its weight, and why.

    `leaning` is +1 for an answer over the reference, -1 for one under it, 0 for one that agrees, none where departing
    has no direction or nothing was answered.
    """

    id: str
    stage: str
    said: str
    reference: str
    credit: float
    weight: float
    why: str
    working: tuple[str, ...]
    leaning: int | None
    answered: bool


@dataclass(frozen=True)
class UnsafeStep:
    """An act that would endanger a patient; it stands apart from the score."""

    rule: str
    stage: str
    where: str
    why: str
    basis: str


@dataclass(frozen=True)
class Grade:
    """The result of one attempt. Percents run from 0 to 100, raw: not corrected for guessing."""

    percent: float
    stages: Mapping[str, float]
    criteria: tuple[CriterionGrade, ...]
    unsafe: tuple[UnsafeStep, ...]
    versions: Mapping[str, str | int]


def grade(document: Document, events: Iterable[AnyEvent]) -> Grade:
    """Grade an attempt.

    Parameters
    ----------
    document : Document
        The edition the attempt was made on.
    events : iterable of events
        Its whole log, in order. A task without an answer earns nothing.

    Raises
    ------
    OutOfTurn
        If an event stands where it cannot.
    AnswerRefused
        If an answer cannot be compared with its task.
    """
    state = fold(events, case=document.slug)
    reference = derive(document, further=[_view(film) for film in state.films])
    _require_known(state, reference, document)
    bench = _replayed(document, state)
    observed = observed_in(bench)
    criteria = tuple(_judged(task, reference.answers[task.id], state, observed) for task in reference.tasks)
    return Grade(
        percent=_percent(criteria),
        stages={stage: _percent([one for one in criteria if one.stage == stage]) for stage in GRADED_STAGES},
        criteria=criteria,
        unsafe=(
            *_unsafe_choices(reference, state),
            *(UnsafeStep(rule, "shape", *rest) for rule, *rest in unsafe_at(bench)),
        ),
        versions={
            "case": document.slug,
            "schema": document.schema_version,
            "rubric": f"{reference.rubric.id} {reference.rubric.version}",
            "criteria": f"{reference.criteria.name}",
            "grader": GRADER_VERSION,
        },
    )


def _judged(task: Task, answer: ReferenceAnswer, state: State, observed: Observed) -> CriterionGrade:
    said = said_to(task, state, observed)
    expected = answer.by_film.get(film_of(state.answers.get(task.id)) or 0, answer.value)
    credit, why, leaning = 0.0, "You gave no answer.", None
    if said is not None:
        try:
            verdict = compare(task.criterion, said, expected)
        except ValueError as trouble:
            raise AnswerRefused(f"{task.id}: {trouble}") from trouble
        credit, why, leaning = verdict.credit, verdict.why, verdict.leaning
    return CriterionGrade(
        id=task.id,
        stage=task.criterion.stage,
        said=in_words(task, said),
        reference=in_words(task, expected),
        credit=credit,
        weight=task.weight,
        why=why,
        working=answer.working,
        leaning=leaning,
        answered=said is not None,
    )


def _percent(criteria: Sequence[CriterionGrade]) -> float:
    whole = sum(one.weight for one in criteria)
    return 100 * sum(one.credit * one.weight for one in criteria) / whole if whole else 0.0


def _replayed(document: Document, state: State) -> Bench:
    try:
        return replay(document.anatomy.tooth, state.moves)
    except ValueError as trouble:
        raise AnswerRefused(f"a move at the bench: {trouble}") from trouble


def _view(film: FilmTaken) -> View:
    return View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg)


def _require_known(state: State, reference: Reference, document: Document) -> None:
    """Raise AnswerRefused for an answer, finding or film that this case does not have."""
    known = {task.id for task in reference.tasks}
    for name, answer in state.answers.items():
        if name not in known:
            raise AnswerRefused(
                f"events[{answer.seq - 1}].task: this case asks no {name}: correct it or remove the event"
            )
        film = film_of(answer)
        if film is not None and film > len(document.films) + len(state.films):
            raise AnswerRefused(f"events[{answer.seq - 1}].film: film {film} was never taken: name one that was")
    for letter in state.asked:
        if letter not in {finding.letter for finding in document.chart}:
            raise AnswerRefused(f"finding {letter} is not in the chart of this case: remove the event that asks for it")


def _unsafe_choices(reference: Reference, state: State) -> list[UnsafeStep]:
    return [
        UnsafeStep(
            task.id,
            task.criterion.stage,
            task.criterion.label,
            reference.answers[task.id].unsafe[option],
            "the case's author",
        )
        for task in reference.tasks
        if isinstance(said := state.answers.get(task.id), Chose)
        for option in said.values
        if option in reference.answers[task.id].unsafe
    ]
