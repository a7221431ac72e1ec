"""What may be looked for on a film, each thing by kind and name, and what a film of the tooth without it would show.

A feature is named by what the anatomy calls it, never by where it lies on a film. Leaving one out puts back what would
be there had it never been: dentine where a canal ran, bone where a lesion is, a root that ends earlier.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from casebank.anatomy import Anatomy, Canal, Course, Leg, Root, Station
from casebank.radiograph.details import details_of
from casebank.radiograph.rod import Rod

FeatureKind = Literal["canal", "narrowing", "lesion", "apex", "file tip", "stone", "resorption", "lateral canal"]

TIP_MM = 1.0  # of a root or a file, left out to ask whether its end shows: what a length is judged to, teaching choice


@dataclass(frozen=True)
class Feature:
    """One thing to look for.

    Attributes
    ----------
    kind : str
    name : str
        Canal: the canal's, or several joined by "+" to leave them out together. Lesion: its root's, with its number
        from 2 on where several share a root ("M", "M 2"). Narrowing: its canal's and its number ("MB 1"). Apex: the
        root's. File tip: the rod's number, from 1. Stone, resorption, lateral canal: as `details` names them.
    """

    kind: FeatureKind
    name: str


def features_of(anatomy: Anatomy) -> tuple[Feature, ...]:
    """Everything in an anatomy that a film may be asked for; files are not part of it."""
    tooth = anatomy.tooth
    canals = [Feature("canal", canal.name) for canal in tooth.canals]
    narrowings = [
        Feature("narrowing", f"{canal.name} {number}")
        for canal in tooth.canals
        for number in range(1, len(canal.narrowings) + 1)
    ]
    lesions = [Feature("lesion", name) for name in lesion_names(anatomy)]
    details = [Feature(kind, name) for kind, name in details_of(anatomy)]
    return (*canals, *narrowings, *lesions, *(Feature("apex", root.name) for root in tooth.roots), *details)


def lesion_names(anatomy: Anatomy) -> tuple[str, ...]:
    """Each lesion's name, in the anatomy's order."""
    roots = [lesion.root for lesion in anatomy.lesions]
    earlier = [roots[:place].count(root) for place, root in enumerate(roots)]
    return tuple(root if before == 0 else f"{root} {before + 1}" for root, before in zip(roots, earlier, strict=True))


def is_left_out(canal: Canal, without: Feature | None) -> bool:
    """Whether a canal is the feature, or one of those it joins."""
    return without is not None and without.kind == "canal" and canal.name in without.name.split("+")


def widened(canal: Canal, without: Feature | None) -> Canal:
    """A canal without one of its narrowings, or as it is."""
    if without is None or without.kind != "narrowing":
        return canal
    kept = tuple(place for number, place in enumerate(canal.narrowings, 1) if without.name != f"{canal.name} {number}")
    return canal if len(kept) == len(canal.narrowings) else replace(canal, narrowings=kept)


def ended_earlier(root: Root, without: Feature | None) -> Root:
    """A root without its last TIP_MM, or as it is. ValueError if the root is too short to lose it."""
    if without != Feature("apex", root.name):
        return root
    length_mm = root.course.length_mm - TIP_MM
    if length_mm <= TIP_MM:
        raise ValueError(f"root {root.name} is too short to be shown without its tip: give it more than 2 mm")
    share = length_mm / root.course.length_mm
    last = float(root.radii_mm(2)[1])
    stations = [Station(one.share / share, one.radius_mm) for one in root.stations if one.share < share]
    return replace(root, course=_shortened(root.course, length_mm), stations=(*stations, Station(1.0, last)))


def shorter(rod: Rod) -> Rod:
    """A rod, tip first, without its last TIP_MM. ValueError if it is no longer than that."""
    line, radius = rod.centre_line, rod.radius_mm
    from_tip = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    left = np.r_[TIP_MM, from_tip[from_tip > TIP_MM + 1e-6]]
    if len(left) < 2:
        raise ValueError(f"a rod of {from_tip[-1]:.1f} mm cannot be shown without its tip: draw it longer")
    kept = np.stack([np.interp(left, from_tip, line[:, axis]) for axis in range(3)], axis=1)
    flattening = np.interp(left, from_tip, np.broadcast_to(rod.flattening, radius.shape))
    return replace(
        rod, centre_line=kept, radius_mm=np.asarray(np.interp(left, from_tip, radius)), flattening=flattening
    )


def _shortened(course: Course, length_mm: float) -> Course:
    """The first part of a course."""
    legs: list[Leg] = []
    left = length_mm
    for leg in course.legs:
        if left <= 1e-9:
            break
        legs.append(replace(leg, length_mm=min(leg.length_mm, left)))
        left -= leg.length_mm
    return replace(course, legs=tuple(legs))
