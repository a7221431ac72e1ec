"""What lies round a tooth on a film, in words: its crest, its neighbours, and the structures of the jaw."""

from dataclasses import fields

import numpy as np

from casebank.anatomy import Anatomy
from casebank.radiograph.tell import Tell
from casebank.radiograph.view import Projection

NEAR, FAR = 0.2, 0.45  # depth of the crest over the root's length: teaching choices, coarser than any key
OVER_MM = 0.5  # a structure further up than this lies over the root ends


def crests(anatomy: Anatomy, tell: Tell) -> list[str]:
    """How far down the bone stands on each side, as a share of the root."""
    tooth, crest = anatomy.tooth, anatomy.support.crest
    root_mm = tooth.length_mm - tooth.crown.height_mm
    said = []
    for side, depth_mm in (("mesial", crest.mesial_mm), ("distal", crest.distal_mm)):
        share = depth_mm / root_mm
        depth = tell("crest", "neck" if share < NEAR else "away" if share < FAR else "far")
        said.append(tell("crest", "stands", side=tell("neighbour", side), depth=depth))
    return said


def neighbours(anatomy: Anatomy, projection: Projection, tell: Tell) -> list[str]:
    """The teeth whose necks are in the picture, from mesial to distal."""
    said = []
    for other in sorted(anatomy.neighbours, key=lambda one: one.centre_mm):
        if not projection.holds(np.array([[other.centre_mm, 0.0, 0.0]]))[0]:
            continue
        quadrant, place = divmod(other.number, 10)
        said.append(
            tell(
                "neighbour",
                other.state,
                side=tell("neighbour", "distal" if other.centre_mm > 0 else "mesial"),
                jaw=tell("jaw", str(quadrant)),
                place=tell("place", str(place)),
            )
        )
    return said


def structures(anatomy: Anatomy, projection: Projection, tell: Tell) -> list[str]:
    """What else of the jaw falls into the picture."""
    tips = anatomy.placement.to_jaw(np.array([root.apex_mm for root in anatomy.tooth.roots]))
    said = []
    for one in fields(anatomy.jaw_here):
        there = getattr(anatomy.jaw_here, one.name)
        if there is None or one.name not in tell.texts["structure"]:
            continue
        beyond_mm = there if isinstance(there, float) else getattr(there, "beyond_apex_mm", 0.0)
        along_mm = getattr(there, "at_mm", getattr(there, "midline_mm", 0.0))
        if not projection.holds(np.array([[along_mm, 0.0, tips[:, 2].min() - beyond_mm]]))[0]:
            continue
        where = tell("structure", "over" if beyond_mm < -OVER_MM else "beyond")
        said.append(tell("structure", one.name, where=where))
    return said
