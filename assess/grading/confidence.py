"""What a confidence brings: points for each rated answer, beside the accuracy and never merged into it.

Three steps with a rule under which nobody gains by claiming more or less than they feel: 1, 2 or 3 points for an answer
that is right, and 0, 2 or 6 taken off for one that is wrong. With a chance p of being right the steps bring p, 4p - 2
and 9p - 6, so that "fairly sure" is the best step from p = 2/3 on and "sure" from p = 4/5 on.
Source: Gardner-Medwin, certainty-based marking, 2005, 2006 and 2019.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from assess.log import Answer
from assess.log.events import Confidence

RIGHT, WRONG = (1, 2, 3), (0, -2, -6)
STEPS: tuple[str, ...] = get_args(Confidence)
RIGHT_FROM = 0.75
"""An answer counts as right from this credit on: nearer to full than to the half that a neighbouring level or term
earns. A teaching choice."""


@dataclass(frozen=True)
class Step:
    """Answers given with one confidence: how many, and how many of them were right."""

    rated: int
    right: int


@dataclass(frozen=True)
class Confidences:
    """How an attempt's confidences turned out.

    Attributes
    ----------
    steps : mapping of confidence to Step
        From the least to the most sure.
    points : int
        What they brought together.
    sure_and_wrong, unsure_and_right : tuple of str
        Tasks, in the order they are asked.
    """

    steps: Mapping[str, Step]
    points: int
    sure_and_wrong: tuple[str, ...]
    unsure_and_right: tuple[str, ...]

    @property
    def rated(self) -> int:
        return sum(step.rated for step in self.steps.values())

    @property
    def right(self) -> int:
        return sum(step.right for step in self.steps.values())

    @property
    def mean(self) -> float | None:
        """Points for each rated answer; None where nothing was rated."""
        return self.points / self.rated if self.rated else None

    @property
    def honest(self) -> float | None:
        """What one step for all would have brought for each answer, chosen by the share that came out right.

        Somebody who knows that share and nothing else can get no more; who tells better answers from worse gets more.
        """
        return worth(best_step(self.right / self.rated), self.right / self.rated) if self.rated else None


def step_points(step: str, *, right: bool) -> int:
    """Points of one answer given with a confidence."""
    return (RIGHT if right else WRONG)[STEPS.index(step)]


def worth(step: str, chance: float) -> float:
    """Mean points of a step where an answer is right with this chance, 0 to 1.

    >>> [worth(step, 0.5) for step in STEPS]
    [0.5, 0.0, -1.5]
    """
    return chance * step_points(step, right=True) + (1 - chance) * step_points(step, right=False)


def best_step(chance: float) -> str:
    """The step that brings most at a chance; the less sure one of two that bring the same.

    >>> best_step(0.5), best_step(0.75), best_step(0.9)
    ('unsure', 'fairly sure', 'sure')
    """
    return max(STEPS, key=lambda step: worth(step, chance))


def confidences(answers: Mapping[str, Answer], earned: Mapping[str, float]) -> Confidences:
    """How the confidences of an attempt turned out.

    Parameters
    ----------
    answers : mapping of task to its last answer
        One without a confidence is not counted.
    earned : mapping of task to credit, 0 to 1
        In the order the tasks are asked; what is not in it is not counted.
    """
    felt = {task: answers[task].confidence for task in earned if task in answers}
    rated = {task: step for task, step in felt.items() if step is not None}
    right = {task for task in rated if earned[task] >= RIGHT_FROM}
    return Confidences(
        steps={
            step: Step(
                rated=sum(given == step for given in rated.values()),
                right=sum(given == step for task, given in rated.items() if task in right),
            )
            for step in STEPS
        },
        points=sum(step_points(step, right=task in right) for task, step in rated.items()),
        sure_and_wrong=tuple(task for task, step in rated.items() if step == STEPS[-1] and task not in right),
        unsure_and_right=tuple(task for task, step in rated.items() if step == STEPS[0] and task in right),
    )
