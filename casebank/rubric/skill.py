"""Skill above guessing: what an attempt earned beyond what a guess earns, over a whole set of tasks.

skill = (earned - baseline) / (whole - baseline), each a sum over the set in points of the rubric. 1 is everything, 0 is
what guessing earns, and below 0 lies less than that: the sign is kept, and only words say "no better than guessing".
The baseline is that of the best guesser over the whole set: a guesser follows one way through it.

The sums are taken first and divided once. Were each task held at 0 from below, a guesser would keep what luck gives and
never pay what it takes, so that chance alone would look like skill; and a single three-level factor, which a guess
meets every third time, would count by itself. It counts only in its set: the factors of one case taken together.
"""

from collections.abc import Iterable
from dataclasses import dataclass

LEAST_ROOM = 0.1
"""Share of a set's weight that must lie above guessing; with less a single answer would swing the figure: a choice."""


@dataclass(frozen=True)
class Guess:
    """What each way of guessing earns at one task, 0 to 1.

    Attributes
    ----------
    usual : float
        Mean credit, over a population of cases, of the answer that earns most where it is always given.
    here : float
        What that same answer earns in this very case.
    at_random : float
        Mean credit of an answer drawn at random, in this very case.
    """

    usual: float
    here: float
    at_random: float


@dataclass(frozen=True)
class Points:
    """What a set of tasks brought, in points of the rubric.

    Attributes
    ----------
    earned : float
        Credit by weight.
    baseline : float
        What guessing earns by weight.
    whole : float
        The weight of the tasks whose guess is known.
    """

    earned: float
    baseline: float
    whole: float

    @property
    def skill(self) -> float | None:
        """At most 1, negative below guessing; None where too little lies above guessing to tell.

        Examples
        --------
        80 of 100 where guessing earns 60 is half of what lies above guessing; 40 is as far below it.

        >>> Points(80, 60, 100).skill, Points(40, 60, 100).skill, Points(8, 9.5, 10).skill
        (0.5, -0.5, None)
        """
        room = self.whole - self.baseline
        return (self.earned - self.baseline) / room if room >= LEAST_ROOM * self.whole > 0 else None


def points(tasks: Iterable[tuple[float, Guess, float]]) -> Points:
    """The points of a set: of each task its credit (0 to 1), its guess and its weight.

    The usual answer's mean stands beside what it earns here: alone, the mean would let a case that is as most are turn
    the usual answers into skill, and what it earns here would make them free to beat where a case is not.

    Examples
    --------
    Over the set the usual answer earns 0.25 · 4 + 0.5 · 2 = 2, here it earns 1, and a random one 0.75 · 2 = 1.5.

    >>> points([(1.0, Guess(0.25, 0.25, 0.0), 4.0), (0.0, Guess(0.5, 0.0, 0.75), 2.0)])
    Points(earned=4.0, baseline=2.0, whole=6.0)
    """
    rows = tuple(tasks)
    ways = ((guess.usual, guess.here, guess.at_random) for _, guess, _ in rows)
    return Points(
        earned=sum(credit * weight for credit, _, weight in rows),
        baseline=max(
            (
                sum(way * weight for way, (_, _, weight) in zip(each, rows, strict=True))
                for each in zip(*ways, strict=True)
            ),
            default=0.0,
        ),
        whole=sum(weight for _, _, weight in rows),
    )
