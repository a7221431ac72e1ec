"""The access outline that a student draws: the map it is drawn on, what was drawn so far, and both in words."""

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assess.log import Answer, Outlined
from assess.presenting.crowns import crown_map
from casebank.anatomy.access_polygon import area_mm2, checked_outline
from casebank.anatomy.occlusal import map_frame
from casebank.casefile import Document
from casebank.casefile.drawn_outline import drawn_marks, drawn_outline

Places = Sequence[tuple[float, float]]


def outlining(document: Document, answer: Answer | None) -> dict[str, Any]:
    """What a question about an outline shows: the bare map to draw on, and the places so far as lines of text."""
    said = answer if isinstance(answer, Outlined) else None
    return {
        "outline": as_lines(said.outline_mm) if said else "",
        "orifices": as_lines(said.orifices_mm) if said else "",
        "drawing": crown_map(document, drawn_over(said)),
        "origin": origin_words(document),
    }


def origin_words(document: Document) -> str:
    """From where places on the map are counted."""
    above = map_frame(document.anatomy.tooth).seen_from == "above"
    return _("the crown's middle") if above else _("the middle of the neck")


def drawn_over(said: Outlined | None) -> list[str]:
    """What was drawn, as parts of a map."""
    if said is None:
        return []
    return [*drawn_outline(said.outline_mm, "own", numbered=True), *drawn_marks(said.orifices_mm)]


def as_lines(places: Places) -> str:
    """Places as a form takes them.

    >>> as_lines([(1.0, -2.25), (0.1, 3.0)])
    '1 -2.25\\n0.1 3'
    """
    return "\n".join(f"{right:g} {down:g}" for right, down in places)


def outlined_words(said: Outlined) -> str:
    """An outline in words: how many points, how large, and how many orifices are expected."""
    area = abs(area_mm2(checked_outline(said.outline_mm)))
    points = ngettext("%(count)d point", "%(count)d points", len(said.outline_mm)) % {"count": len(said.outline_mm)}
    orifices = ngettext("%(count)d orifice expected", "%(count)d orifices expected", len(said.orifices_mm)) % {
        "count": len(said.orifices_mm)
    }
    return _("%(points)s round %(area).1f mm², %(orifices)s") % {"points": points, "area": area, "orifices": orifices}
