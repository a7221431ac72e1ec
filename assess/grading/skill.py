"""How much of an attempt lies above guessing: its credits against the rubric's frozen baseline."""

from collections.abc import Mapping
from dataclasses import dataclass

from casebank.casefile import Document, Reference
from casebank.casefile.readings import film_views
from casebank.rubric import MAIN_AXIS
from casebank.rubric.baseline import Baseline, baseline_for
from casebank.rubric.skill import Guess, Points, points
from casebank.rubric.skill_random import Setting


@dataclass(frozen=True)
class Skill:
    """Points of one case taken as a set, and the table of constant answers they are held against.

    Attributes
    ----------
    points : Points
        Over all tasks whose guess is known; its `skill` is the figure. Points of several attempts may be added.
    table : str
        Rubric, its version and the edition of the table; edition 0 stands for none.
    population : str
        The cases the table was fitted on.
    """

    points: Points
    table: str
    population: str


def skill_of(document: Document, reference: Reference, earned: Mapping[str, float]) -> Skill:
    """The skill of an attempt. `earned` gives each task's credit, 0 to 1; one that is left out is not in the set."""
    table = baseline_for(reference.rubric)
    guesses = guesses_of(document, reference, table)
    main = [task for task in reference.tasks if task.criterion.axis == MAIN_AXIS]
    tasks = [task for task in main if task.id in earned and task.id in guesses]
    return Skill(
        points=points((earned[task.id], guesses[task.id], task.weight) for task in tasks),
        table=f"{table.rubric}, edition {table.edition}",
        population=table.population,
    )


def guesses_of(document: Document, reference: Reference, table: Baseline) -> dict[str, Guess]:
    """What guessing earns at each task of a case; a task whose guess nobody has worked out is left out.

    At the bench it is the mean of what moves at random earn, from the table: nothing is earned where nothing is done,
    but whoever moves at all keeps an axis here and meets a length there.
    """
    setting = setting_of(document)
    found = {task.id: table.guess(task, reference.answers[task.id].value, setting) for task in reference.tasks}
    return {task: guess for task, guess in found.items() if guess is not None}


def setting_of(document: Document) -> Setting:
    """What there is to cite and to name in a case, with its own films alone."""
    return Setting(pins=len(document.chart) + len(film_views(document, ())), canals=len(document.anatomy.tooth.canals))
