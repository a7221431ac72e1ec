"""Which mark was meant for which point: the pairing that serves the student best, false marks counted."""

import math
from dataclasses import dataclass
from functools import cache

from casebank.rubric.answers import Point
from casebank.rubric.rules import MarkRule


@dataclass(frozen=True)
class Pairing:
    """Pairs as (number of the mark, number of the point, distance in mm), and how many marks earned nothing."""

    pairs: tuple[tuple[int, int, float], ...]
    false_marks: int
    earned: float
    """Sum of the pairs' credits less the cost of the false marks."""


def pair(marks_mm: tuple[Point, ...], points_mm: tuple[Point, ...], rule: MarkRule) -> Pairing:
    """Pair marks with points so that what is earned is greatest.

    A mark takes at most one point and a point at most one mark. A mark that earns nothing is false, paired or not, so
    bringing any mark nearer can never lower what is earned.

    Examples
    --------
    Two points 3 mm apart. A greedy pairing would give the first mark its nearest point and leave the second without.

    >>> rule = MarkRule(1.0, 3.0, 0.5, 4, 1000.0)
    >>> pair(((1.4, 0.0), (0.2, 0.0)), ((0.0, 0.0), (3.0, 0.0)), rule).pairs
    ((0, 1, 1.6), (1, 0, 0.2))
    """

    @cache
    def best(mark: int, taken: int) -> tuple[float, tuple[tuple[int, int, float], ...]]:
        if mark == len(marks_mm):
            return 0.0, ()
        earned, pairs = best(mark + 1, taken)
        found = earned - rule.false_mark_cost, pairs
        for point, place_mm in enumerate(points_mm):
            distance_mm = math.dist(marks_mm[mark], place_mm)
            credit = rule.credit(distance_mm)
            if taken & 1 << point or credit == 0:
                continue
            earned, pairs = best(mark + 1, taken | 1 << point)
            if earned + credit > found[0]:
                found = earned + credit, ((mark, point, distance_mm), *pairs)
        return found

    earned, pairs = best(0, 0)
    return Pairing(pairs, len(marks_mm) - len(pairs), earned)
