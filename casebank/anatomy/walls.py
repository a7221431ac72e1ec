"""The dentine round a canal: how thick it is towards the furcation and away from it.

At each level the root is an ellipse about its own centre line; the canal lies somewhere in it. Walls are measured along
the line on which the root faces the furcation. Most roots of a tooth with several face it mesio-distally, where roots
are thin and canals narrow: a mesial root with its distal side and the other way round. A root that stands buccally or
lingually of all the others, such as the palatal one of an upper molar, faces them bucco-lingually. A root that stands
alone has no such side: its distal wall is called the furcation's where it stands on the tooth's axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.canal import Canal
from casebank.anatomy.course import Points, Position
from casebank.anatomy.root import Root
from casebank.anatomy.within import InRoot, bite_of, branch_line, in_root

FORAMEN_SLACK_MM = 0.35  # how far the drawn foramen may lie off the drawn root surface: a convention of ours
LEAST_WALL_MM = 0.1  # dentine a canal must keep on every side above its last millimetre: a convention of ours
LAST_MM = 1.0  # over this length above the foramen a canal may run out of the root's side


@dataclass(frozen=True)
class Walls:
    """Dentine left and right of a canal at the canal's levels.

    Attributes
    ----------
    furcation_mm, outer_mm : array, shape (n,), mm
        Towards the furcation and away from it. With the canal's diameter on that line, from wall to wall, they add up
        to the root's width through the canal, less what is lost to a resorption from outside. Within a tip's radius of
        the foramen, where the canal runs out of the root, one may be below 0.
    """

    furcation_mm: NDArray[np.float64]
    outer_mm: NDArray[np.float64]


def facing_furcation(root: Root, roots: Sequence[Root] = ()) -> NDArray[np.float64]:
    """Unit vector, shape (3,), along an axis of the tooth from a root towards the furcation.

    Parameters
    ----------
    root : Root
    roots : sequence of Root
        The tooth's roots; the root itself may be among them. Where the root lies further off each other one
        bucco-lingually than mesio-distally, it faces them lingually or buccally. Else it faces the tooth's axis
        mesio-distally, distally if it stands on it.
    """
    others = np.array([other.start_mm for other in roots if other.name != root.name])
    if others.size:
        gaps = others - np.array(root.start_mm)
        if (np.abs(gaps[:, 1]) > np.abs(gaps[:, 0])).all():
            return np.array([0.0, np.sign(gaps[:, 1].sum()), 0.0])
    return np.array([1.0, 0.0, 0.0]) if root.start_mm[0] <= 0 else np.array([-1.0, 0.0, 0.0])


def around(
    canal: Canal, orifice_mm: Position, root: Root, roots: Sequence[Root] = (), *, step_mm: float = 0.1
) -> Walls:
    """Wall thickness beside a canal along its levels.

    Parameters
    ----------
    canal : Canal
    orifice_mm : tuple of three floats
        The canal's orifice in the tooth frame.
    root : Root
        The root it runs in.
    roots : sequence of Root
        All roots of the tooth, so that the root's side at the furcation is known; none if it stands alone.
    step_mm : float
        Distance between levels; the walls stand at `canal.levels(step_mm=step_mm)`.

    Raises
    ------
    ValueError
        If the step is not above 0 mm or a coordinate is not finite.
    """
    levels = canal.levels(step_mm=step_mm)
    facing = facing_furcation(root, roots)
    centres = canal.course.at(orifice_mm, levels)
    place = in_root(centres, root, facing)
    reach = place.half_mm * np.sqrt(np.clip(1 - (place.across_mm / place.half_across_mm) ** 2, 0, None))
    lumen = canal.across_mm(levels)[1 if facing[1] else 0] / 2
    furcation, outer = reach - place.aside_mm - lumen, reach + place.aside_mm - lumen
    for resorption in root.resorptions:
        bite = bite_of(resorption, root)
        furcation = np.minimum(furcation, bite.first_met_mm(centres, place.normal) - lumen)
        outer = np.minimum(outer, bite.first_met_mm(centres, -place.normal) - lumen)
    return Walls(furcation_mm=furcation, outer_mm=outer)


def require_inside(canal: Canal, orifice_mm: Position, root: Root) -> None:
    """Check that a canal and what belongs to it keep within its root.

    Raises
    ------
    ValueError
        Naming canal, root and level, if the canal leaves its root or ends away from its surface, a lateral canal never
        reaches that surface, or a resorption from outside comes too near the canal.
    """
    levels = canal.levels(step_mm=0.25)
    centres = canal.course.at(orifice_mm, levels)
    place = in_root(centres, root)
    mesiodistal, buccolingual = canal.across_mm(levels)
    flat = root.end != "rounded"
    depth = place.depth_mm(rounded_end=not flat)
    depth_across = place.half_across_mm * np.sqrt(np.clip(1 - (place.aside_mm / place.half_mm) ** 2, 0, None))
    depth_across -= np.abs(place.across_mm)
    wall = np.minimum(depth - mesiodistal / 2, depth_across - buccolingual / 2)
    inner = levels < canal.length_mm - LAST_MM
    thin = inner & ~(wall >= LEAST_WALL_MM)
    if flat:  # nothing rounds such an end off, so its opening must keep within it
        thin |= ~inner & ~(wall >= 0)
    if thin.any():
        level = float(levels[np.argmax(thin)])
        raise ValueError(
            f"canal {canal.name} leaves root {root.name} {level:.1f} mm below its orifice: "
            "move the canal, bend or widen it less, or widen the root there"
        )
    end_mm = -float(place.beyond_mm[-1]) if flat else float(depth[-1])
    if not abs(end_mm) <= FORAMEN_SLACK_MM:
        side = "outside" if end_mm < 0 else "inside"
        raise ValueError(
            f"canal {canal.name} ends, {canal.length_mm:.1f} mm below its orifice, {abs(end_mm):.1f} mm {side} "
            f"root {root.name}: its foramen must lie on the root's surface"
        )
    for branch in canal.lateral_canals:
        branch_line(branch, canal, orifice_mm, root)
    _require_clear(canal, centres, levels, root, place)


def _require_clear(canal: Canal, centres: Points, levels: NDArray[np.float64], root: Root, place: InRoot) -> None:
    """Check that no resorption from outside reaches the canal, eight places round its wall at each level."""
    turn = np.linspace(0.0, 2 * np.pi, 8, endpoint=False)
    mesiodistal, buccolingual = canal.across_mm(levels)
    lingual = np.array([0.0, 1.0, 0.0])
    for resorption in root.resorptions:
        bite = bite_of(resorption, root)
        for angle in turn.tolist():
            aside, across = np.cos(angle) * mesiodistal / 2, np.sin(angle) * buccolingual / 2
            wall = centres + aside[:, None] * place.normal + across[:, None] * lingual
            reached = bite.holds(wall, margin_mm=LEAST_WALL_MM)
            if reached.any():
                level = float(levels[np.argmax(reached)])
                raise ValueError(
                    f"the resorption {resorption.at_mm:.1f} mm down root {root.name} comes within {LEAST_WALL_MM} mm "
                    f"of canal {canal.name} {level:.1f} mm below its orifice: make it shallower or move it"
                )
