"""The reference drawn on the film an answer was read on, beside the student's own marks. For settled attempts only."""

import json
from dataclasses import replace

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from assess.log import State
from assess.presenting.films import RECEPTOR, Shown, answered_marks, viewer_document, views_of
from casebank.anatomy import measure
from casebank.casefile import Document, Reference
from casebank.radiograph import View, project_canal
from casebank.rubric import MarkReference, MeasureReference, Task

AXIS_MM = 2.0  # length at the orifice that gives the coronal axis, as the construction takes it


def overlay(task: Task, document: Document, state: State, film: Shown, reference: Reference) -> Shown | None:
    """The film of an answer with both readings on it; none for a task that has no place on a film."""
    keyed = reference.answers[task.id]
    meant = keyed.by_film.get(film.number, keyed.value)
    drawn: list[dict[str, object]] = []
    if isinstance(meant, MarkReference):
        drawn = [{"kind": "point", "points": [_px(point)], "text": _("reference")} for point in meant.points_mm]
    elif isinstance(meant, MeasureReference) and meant.of:
        view = views_of(document, state)[film.number]
        canal = max(meant.of, key=lambda name: measure(project_canal(document.anatomy, name, view)).secant_deg)
        points = [_px((float(x), float(y))) for x, y in secant_points(document, canal, view)]
        drawn = [{"kind": "angle", "points": points, "text": _("reference, %(canal)s") % {"canal": canal}}]
    if not drawn:
        return None
    return replace(
        film,
        name=_("%(task)s, %(film)s") % {"task": task.criterion.label, "film": film.name},
        key=f"{film.key}-{task.id.replace('.', '-')}",
        fixed=True,
        document=viewer_document(film.number, answered_marks(state, film.number, task.id)),
        reference=json.dumps(drawn),
    )


def secant_points(document: Document, canal: str, view: View) -> NDArray[np.float64]:
    """The three points of Schneider's construction on a film: orifice, departure, foramen; shape (3, 2), mm."""
    line = project_canal(document.anatomy, canal, view)
    wanted = np.radians(measure(line).secant_deg)
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    coronal = np.array([np.interp(AXIS_MM, along, line[:, axis]) for axis in (0, 1)]) - line[0]
    rest = line[-1] - line[:-1]
    cosine = rest @ coronal / (np.linalg.norm(rest, axis=1) * np.linalg.norm(coronal))
    off = np.abs(np.arccos(np.clip(cosine, -1, 1)) - wanted)
    inner = (along[:-1] > AXIS_MM / 2) & (along[:-1] < along[-1] - AXIS_MM / 2)
    departure = int(np.argmin(np.where(inner, off, np.inf)))
    return np.stack([line[0], line[departure], line[-1]])


def _px(point_mm: tuple[float, float]) -> list[float]:
    """A place on the film, mm from its middle, in pixels from its upper left corner."""
    x, y = point_mm
    return [
        round(x / RECEPTOR.pitch_mm + RECEPTOR.width_px / 2, 1),
        round(y / RECEPTOR.pitch_mm + RECEPTOR.height_px / 2, 1),
    ]
