"""How long an opening takes to judge with the tooth prepared: 20 ms at most; and to prepare one: 300 ms. The least of
some runs is judged, so load on the machine does not decide."""

import math
from pathlib import Path

import pytest

from casebank.anatomy.access import judge_access
from casebank.anatomy.access_plan import AccessPlan
from casebank.casefile import read_document
from casebank.casefile.access_columns import _prepared, prepare

MOST_S, PREPARED_S = 0.020, 0.300
CASES = sorted(Path("fixtures/cases").glob("*.case.json"))


def opening(anatomy, corners: int) -> AccessPlan:
    """A round opening in the middle of the map."""
    crown = anatomy.tooth.crown
    front = anatomy.tooth.number % 10 <= 3
    radius = 0.25 * crown.mesiodistal_mm
    down = 0.0 if not front else 0.5 * crown.height_mm * (-1 if anatomy.tooth.is_upper else 1)
    turns = [2 * math.pi * n / corners for n in range(corners)]
    points = tuple((radius * math.cos(turn), down + radius * math.sin(turn)) for turn in turns)
    return AccessPlan(points, 7.5, marks=((0.0, down), (1.0, down)))


@pytest.mark.parametrize("corners", [14, 200])
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.name.split(".")[0])
def test_a_verdict(benchmark, path, corners):
    anatomy = read_document(path).anatomy
    plan = opening(anatomy, corners)
    prepared = prepare(anatomy, plan.axis)
    benchmark(judge_access, prepared, plan)
    assert benchmark.stats.stats.min < MOST_S


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.name.split(".")[0])
def test_preparing(benchmark, path):
    anatomy = read_document(path).anatomy
    axis = opening(anatomy, 14).axis
    prepare(anatomy, axis)  # compiles, and makes the pieces a film shares

    def anew():
        _prepared.cache_clear()
        return prepare(anatomy, axis)

    benchmark.pedantic(anew, rounds=4, iterations=1)
    assert benchmark.stats.stats.min < PREPARED_S
