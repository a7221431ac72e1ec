"""Whether the limited volume that was asked for was justified when it was asked for, and what says so."""

from dataclasses import dataclass

from assess.log import State
from casebank.casefile import Document
from casebank.casefile.readings import film_views
from casebank.casefile.volume_grounds import has_grounds
from casebank.radiograph import View
from casebank.radiograph.cone_beam import ANGLES_FIRST, in_films, is_justified, reason_of

SAME_ANGLE_DEG = 5.0  # films whose tube was turned less than this apart show the same: a teaching choice


@dataclass(frozen=True)
class Justification:
    """What a volume was asked for, whether that justified it, and why.

    `films` is how many films give the same dose, typically. All words are of the reader's side: nothing of them may be
    shown before the case is settled.
    """

    reason: str
    hoped: str
    justified: bool
    why: str
    because: str
    sources: tuple[str, ...]
    films: int


def justification(document: Document, state: State) -> Justification | None:
    """The judgement of the request in an attempt; none where no volume was asked for."""
    if state.volume is None:
        return None
    reason = reason_of(state.volume.reason)
    angles = angles_seen(document, state)
    justified = is_justified(reason.slug, angles) and has_grounds(document, reason.slug)
    if justified:
        why = "The question stood, and what comes before a volume had been done."
    elif reason.justified == "no":
        why = "This reason does not justify a volume."
    elif not has_grounds(document, reason.slug):
        why = "Nothing in this case raises this question."
    else:
        why = f"Films from {ANGLES_FIRST} angles come first; you had looked from {angles}."
    return Justification(reason.words, state.volume.hoped, justified, why, reason.because, reason.sources, in_films())


def angles_seen(document: Document, state: State) -> int:
    """From how many horizontal angles films had been taken when the volume was asked for."""
    further = [View(horizontal_deg=film.horizontal_deg) for film in state.films[: state.films_before_volume]]
    angles: list[float] = []
    for view in film_views(document, further).values():
        if all(abs(view.horizontal_deg - known) >= SAME_ANGLE_DEG for known in angles):
            angles.append(view.horizontal_deg)
    return len(angles)


def unjustified_films(document: Document, state: State) -> int:
    """The dose of a volume that nothing justified, as so many films; 0 without one."""
    asked = justification(document, state)
    return 0 if asked is None or asked.justified else asked.films
