"""What is done once a canal is shaped, as whoever did it says it: trying in, drying, dressing, filling, closing."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.presenting.naming import file_name
from casebank.instruments import FitCone
from casebank.instruments.closing_moves import (
    ClosingMove,
    CoronalSeal,
    Dry,
    FillCanal,
    Medicate,
    NextVisit,
    Provisional,
    Seal,
    TrialFit,
)

AGENTS = {
    "calcium hydroxide": gettext_lazy("calcium hydroxide"),
    "chlorhexidine gel": gettext_lazy("chlorhexidine gel"),
}
MATERIALS = {
    "temporary cement": gettext_lazy("temporary cement"),
    "glass-ionomer cement": gettext_lazy("glass-ionomer cement"),
    "bonded composite": gettext_lazy("bonded composite"),
}
METHODS = {
    "single cone with sealer": gettext_lazy("a single cone with sealer"),
    "cold lateral": gettext_lazy("cold lateral packing"),
    "warm vertical": gettext_lazy("warm vertical packing"),
    "carrier": gettext_lazy("a carrier"),
}


def closing_words(move: ClosingMove | FitCone) -> str:  # noqa: PLR0911 - one return a move
    """A move as its maker says it."""
    match move:
        case FitCone():
            words = _("cone %(cone)s at %(to)g mm") if move.gauged else _("cone %(cone)s at %(to)g mm, not gauged")
            return words % {"cone": file_name(move.size, move.taper), "to": move.to_mm}
        case TrialFit():
            words = _("trial instrument %(file)s at %(to)g mm")
            return words % {"file": file_name(move.size, move.taper), "to": move.to_mm}
        case Dry():
            return _("paper points")
        case Medicate():
            return _("dressed with %(agent)s") % {"agent": AGENTS[move.agent]}
        case Provisional():
            words = _("closed until the next visit with %(material)s, %(mm)g mm")
            return words % {"material": MATERIALS[move.material], "mm": move.thickness_mm}
        case NextVisit():
            return _("the next visit")
        case Seal():
            return _("sealer down to %(to)g mm") % {"to": move.to_mm}
        case FillCanal():
            words = _("filled by %(method)s, %(cone)s at %(to)g mm")
            named = {"method": METHODS[move.method], "cone": file_name(move.size, move.taper), "to": move.to_mm}
            return words % named
        case CoronalSeal():
            words = _("closed for good with %(material)s, %(mm)g mm")
            return words % {"material": MATERIALS[move.material], "mm": move.thickness_mm}
