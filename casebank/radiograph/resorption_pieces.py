"""What has been eaten from a root: bites out of its sides, and an uneven end."""

import numpy as np

from casebank.anatomy import Root
from casebank.anatomy.within import bite_of
from casebank.radiograph import priority
from casebank.radiograph.materials import Material
from casebank.radiograph.shapes import Frame, Piece, Slab, ellipsoid

NICKS = 5  # of a resorbed end
NICK_SHARE = (0.28, 0.5)  # of the end's half width


def resorptions(roots: tuple[Root, ...], frame: Frame) -> list[Piece]:
    """Every resorption from outside, filled with soft tissue."""
    pieces = []
    for root in roots:
        for resorption in root.resorptions:
            bite = bite_of(resorption, root)
            own = Frame(frame.axes @ bite.axes, frame.to_jaw(bite.at_mm))
            pieces.append(ellipsoid(Material.SOFT, priority.BITE, (0.0, 0.0, 0.0), bite.half_mm, own))
        if root.end == "resorbed":
            pieces += _nicks(root, frame)
    return pieces


def end_slab(root: Root, frame: Frame) -> Slab | None:
    """All above the cut end of a root; none if the end is rounded."""
    if root.end == "rounded":
        return None
    along = frame.axes @ root.course.directions(np.array([root.course.length_mm]))[0]
    return Slab(along, high_mm=float(along @ frame.to_jaw(root.apex_mm)))


def _nicks(root: Root, frame: Frame) -> list[Piece]:
    """Small bites round a resorbed end; their places follow from its loss alone, so each root keeps its own."""
    random = np.random.default_rng(round(1000 * root.lost_mm))
    half = root.stations[-1].radius_mm * np.array([1.0, root.flattening])
    pieces = []
    for turn in np.linspace(0, 2 * np.pi, NICKS, endpoint=False) + random.uniform(0, 1):
        rim = np.array([np.cos(turn) * half[0], np.sin(turn) * half[1], random.uniform(-0.1, 0.25) * half[0]])
        size = random.uniform(*NICK_SHARE) * half[0]
        pieces.append(ellipsoid(Material.SOFT, priority.BITE, root.apex_mm + rim, (size, size, size), frame))
    return pieces
