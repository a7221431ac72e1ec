"""Whether an event can be one of this case: its task, options, findings, films and canals exist.

Nothing is compared with a reference, and a refusal tells nothing that answers a task: the names of the case's own
canals decide only in stages in which the student knows them.
"""

from dataclasses import replace
from functools import lru_cache

from assess.grading.said import ANSWERED_BY, AnswerRefused, CannotTell, Drawn, film_of, said_to
from assess.log import (
    Answer,
    AnyEvent,
    Asked,
    Chose,
    FilmTaken,
    Levelled,
    Marked,
    MarkedOwn,
    Measured,
    Moved,
    Outlined,
    Stage,
    State,
    Wrote,
)
from casebank.anatomy import usual_canals
from casebank.casefile import Document
from casebank.casefile.opened import drawn_plan, judged
from casebank.casefile.visible_keys import READ_ON_FILMS
from casebank.difficulty import criteria_named
from casebank.radiograph import View
from casebank.rubric import ChoiceRule, Rubric, Task, WrittenRule, check
from casebank.rubric import bundled as bundled_rubric

MOST_FURTHER_FILMS = 20  # teaching choice: beyond this nobody is asking a question any more
GREATEST_NUMBER = 1000  # no reading in millimetres, degrees or canals comes near it
STAGES_WITH_KNOWN_CANALS = (Stage.SHAPE, Stage.FILL)


def tasks_of(document: Document) -> tuple[Task, ...]:
    """Every task of a case, in the order they are asked; needs no reference."""
    canals = tuple(canal.name for canal in document.anatomy.tooth.canals)
    return _tasks(document.rubric, document.criteria, canals)


def require_fit(document: Document, state: State, event: AnyEvent) -> None:
    """Raise AnswerRefused, with one sentence, unless an event in its turn can be one of this case.

    Parameters
    ----------
    document : Document
    state : State
        The attempt before the event.
    event : an event that may happen now
    """
    match event:
        case Asked():
            _require_finding_to_ask(document, event.finding)
        case FilmTaken():
            _require_film_to_take(state, event)
        case Chose() | Measured() | Marked() | Outlined() | Wrote() | Levelled():
            _require_answer(document, state, event)
        case MarkedOwn():
            _require_own_lines(document, event)
        case Moved():
            canals = [canal.name for canal in document.anatomy.tooth.canals]
            if event.canal not in canals:
                raise AnswerRefused(f"There is no canal {event.canal} here: this tooth has {', '.join(canals)}.")


def _require_answer(document: Document, state: State, answer: Answer) -> None:
    stage = Stage.WEIGH if isinstance(answer, Levelled) else answer.stage
    rubric = bundled_rubric(document.rubric)
    _require_task_kind(rubric, answer, stage)
    task = next((task for task in tasks_of(document) if task.id == answer.task), None)
    if task is None:
        raise AnswerRefused(f"This case asks no {answer.task}: answer one of its own tasks.")
    _require_film_taken(document, state, film_of(answer))
    for pin in _pins(task, answer):
        _require_pin(document, state, pin)
    if isinstance(answer, Measured) and answer.value is not None:
        _require_reading(document, task, answer.value, answer)
    if isinstance(answer, Marked) and _is_outside(answer):
        raise AnswerRefused("A mark lies outside the picture: set it on the film.")
    said = said_to(task, replace(state, answers={task.id: answer}), {})
    if isinstance(said, Drawn):
        _require_on_crown(document, said)
        return
    if isinstance(said, CannotTell):
        if task.id not in READ_ON_FILMS:
            raise AnswerRefused(f"{task.criterion.label} is not read on a film: give your answer.")
        return
    if isinstance(answer, Wrote) and not answer.text.strip():
        raise AnswerRefused(f"{task.criterion.label}: nothing but blanks was written: say it in words.")
    try:
        check(task.criterion, said) if said is not None else None
    except ValueError as trouble:
        raise AnswerRefused(f"{task.criterion.label}: {trouble}.") from trouble


def _require_on_crown(document: Document, said: Drawn) -> None:
    """An outline can be cut into this crown; nothing of what it meets there is told."""
    try:
        judged(document, drawn_plan(document, said.outline_mm, said.orifices_mm))
    except ValueError as trouble:
        words = str(trouble)
        raise AnswerRefused(f"{words[:1].upper()}{words[1:]}.") from trouble


