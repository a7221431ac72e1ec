"""What the films of a case show: the bend of each canal in each view, and where a root's tip lies on the picture."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from casebank.anatomy import Anatomy, Curvature, measure
from casebank.casefile.document import Document
from casebank.difficulty import AngleMethod, angle_methods
from casebank.radiograph import Receptor, View, aim, project_canal

SCHNEIDER = angle_methods().method("Schneider")
AS_PLAIN_DEG = 3.0  # bends that differ by less cannot be told apart on a film: a teaching choice


@dataclass(frozen=True)
class Reading:
    """The bend of one canal as one film shows it, by every construction."""

    film: int
    view: View
    canal: str
    bend: Curvature

    @property
    def secant_deg(self) -> float:
        """By Schneider's construction, in which the tasks of a rubric are asked."""
        return self.bend.secant_deg


def film_views(document: Document, further: Sequence[View] | None) -> dict[int, View]:
    """The films of an attempt by number: the given ones, then the further ones (by default those the author names)."""
    given = [
        View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg, roll_deg=film.roll_deg)
        for film in document.films
    ]
    if further is None:
        further = [View(horizontal_deg=angle) for angle in document.further_films_deg]
    return dict(enumerate([*given, *further], 1))


def read_curvature(anatomy: Anatomy, views: Mapping[int, View]) -> tuple[Reading, ...]:
    """Each canal's bend on each film."""
    return tuple(
        Reading(number, view, canal.name, _seen(anatomy, canal.name, view))
        for number, view in views.items()
        for canal in anatomy.tooth.canals
    )


@lru_cache(maxsize=1024)
def _seen(anatomy: Anatomy, canal: str, view: View) -> Curvature:
    """A canal's bend in a view; kept, because every grade of a case asks for the same few."""
    return measure(project_canal(anatomy, canal, view))


def plainest(readings: Sequence[Reading], method: AngleMethod = SCHNEIDER) -> Reading:
    """The reading of the most curved canal on the film that shows it most, by a construction."""
    return max(readings, key=lambda reading: method.of(reading.bend))


def most_curved(readings: Sequence[Reading]) -> frozenset[str]:
    """The canals that may be read as the most curved: those whose greatest reading is within what a film can tell."""
    greatest = {
        reading.canal: max(other.secant_deg for other in readings if other.canal == reading.canal)
        for reading in readings
    }
    top = max(greatest.values())
    return frozenset(canal for canal, angle in greatest.items() if angle > top - AS_PLAIN_DEG)


def tip_on_film_mm(document: Document, view: View) -> tuple[float, float]:
    """The marked root's tip on a film, mm right and down from its centre."""
    anatomy = document.anatomy
    tip = anatomy.placement.to_jaw(anatomy.tooth.root(document.marked_root).apex_mm[np.newaxis])
    right, down = aim(view, Receptor(), anatomy).to_film_mm(tip)[0]
    return float(right), float(down)
