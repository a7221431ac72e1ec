"""A grade is a pure function of the case's document and the log: the same two give the same grade."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from assess.grading.benchwork import Observed, observed_in, time_in_chair
from assess.grading.confidence import Confidences, confidences
from assess.grading.licence import ruling
from assess.grading.on_films import FORM_LEVELS, cannot_tell, level_on_films, read_on_films, view_of, views_had
from assess.grading.said import AnswerRefused, AnySaid, CannotTell, Drawn, film_of, said_to
from assess.grading.skill import Skill, skill_of
from assess.grading.unsafe import UnsafeStep, unsafe_of
from assess.grading.volume import Justification, justification
from assess.grading.words import in_words
from assess.log import AnyEvent, Stage, State, fold
from casebank.casefile import Document, Reference, derive
from casebank.casefile.bench_setting import bench_setting
from casebank.casefile.opened import drawn_plan, judged, opening_said
from casebank.casefile.visible_keys import READ_ON_FILMS
from casebank.instruments import Bench, Observation, replay
from casebank.instruments.chair_time import ChairTime
from casebank.rubric import MAIN_AXIS, Said, Task, Verdict, compare
from casebank.rubric import Reference as Expected

GRADER_VERSION = 5
GRADED_STAGES = tuple(stage.value for stage in Stage if stage is not Stage.COMPARE)


@dataclass(frozen=True)
class CriterionGrade:
    """One task: what was said, what the reference is and rests on, the credit from 0 to 1, its weight, and why.

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
    key_type: str
    axis: str = MAIN_AXIS


@dataclass(frozen=True)
class Grade:
    """The result of one attempt. Percents run from 0 to 100, raw: not corrected for guessing, which `skill` is.

    `percent` and `stages` are of the main axis alone; `axes` gives each axis of the rubric its own, never merged.

    `confidence` stands apart from both, as does whether a limited volume that was asked for was justified. `observed`
    holds what the bench showed, by task, and `chair` the time it took, weighed by the rubric or not.
    """

    percent: float
    axes: Mapping[str, float]
    stages: Mapping[str, float]
    criteria: tuple[CriterionGrade, ...]
    unsafe: tuple[UnsafeStep, ...]
    versions: Mapping[str, str | int]
    observed: Mapping[str, Observation]
    chair: ChairTime
    skill: Skill
    confidence: Confidences
    volume: Justification | None


def grade(document: Document, events: Iterable[AnyEvent], *, derived: Callable[..., Reference] = derive) -> Grade:
    """Grade an attempt.

    Parameters
    ----------
    document : Document
        The edition the attempt was made on.
    events : iterable of events
        Its whole log, in order. A task without an answer earns nothing.
    derived : callable, optional
        What works the reference out, called as `derive` is; another that gives the same may keep what it gave before.

    Raises
    ------
    OutOfTurn
        If an event stands where it cannot.
    AnswerRefused
        If an answer cannot be compared with its task.
    """
    state = fold(events, case=document.slug)
    reference = derived(document, further=[view_of(film) for film in state.films])
    _require_known(state, reference, document)
    bench = _replayed(document, state)
    observed = observed_in(bench, document, state)
    criteria = tuple(_judged(task, document, reference, state, observed) for task in reference.tasks)
    main = [one for one in criteria if one.axis == MAIN_AXIS]
    earned = {one.id: one.credit for one in criteria}
    return Grade(
        percent=_percent(main),
        axes={axis: _percent([one for one in criteria if one.axis == axis]) for axis in reference.rubric.axes},
        stages={stage: _percent([one for one in main if one.stage == stage]) for stage in GRADED_STAGES},
        criteria=criteria,
        unsafe=unsafe_of(document, reference, state, bench),
        versions={
            "case": document.slug,
            "schema": document.schema_version,
            "rubric": f"{reference.rubric.id} {reference.rubric.version}",
            "criteria": f"{reference.criteria.name}",
            "grader": GRADER_VERSION,
        },
        observed=observed,
        chair=time_in_chair(bench, document, state),
        skill=skill_of(document, reference, earned),
        confidence=confidences(state.answers, earned),
        volume=justification(document, state),
    )


def _judged(task: Task, document: Document, reference: Reference, state: State, observed: Observed) -> CriterionGrade:
    said, answer = _opened(document, task, said_to(task, state, observed)), reference.answers[task.id]
    keyed = answer.by_film.get(film_of(state.answers.get(task.id)) or 0, answer.value)
    ruled = ruling(task, keyed, reference, state.answers.get(task.id))
    expected = ruled.reference
    verdict, could_tell = Verdict(0.0, "You gave no answer."), True
    if said is not None:
        try:
            verdict, could_tell = _verdict(task, said, expected, document, reference, state)
        except ValueError as trouble:
            raise AnswerRefused(f"{task.id}: {trouble}") from trouble
    meant = in_words(task, expected)
    return CriterionGrade(
        id=task.id,
        stage=task.criterion.stage,
        said=in_words(task, said),
        reference=meant if could_tell else f"{in_words(task, CannotTell())}; in the tooth: {meant}",
        credit=verdict.credit,
        weight=task.weight,
        why=f"{verdict.why} {ruled.why}".rstrip(),
        working=answer.working,
        leaning=verdict.leaning,
        answered=said is not None,
        key_type="school rule" if ruled.decides else task.criterion.key_type,
        axis=task.criterion.axis,
    )


def _opened(document: Document, task: Task, said: AnySaid | None) -> Said | CannotTell | None:
    """What was said, an outline as what it comes to in this tooth."""
    if not isinstance(said, Drawn):
        return said
    try:
        return opening_said(judged(document, drawn_plan(document, said.outline_mm, said.orifices_mm)))
    except ValueError as trouble:
        raise AnswerRefused(f"{task.id}: {trouble}") from trouble


def _verdict(
    task: Task, said: Said | CannotTell, expected: Expected, document: Document, reference: Reference, state: State
) -> tuple[Verdict, bool]:
    """The verdict on an answer, and whether the films could tell what it was asked."""
    if isinstance(said, CannotTell):
        if task.id not in READ_ON_FILMS:
            raise ValueError("this is not read on a film: correct the event")
        return cannot_tell(task, document, views_had(document, state, Stage(task.criterion.stage)))
    plain = compare(task.criterion, said, expected)
    if plain.credit == 1 or task.id not in (*READ_ON_FILMS, *FORM_LEVELS):
        return plain, True
    views = views_had(document, state, Stage(task.criterion.stage))
    if task.id in READ_ON_FILMS:
        return read_on_films(task, plain, document, views)
    return level_on_films(task, said, plain, document, reference, views), True


def _percent(criteria: Sequence[CriterionGrade]) -> float:
    whole = sum(one.weight for one in criteria)
    return 100 * sum(one.credit * one.weight for one in criteria) / whole if whole else 0.0


def _replayed(document: Document, state: State) -> Bench:
    try:
        return replay(document.anatomy.tooth, state.moves, bench_setting(document))
    except ValueError as trouble:
        raise AnswerRefused(f"a move at the bench: {trouble}") from trouble


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
