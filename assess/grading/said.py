"""What a student said to each task, taken from the state of the attempt and from the replayed bench."""

from dataclasses import dataclass

from assess.grading.benchwork import Observed
from assess.log import Answer, Chose, Levelled, Marked, Measured, Outlined, State, Wrote
from casebank.radiograph import Receptor
from casebank.rubric import BenchSaid, LevelSaid, MarkSaid, MeasureSaid, OrderSaid, Said, Task, WrittenSaid

ORDERED = ("order", "rank")

ANSWERED_BY: dict[str, type[Answer]] = {
    "choice": Chose,
    "order": Chose,
    "rank": Chose,
    "outline": Outlined,
    "written": Wrote,
    "measure": Measured,
    "mark": Marked,
    "level": Levelled,
}


class AnswerRefused(ValueError):
    """An answer that cannot be compared; the message names the task and says what to do."""


@dataclass(frozen=True)
class CannotTell:
    """That the films do not show what a task asks: an answer to the tasks that are read on films."""


@dataclass(frozen=True)
class Drawn:
    """An outline as it was drawn; what it comes to only the tooth can tell."""

    outline_mm: tuple[tuple[float, float], ...]
    orifices_mm: tuple[tuple[float, float], ...]


AnySaid = Said | CannotTell | Drawn


def said_to(task: Task, state: State, observed: Observed) -> AnySaid | None:
    """The student's answer to a task in the rubric's terms; none if there is no answer.

    AnswerRefused if the answer is of another kind than the task, or was given in another stage.
    """
    if task.criterion.kind == "bench":
        return _observation(task, observed)
    answer = state.answers.get(task.id)
    if answer is None:
        return None
    wanted = ANSWERED_BY[task.criterion.kind]
    if not isinstance(answer, wanted):
        raise AnswerRefused(
            f"events[{answer.seq - 1}].event: {task.id} is a {task.criterion.kind} and cannot be answered by "
            f"{answer.event!r}: send {wanted.model_fields['event'].default!r}"
        )
    if not isinstance(answer, Levelled) and answer.stage != task.criterion.stage:
        raise AnswerRefused(
            f"events[{answer.seq - 1}].stage: {task.id} is asked in {task.criterion.stage}, "
            f"not in {answer.stage.value}: correct the stage"
        )
    return _in_rubric_terms(task, answer, state)


def film_of(answer: Answer | None) -> int | None:
    """The film an answer was read on, if it names one."""
    return answer.film if isinstance(answer, Measured | Marked) else None


def _in_rubric_terms(task: Task, answer: Answer, state: State) -> AnySaid:
    match answer:
        case Outlined() | Wrote():
            return _made(answer, state)
        case Chose():
            return _in_order(task, answer) if task.criterion.kind in ORDERED else answer.values
        case Measured():
            return CannotTell() if answer.value is None else MeasureSaid(answer.value, answer.of)
        case Levelled():
            return LevelSaid(answer.level, frozenset(answer.evidence))
        case Marked():
            if answer.size_px is None:
                return CannotTell()
            across, down = answer.size_px
            pitch = Receptor.of_pixels(across, down).pitch_mm
            return MarkSaid(tuple(((x - across / 2) * pitch, (y - down / 2) * pitch) for x, y in answer.points_px))


def _in_order(task: Task, answer: Chose) -> OrderSaid:
    try:
        return OrderSaid(answer.values)
    except ValueError as trouble:
        raise AnswerRefused(f"{task.criterion.label}: {trouble}.") from trouble


def _made(answer: Outlined | Wrote, state: State) -> AnySaid:
    """What the student made of their own: a drawing, or a text with what its author found met in it."""
    if isinstance(answer, Outlined):
        return Drawn(answer.outline_mm, answer.orifices_mm)
    met = state.own_marks.get(answer.task)
    return WrittenSaid(answer.text, frozenset(met or ()), None if met is None else "author")


def _observation(task: Task, observed: Observed) -> BenchSaid | None:
    seen = observed.get(task.id)
    return BenchSaid(seen.met, seen.of, seen.notes) if seen else None
