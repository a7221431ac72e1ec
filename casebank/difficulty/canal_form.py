"""What makes the canals of a tooth unusual, read from its anatomy: S-shape, division, number of roots, narrowing.

The thresholds that no source gives are teaching choices and stand here by name.
"""

import math
from itertools import permutations

import numpy as np

from casebank.anatomy import Canal, Course, Tooth, bearing

S_LOBE_DEG = 10.0  # each of two opposite bends that make an S: teaching choice
AS_ONE_MM = 0.1  # canals run as one while their centre lines lie this close: teaching choice
NARROWED_CHAMBER_MM = 1.7  # a chamber less high than this is narrowed: teaching choice
NARROWED_CANAL_MM = 0.17  # a canal narrower than this in its coronal third is narrowed: teaching choice
UNSEEN_CANAL_MM = 0.08  # one narrower than this there cannot be followed on a film: teaching choice
RIGHT_ANGLE_SLACK = 1e-9  # bearings at a right angle must not oppose each other by rounding


def is_s_shaped(course: Course) -> bool:
    """Whether two bends of at least S_LOBE_DEG each turn against each other.

    Arcs that follow each other within 90 degrees of bearing count as one bend.

    >>> from casebank.anatomy import Leg
    >>> there, back = Leg(4, 9, 0), Leg(5, 8, 180)
    >>> is_s_shaped(Course((Leg(3), there, back))), is_s_shaped(Course((Leg(3), there, there)))
    (True, False)
    """
    bends: list[np.ndarray] = []
    for leg in course.legs:
        if leg.turn_deg == 0:
            continue
        turn = leg.turn_deg * bearing(leg.toward_deg)
        if bends and bends[-1] @ turn > -RIGHT_ANGLE_SLACK:
            bends[-1] = bends[-1] + turn
        else:
            bends.append(turn)
    strong = [bend for bend in bends if np.linalg.norm(bend) >= S_LOBE_DEG - 1e-9]
    return any(
        bend @ later < -RIGHT_ANGLE_SLACK for number, bend in enumerate(strong) for later in strong[number + 1 :]
    )


def division(tooth: Tooth) -> tuple[str, str]:
    """The third in which a canal divides ("none" if none does, the most apical if several do), and the canals meant.

    Two canals of one root that start at one orifice are one canal until their centre lines part; the level of parting
    is a share of the first one's length.
    """
    parting = {
        f"{one.name} and {other.name}": share
        for one, other in permutations(tooth.canals, 2)
        if one.root == other.root and one.length_mm >= other.length_mm
        if (share := _parting_share(tooth, one, other)) is not None
    }
    if not parting:
        return "none", "all canals"
    canals = max(parting, key=lambda pair: parting[pair])
    return ("coronal third", "middle third", "apical third")[min(2, int(parting[canals] * 3 - 1e-9))], canals


def _parting_share(tooth: Tooth, one: Canal, other: Canal) -> float | None:
    """Share of the longer canal's length at which the two part; none if they start apart or never part."""
    levels = np.arange(0.0, other.length_mm, 0.05)
    gap = np.linalg.norm(
        one.course.at(tooth.orifice_of(one), levels) - other.course.at(tooth.orifice_of(other), levels), axis=1
    )
    apart = np.nonzero(gap > AS_ONE_MM)[0]
    return float(levels[apart[0]] / one.length_mm) if gap[0] <= AS_ONE_MM and apart.size else None


def root_number(tooth: Tooth) -> str:
    """Whether the number of roots is one the criteria single out."""
    place, roots = tooth.number % 10, len(tooth.roots)
    if not tooth.is_upper and place <= 5 and roots >= 2:
        return "two or more in a lower front tooth or premolar"
    if tooth.is_upper and place in (4, 5) and roots >= 3:
        return "three or more in an upper premolar"
    return "as usual"


def narrowest_coronal(tooth: Tooth) -> tuple[Canal, float]:
    """The canal that is narrowest in its coronal third, and that narrow diameter, mm."""
    return min(((canal, _narrowest_coronal_mm(canal)) for canal in tooth.canals), key=lambda pair: pair[1])


def sight(tooth: Tooth) -> str:
    """How chamber and canals show: "open", "narrowed" or "unclear"."""
    narrow_mm = round(narrowest_coronal(tooth)[1], 2)
    if tooth.chamber.roof_mm >= tooth.crown.height_mm or narrow_mm < UNSEEN_CANAL_MM:
        return "unclear"
    if round(tooth.chamber.height_mm, 1) < NARROWED_CHAMBER_MM or narrow_mm < NARROWED_CANAL_MM:
        return "narrowed"
    return "open"


def _narrowest_coronal_mm(canal: Canal) -> float:
    places = [place.at_mm for place in canal.narrowings]
    levels = np.union1d(canal.levels(), places)
    third = levels <= math.nextafter(canal.length_mm / 3, math.inf)
    return float(canal.narrow_mm(levels)[third].min())
