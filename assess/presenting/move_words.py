"""A move at the bench as whoever made it says it."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.presenting.closing_words import closing_words
from assess.presenting.naming import file_name
from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    ReadLength,
    Recapitulate,
)
from casebank.instruments.moves import FilmLength, Lubricate, Patency, ReadElectronically

PUSHES = {"light": gettext_lazy("light hand"), "firm": gettext_lazy("firm hand")}
SIDES = {"away": gettext_lazy("away from the furcation"), "toward": gettext_lazy("towards the furcation")}
SOLUTIONS = {
    "sodium hypochlorite": gettext_lazy("sodium hypochlorite"),
    "EDTA": gettext_lazy("EDTA"),
    "chlorhexidine": gettext_lazy("chlorhexidine"),
    "water": gettext_lazy("water"),
}
LUBRICANTS = {"EDTA gel": gettext_lazy("EDTA gel"), "water-soluble gel": gettext_lazy("water-soluble gel")}


def move_words(move: Move) -> str:  # noqa: PLR0911 - one return a move
    """A move as its maker says it."""
    match move:
        case HandFile():
            radius = _(", bent beforehand to a radius of %(mm)g mm")
            bent = radius % {"mm": 1 / move.precurve_per_mm} if move.precurve_per_mm else ""
            return _("hand file %(size)02d to %(to)g mm, %(strokes)d strokes, %(push)s%(bent)s") % {
                "size": move.size,
                "to": move.to_mm,
                "strokes": move.strokes,
                "push": PUSHES[move.push],
                "bent": bent,
            }
        case EngineFile():
            brushed = _(", brushed %(side)s") % {"side": SIDES[move.brush]} if move.brush else ""
            return _("engine file %(file)s to %(to)g mm, passes: %(passes)d, %(push)s%(brushed)s") % {
                "file": file_name(move.size, move.taper),
                "to": move.to_mm,
                "passes": move.passes,
                "push": PUSHES[move.push],
                "brushed": brushed,
            }
        case CoronalFlare():
            return _("coronal flare, %(depth)g mm below the orifice, %(strokes)d strokes %(side)s") % {
                "depth": move.depth_mm,
                "strokes": move.strokes,
                "side": SIDES[move.brush],
            }
        case Irrigate():
            depth = _(", needle at %(depth)g mm") % {"depth": move.depth_mm} if move.depth_mm is not None else ""
            return _("rinse, %(ml)g mL %(solution)s%(depth)s") % {
                "ml": move.ml,
                "solution": SOLUTIONS[move.solution],
                "depth": depth,
            }
        case Recapitulate():
            return _("back to %(to)g mm with a %(size)02d") % {"to": move.to_mm, "size": move.size}
        case ReadLength():
            return _("length read with a %(size)02d") % {"size": move.size}
        case Gauge():
            return _("gauge %(size)02d at %(to)g mm") % {"size": move.size, "to": move.to_mm}
        case Lubricate():
            return _("%(agent)s laid in") % {"agent": LUBRICANTS[move.agent]}
        case Patency():
            words = _("patency with a %(size)02d, %(mm)g mm through the end")
            return words % {"size": move.size, "mm": move.beyond_mm}
        case ReadElectronically():
            return _("electronic reading with a %(size)02d") % {"size": move.size}
        case FilmLength():
            return _("film with a %(size)02d at %(to)g mm") % {"size": move.size, "to": move.to_mm}
        case _:
            return closing_words(move)
