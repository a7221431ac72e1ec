"""Whether two canals lie beside each other in a view or one behind the other."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from casebank.anatomy import Anatomy
from casebank.radiograph.view import Receptor, View, aim

Array = NDArray[np.float64]

SHARE_APART = 0.25  # of the shorter canal's length over which two must lie apart to be told apart: teaching choice
STEP_MM = 0.1


@dataclass(frozen=True)
class Parting:
    """How far apart two canals are on a film.

    Attributes
    ----------
    apart_mm : float
        Distance between their centre lines, on the film, that a quarter of the shorter one keeps or passes.
    width_mm : float
        Half the width of each, added up, as the film shows them there.
    """

    apart_mm: float
    width_mm: float

    @property
    def apart(self) -> bool:
        """Whether dentine shows between the two."""
        return self.apart_mm > self.width_mm


@lru_cache(maxsize=512)
def parting(anatomy: Anatomy, view: View, first: str, second: str) -> Parting:
    """How far two canals part in a view.

    Raises
    ------
    KeyError
        If the tooth has no canal of one of the names.
    ValueError
        If the receptor would stand in tooth or bone.
    """
    tooth = anatomy.tooth
    long, short = sorted((tooth.canal(first), tooth.canal(second)), key=lambda canal: -canal.length_mm)
    line, width = _shadow(anatomy, view, long.name)
    other, other_width = _shadow(anatomy, view, short.name)
    away, nearest = cKDTree(line).query(other)
    order = np.argsort(away - (width[nearest] + other_width) / 2)
    at = order[int(np.ceil((1 - SHARE_APART) * (len(order) - 1)))]
    return Parting(float(away[at]), float(width[nearest[at]] + other_width[at]) / 2)


def _shadow(anatomy: Anatomy, view: View, name: str) -> tuple[Array, Array]:
    """A canal's centre line on the film, shape (n, 2), and its shadow's width there, shape (n,), mm.

    The section is an oval, narrow mesio-distally; turned by an angle it is sqrt((narrow cos)^2 + (wide sin)^2) wide.
    """
    tooth = anatomy.tooth
    canal = tooth.canal(name)
    points = anatomy.placement.to_jaw(tooth.centre_line(canal, step_mm=STEP_MM))
    projection = aim(view, Receptor(), anatomy)
    levels = canal.levels(step_mm=STEP_MM)
    turn = np.radians(view.horizontal_deg + anatomy.placement.rotation_deg)
    width = np.hypot(canal.narrow_mm(levels) * np.cos(turn), canal.wide_mm(levels) * np.sin(turn))
    to_film = float((projection.source_mm - projection.centre_mm) @ projection.normal)
    larger = to_film / ((projection.source_mm - points) @ projection.normal)
    return projection.to_film_mm(points), width * larger
