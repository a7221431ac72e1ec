"""Which competencies the tasks of cases exercise, counted by hand for one case."""

from pathlib import Path

import pytest

from casebank.casefile import read_document
from casebank.casefile.coverage import Cell, coverage
from casebank.rubric import bundled_framework

CASE = Path(__file__).parents[3] / "fixtures" / "cases" / "leaning-abutment.case.json"


@pytest.fixture(scope="module")
def document():
    return read_document(CASE)


def row(matrix, name):
    return next(row for row in matrix.rows if row.competency.id == name)


@pytest.mark.parametrize(
    ("name", "cell"),
    [
        # three canals, seventeen difficulty factors; by the rubric:
        ("gauge", Cell(3, aim=False)),  # gauge, in each canal
        # path, recapitulation, length kept, axis kept, walls left, patency, in each canal; economy in the whole
        ("shape", Cell(6 * 3 + 1, aim=False)),
        ("length", Cell(3 * 3, aim=False)),  # length read, working length, length kept, in each canal
        ("difficulty", Cell(17 + 1 + 1 + 1, aim=True)),  # each factor, the whole, the bend, and the reason in words
        ("refer", Cell(2, aim=True)),  # the decision, and the reason in words
        ("films", Cell(8, aim=True)),  # apical term, further film, count, bend, tip, axis, depth, what is healed
        ("coronal-seal", Cell(3, aim=False)),  # restorability, between two visits, seal
        ("vital-pulp", Cell(0, aim=False)),  # nothing asks for it
    ],
)
def test_a_case_s_tasks_are_counted_as_often_as_they_are_asked(document, name, cell):
    assert row(coverage([document]), name).cells == (cell,)


def test_what_no_task_exercises_is_shown_as_a_hole(document):
    matrix = coverage([document])
    assert [competency.id for competency in matrix.empty] == [
        "vital-pulp",
        "trauma",
        "perio-endo",
        "medical",
        "anxiety",
        "pain-other",
        "cracks",
        "resorption",
        "retreat",
        "open-apex",
    ]


def test_an_aim_that_no_task_exercises_stays_visible(document):
    aiming = document.model_copy(update={"competencies": ("trauma",)})
    matrix = coverage([document, aiming])
    assert row(matrix, "trauma").cells == (Cell(0, aim=False), Cell(0, aim=True))
    assert (row(matrix, "trauma").tasks, row(matrix, "trauma").aims) == (0, 1)
    assert "trauma" in [competency.id for competency in matrix.empty]


def test_cells_stand_in_the_order_of_the_cases_and_rows_in_the_framework_s(document):
    other = document.model_copy(update={"slug": "another"})
    matrix = coverage([other, document])
    assert matrix.cases == ("another", "leaning-abutment")
    assert tuple(row.competency.id for row in matrix.rows) == bundled_framework("undergraduate").ids
    assert row(matrix, "gauge").tasks == 6


def test_no_case_leaves_every_competency_a_hole():
    matrix = coverage([])
    assert len(matrix.empty) == len(matrix.rows) == 29


def test_an_unknown_framework_is_refused(document):
    with pytest.raises(ValueError, match="there is no framework 'postgraduate'"):
        coverage([document], framework="postgraduate")
