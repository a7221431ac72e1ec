"""What a student said to each task, taken from the state of the attempt and from the replayed bench."""

from dataclasses import dataclass

from assess.grading.benchwork import Observed
from assess.log import Answer, Chose, Levelled, Marked, Measured, State
from casebank.radiograph import Receptor
from casebank.rubric import BenchSaid, LevelSaid, MarkSaid, MeasureSaid, Said, Task

ANSWERED_BY: dict[str, type[Chose | Measured | Marked | Levelled]] = {
    "choice": Chose,
    "measure": Measured,
    "mark": Marked,
    "level": Levelled,
}


class AnswerRefused(ValueError):
    """An answer that cannot be compared; the message names the task and says what to do."""


@dataclass(frozen=True)
class CannotTell:
    """That the films do not show what a task asks: an answer to the tasks that are read on films."""


def said_to(task: Task, state: State, observed: Observed) -> Said | CannotTell | None:
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
    return _in_rubric_terms(answer)


def film_of(answer: Answer | None) -> int | None:
    """The film an answer was read on, if it names one."""
    return answer.film if isinstance(answer, Measured | Marked) else None


def _in_rubric_terms(answer: Answer) -> Said | CannotTell:
    match answer:
        case Chose():
            return answer.values
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


def _observation(task: Task, observed: Observed) -> BenchSaid | None:
    seen = observed.get(task.id)
    return BenchSaid(seen.met, seen.of, seen.notes) if seen else None