def _require_own_lines(document: Document, event: MarkedOwn) -> None:
    task = next((task for task in tasks_of(document) if task.id == event.task), None)
    rule = task.criterion.rule if task else None
    if not isinstance(rule, WrittenRule):
        raise AnswerRefused(f"{event.task} was not asked in words: nothing of it is marked.")
    if stray := [name for name in event.met if name not in {line.id for line in rule.lines}]:
        raise AnswerRefused(f"There is no line {stray[0]}: mark those on the page.")


def _require_task_kind(rubric: Rubric, answer: Answer, stage: Stage) -> None:
    """The task's criterion exists, is asked in this stage and takes such an answer. Says nothing about canals."""
    try:
        criterion = rubric.criterion(answer.task)
    except KeyError as trouble:
        raise AnswerRefused(f"This case asks no {answer.task}: answer one of its own tasks.") from trouble
    if criterion.stage != stage:
        asked = Stage(criterion.stage).label
        raise AnswerRefused(f"{criterion.label} is asked in {asked}, not in {stage.label}: answer it there.")
    wanted = ANSWERED_BY.get(criterion.kind)
    if wanted is None:
        raise AnswerRefused(f"{criterion.label} is judged by what you do at the bench: it takes no other answer.")
    if not isinstance(answer, wanted):
        raise AnswerRefused(f"{criterion.label} asks for a {criterion.kind}: give one.")


def _require_finding_to_ask(document: Document, letter: str) -> None:
    finding = next((finding for finding in document.chart if finding.letter == letter), None)
    if finding is None:
        raise AnswerRefused(f"There is no finding {letter} in this chart: ask for one that it lists.")
    if finding.when == "start":
        raise AnswerRefused(f"Finding {letter} is there from the start: it need not be asked for.")


def _require_film_to_take(state: State, film: FilmTaken) -> None:
    if len(film.reason.strip()) < 3:
        raise AnswerRefused("A film is taken for a reason: say in a few words what it is to answer.")
    if len(state.films) >= MOST_FURTHER_FILMS:
        raise AnswerRefused(f"You have taken {MOST_FURTHER_FILMS} further films: decide with those you have.")
    try:
        View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg)
    except ValueError as trouble:
        raise AnswerRefused(f"This film cannot be taken: {trouble}.") from trouble


def _require_film_taken(document: Document, state: State, film: int | None) -> None:
    if film is not None and not 1 <= film <= len(document.films) + len(state.films):
        raise AnswerRefused(f"Film {film} was never taken: name one of your films.")


def _pins(task: Task, answer: Answer) -> tuple[str, ...]:
    """The findings and films an answer cites."""
    if isinstance(answer, Levelled):
        return answer.evidence
    rule = task.criterion.rule
    cites = isinstance(rule, ChoiceRule) and rule.options == "case"
    return answer.values if isinstance(answer, Chose) and cites else ()


def _require_pin(document: Document, state: State, pin: str) -> None:
    """A pin is a finding that the student has seen, or a film that they have."""
    if pin.startswith("film ") and pin.removeprefix("film ").isdecimal():
        _require_film_taken(document, state, int(pin.removeprefix("film ")))
        return
    seen = {finding.letter for finding in document.chart if finding.when == "start"} | set(state.asked)
    if pin not in seen:
        raise AnswerRefused(f"You have no finding {pin}: cite findings that you have seen and films that you have.")


def _is_outside(mark: Marked) -> bool:
    across, down = mark.size_px or (0, 0)
    return any(x > across or y > down for x, y in mark.points_px)


def _require_reading(document: Document, task: Task, value: float, reading: Measured) -> None:
    if abs(value) > GREATEST_NUMBER:
        raise AnswerRefused(f"{task.criterion.label}: {value:g} is no reading: give a number that can be.")
    if reading.of is None:
        return
    own = frozenset(canal.name for canal in document.anatomy.tooth.canals)
    known = own if reading.stage in STAGES_WITH_KNOWN_CANALS else own.union(usual_canals(document.anatomy.tooth.number))
    if reading.of not in known or (task.of is not None and reading.of != task.of):
        raise AnswerRefused(f"There is no canal {reading.of} to measure here: name the canal you measured.")


@lru_cache(maxsize=64)
def _tasks(rubric: str, criteria: str, canals: tuple[str, ...]) -> tuple[Task, ...]:
    named = criteria_named(criteria)
    factors = [factor.id for factor in named.factors]
    return bundled_rubric(rubric).tasks(canals=canals, factors=factors, level_words=named.level_words)
