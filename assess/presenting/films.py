"""The films of an attempt: those given and those taken, by number."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from assess.log import Marked, Measured, State
from assess.presenting.naming import tooth_words, view_words
from casebank.casefile import Document
from casebank.casefile.readings import film_views
from casebank.radiograph import Receptor, View

RECEPTOR = Receptor()
MARK_KINDS = {1: "point", 2: "length", 3: "angle"}


@dataclass(frozen=True)
class Shown:
    """One film as the viewer takes it; `document` and `reference` are the viewer's own JSON.

    `quick_url` is that of a picture for the wait, where the film itself has still to be rendered.
    """

    number: int
    key: str
    name: str
    description: str
    reason: str = ""
    picture_url: str = ""
    quick_url: str = ""
    document: str = ""
    reference: str = ""
    fixed: bool = False
    rows: tuple[()] = ()
    width: int = RECEPTOR.width_px
    height: int = RECEPTOR.height_px
    mm_per_px: float = RECEPTOR.pitch_mm


def views_of(document: Document, state: State) -> dict[int, View]:
    """The view of each film, by the film's number."""
    return film_views(document, further_views(state))


def further_views(state: State) -> tuple[View, ...]:
    return tuple(View(horizontal_deg=film.horizontal_deg, vertical_deg=film.vertical_deg) for film in state.films)


def films_of(document: Document, state: State) -> tuple[Shown, ...]:
    """Every film, in order. What is said of a film is where it was taken and why, never what it shows."""
    tooth = document.anatomy.tooth.number
    given = len(document.films)
    return tuple(
        Shown(
            number=number,
            key=f"film-{number}",
            name=_("Film %(number)d, %(view)s") % {"number": number, "view": view_words(view)},
            description=_("Synthetic periapical film, %(tooth)s in the middle, %(view)s")
            % {"tooth": tooth_words(tooth), "view": view_words(view)},
            reason=state.films[number - given - 1].reason if number > given else "",
            document=viewer_document(number, answered_marks(state, number)),
        )
        for number, view in views_of(document, state).items()
    )


def answered_marks(state: State, film: int, task: str | None = None) -> list[list[tuple[float, float]]]:
    """The points of each answer that was read on a film, in film pixels."""
    return [
        list(answer.points_px)
        for name, answer in state.answers.items()
        if isinstance(answer, Marked | Measured) and answer.film == film and answer.points_px and task in (None, name)
    ]


def viewer_document(film: int, marks: Sequence[Sequence[tuple[float, float]]]) -> str:
    """Marks as the viewer stores them: several points of one answer that is no angle are marks of their own."""
    single = [[point] for points in marks if len(points) != 3 for point in points] + [
        list(points) for points in marks if len(points) == 3
    ]
    if not single:
        return ""
    drawn = [
        {"pin": pin, "kind": MARK_KINDS[len(points)], "points": points, "text": ""}
        for pin, points in enumerate(single, 1)
    ]
    size = [RECEPTOR.width_px, RECEPTOR.height_px]
    return json.dumps({"version": 1, "film": f"film-{film}", "size": size, "next": len(drawn) + 1, "marks": drawn})


def at(film: Shown, url: str) -> Shown:
    """The film with the address of its picture."""
    return replace(film, picture_url=url)
