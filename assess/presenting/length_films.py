"""Films taken at the bench for a length: the picture of a file where it stood, and the words the move itself said."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from assess.presenting.films import RECEPTOR
from assess.presenting.naming import tooth_words
from casebank.casefile import Document
from casebank.casefile.in_canal import instrument_rod
from casebank.instruments import Bench, FilmLength, Instrument, Step
from casebank.radiograph import Rod, View

STRAIGHT = View()  # as the bench reads it


@dataclass(frozen=True)
class BenchFilm:
    """One film of a length, by the number of its move."""

    number: int
    canal: str
    name: str
    description: str
    picture_url: str
    width: int = RECEPTOR.width_px
    height: int = RECEPTOR.height_px


def filmed(bench: Bench) -> dict[int, Step]:
    """The moves that took a film with a file in the canal, by number."""
    return {
        step.number: step for step in bench.record if isinstance(step.move, FilmLength) and step.reach.hold == "filmed"
    }


def length_films(document: Document, bench: Bench, url: Callable[[int], str]) -> tuple[BenchFilm, ...]:
    """Every film of a length, the newest first. Its words are the move's own."""
    tooth = tooth_words(document.anatomy.tooth.number)
    return tuple(
        BenchFilm(
            number,
            step.canal,
            _("Move %(number)d, canal %(canal)s") % {"number": number, "canal": step.canal},
            _("Synthetic film of the %(tooth)s, tube straight. %(felt)s.") % {"tooth": tooth, "felt": step.felt.words},
            url(number),
        )
        for number, step in reversed(filmed(bench).items())
    )


def rods_of(document: Document, step: Step) -> tuple[Rod, ...]:
    """The file of a filmed move, standing where it stood."""
    if not isinstance(step.move, FilmLength):
        raise TypeError(f"move {step.number} took no film")
    short_mm = step.before.shape.length_mm - step.reach.tip_mm
    return (instrument_rod(document.anatomy, step.canal, Instrument(step.move.size), short_mm),)
