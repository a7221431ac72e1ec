"""The right opening of a case's tooth: along which axis of the bur, with which outline, how deep.

It is the reference for a student's opening and shows what lies inside the tooth. Before release no page, file or answer
may hold it or anything that follows from it.
"""

from contextlib import suppress
from functools import lru_cache

from casebank.anatomy import Anatomy
from casebank.anatomy.access_plan import AccessPlan, BurAxis, along_root
from casebank.anatomy.access_usual import rough_plan, usual_plan
from casebank.anatomy.occlusal import map_frame
from casebank.casefile.access_columns import prepare

SHARES = (0.0, 0.5, 1.0)  # of the way from the roots' axis to the crown's
FRONT_LEANS_DEG = (0.0, 8.0, 16.0, 24.0, 32.0)  # off a front tooth's roots to the tongue's side
KEPT = 32


def usual_access(anatomy: Anatomy) -> AccessPlan:
    """The opening that costs least, of those worked out from the chamber along a few axes of the bur.

    A crown or bridge is cut through. Never to be shown before release, nor a verdict on it.
    ValueError if there is none.
    """
    return _usual(
        Anatomy(anatomy.tooth, restorations=anatomy.restorations, damage=anatomy.damage, prosthesis=anatomy.prosthesis)
    )


@lru_cache(maxsize=KEPT)
def _usual(anatomy: Anatomy) -> AccessPlan:
    costs = {}
    for axis in _axes(anatomy):
        with suppress(ValueError):  # nothing along this one
            costs[axis] = rough_plan(prepare(anatomy, axis))[1]
    if not costs:
        raise ValueError(
            "no opening leads to this chamber and leaves the crown's rim: raise the roof or move the orifices"
        )
    return usual_plan(prepare(anatomy, min(costs, key=costs.__getitem__)))


def _axes(anatomy: Anatomy) -> tuple[BurAxis, ...]:
    roots = along_root(anatomy.tooth)
    if map_frame(anatomy.tooth).seen_from != "above":
        return tuple(
            BurAxis(roots.distal_deg, roots.lingual_deg + lean)
            for lean in FRONT_LEANS_DEG
            if roots.lingual_deg + lean <= 45
        )
    return tuple(
        dict.fromkeys(BurAxis(share * roots.distal_deg, share * roots.lingual_deg) for share in reversed(SHARES))
    )
