"""Which canals a straight shaft reaches through a cut, how far it must lean, and what is in its way."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_cut import Cut
from casebank.anatomy.access_ways import CanalWays

FLOOR = "the floor of the cut"


@dataclass(frozen=True)
class Reach:
    """How one canal is reached.

    Attributes
    ----------
    canal : str
    lean_deg : float or None
        Least angle between the canal's coronal axis and a straight shaft that enters it; none if no shaft does.
    least_lean_deg : float
        What part of it no opening can spare: 0, or what keeping edge and ridges costs.
    angle_before_deg, angle_after_deg : float or None
        Canal access angle, between shaft and the line from orifice to foramen (Gunday, Sazak and Garip, J Endod
        2005;31:796-798): as this opening lets a shaft in, none if it does not, and once the wall in the way is gone.
    wall : str
        What is in the straightest shaft's way: a wall by its side, or the floor of the cut; empty if nothing is.
    wall_mm : float
        How far it stands in, or over how much of the shaft's length the floor was not cut; 0 if nothing is in the way.
    at_mm : tuple of three floats
        Where, distal, lingual and depth; the orifice if nothing is.
    """

    canal: str
    lean_deg: float | None
    least_lean_deg: float
    angle_before_deg: float | None
    angle_after_deg: float
    wall: str
    wall_mm: float
    at_mm: tuple[float, float, float]

    @property
    def excess_deg(self) -> float | None:
        """Lean beyond what no opening can spare."""
        return None if self.lean_deg is None else max(0.0, self.lean_deg - self.least_lean_deg)


def reaches(cut: Cut) -> tuple[Reach, ...]:
    """How each canal is reached, in the tooth's order."""
    return tuple(_reach(cut, ways) for ways in cut.prepared.ways)


def _reach(cut: Cut, ways: CanalWays) -> Reach:
    room = cut.room_mm(ways.column, ways.depth_mm[None, :]) - ACCESS.shaft_mm
    cleared = (room >= 0) & (ways.depth_mm[None, :] <= cut.limit_mm[ways.column])
    free = (ways.passable | cleared).all(axis=1)
    first = int(free.argmax()) if free.any() else None
    wall, wall_mm, at = _in_the_way(cut, ways, room[ways.meant])
    return Reach(
        ways.canal.name,
        None if first is None else float(ways.lean_deg[first]),
        float(ways.lean_deg[ways.meant]),
        None if first is None else float(ways.angle_deg[first]),
        float(ways.angle_deg[ways.meant]),
        wall,
        wall_mm,
        at,
    )


def _in_the_way(cut: Cut, ways: CanalWays, room: NDArray[np.float64]) -> tuple[str, float, tuple[float, float, float]]:
    """What stops a shaft on the meant way."""
    way = ways.meant
    column, blocked = ways.column[way], ~ways.passable[way]
    short = np.where(blocked, np.maximum(-room, 0.0), 0.0)
    block = cut.prepared.block
    if short.max() > 0:
        worst = int(short.argmax())
        distal, lingual = block.middles[column[worst]].tolist()
        outward = _outward(cut, int(column[worst]))
        side = side_of(outward, upper=block.frame.is_upper)
        return f"the {side} wall", float(short[worst]), (distal, lingual, float(ways.depth_mm[worst]))
    deep = blocked & (ways.depth_mm > cut.limit_mm[column])
    if deep.any():
        worst = int(np.flatnonzero(deep)[-1])
        distal, lingual = block.middles[column[worst]].tolist()
        step = float(abs(ways.depth_mm[1] - ways.depth_mm[0]))
        return FLOOR, float(deep.sum()) * step, (distal, lingual, float(ways.depth_mm[worst]))
    return "", 0.0, (float(ways.orifice[0]), float(ways.orifice[1]), float(ways.orifice[2]))


def _outward(cut: Cut, column: int) -> NDArray[np.float64]:
    """The way in which a column lies further out of the outline, shape (2,)."""
    p, q, _ = cut.prepared.block.tissue.shape
    i, j = divmod(column, q)
    within = cut.within_mm.reshape(p, q)
    before, after = max(i - 1, 0), min(i + 1, p - 1)
    left, right = max(j - 1, 0), min(j + 1, q - 1)
    return np.array([within[before, j] - within[after, j], within[i, left] - within[i, right]])


def side_of(direction: NDArray[np.float64], *, upper: bool) -> str:
    """A direction across a tooth (distal, lingual), shape (2,), in words: the nearest of eight.

    >>> side_of(np.array([-1.0, -0.9]), upper=True), side_of(np.array([0.1, 2.0]), upper=True)
    ('mesiobuccal', 'palatal')
    """
    inner = "palatal" if upper else "lingual"
    eighth = round(float(np.degrees(np.arctan2(direction[1], direction[0]))) / 45) % 8
    names = ("distal", f"disto{inner}", inner, f"mesio{inner}", "mesial", "mesiobuccal", "buccal", "distobuccal")
    return names[eighth]
