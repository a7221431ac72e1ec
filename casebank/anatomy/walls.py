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

FORAMEN_SLACK_MM = 0.35  # how far the drawn foramen may lie off the drawn root surface: a convention of ours
LEAST_WALL_MM = 0.1  # dentine a canal must keep on every side above its last millimetre: a convention of ours
MESIODISTALLY = np.array([1.0, 0.0, 0.0])
LAST_MM = 1.0  # over this length above the foramen a canal may run out of the root's side


@dataclass(frozen=True)
class Walls:
    """Dentine left and right of a canal at the canal's levels.

    Attributes
    ----------
    furcation_mm, outer_mm : array, shape (n,), mm
        Towards the furcation and away from it. With the canal's diameter on that line, the narrow one mesio-distally
        and the wide one bucco-lingually, they add up to the root's width through the canal. Within a tip's radius of
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
    place = _in_root(canal.course.at(orifice_mm, levels), root, facing)
    reach = place.half_mm * np.sqrt(np.clip(1 - (place.across_mm / place.half_across_mm) ** 2, 0, None))
    lumen = (canal.wide_mm(levels) if facing[1] else canal.narrow_mm(levels)) / 2
    return Walls(furcation_mm=reach - place.aside_mm - lumen, outer_mm=reach + place.aside_mm - lumen)


def require_inside(canal: Canal, orifice_mm: Position, root: Root) -> None:
    """Raise ValueError, naming canal, root and level, if the canal leaves its root or ends away from its surface."""
    levels = canal.levels(step_mm=0.25)
    place = _in_root(canal.course.at(orifice_mm, levels), root, MESIODISTALLY)
    aside, across = place.aside_mm / place.half_mm, place.across_mm / place.half_across_mm
    depth = place.half_mm * (1 - np.sqrt(aside**2 + across**2 + (place.beyond_mm / place.half_mm) ** 2))
    depth_across = place.half_across_mm * np.sqrt(np.clip(1 - aside**2, 0, None)) - np.abs(place.across_mm)
    wall = np.minimum(depth - canal.narrow_mm(levels) / 2, depth_across - canal.wide_mm(levels) / 2)
    inner = levels < canal.length_mm - LAST_MM
    thin = inner & ~(wall >= LEAST_WALL_MM)
    if thin.any():
        level = float(levels[np.argmax(thin)])
        raise ValueError(
            f"canal {canal.name} leaves root {root.name} {level:.1f} mm below its orifice: "
            "move the canal, bend it less, or widen the root there"
        )
    if not abs(depth[-1]) <= FORAMEN_SLACK_MM:
        side = "outside" if depth[-1] < 0 else "inside"
        raise ValueError(
            f"canal {canal.name} ends, {canal.length_mm:.1f} mm below its orifice, {abs(depth[-1]):.1f} mm {side} "
            f"root {root.name}: its foramen must lie on the root's surface"
        )


@dataclass(frozen=True)
class _Place:
    """Where points lie in their root's own sections, shape (n,), mm.

    Attributes
    ----------
    aside_mm, across_mm : array
        Offset from the root's centre the way the root faces, and on the tooth's other axis, distally or lingually.
    beyond_mm : array
        How far beyond the centre of the rounded tip; 0 above it.
    half_mm, half_across_mm : array
        Half the root's width there, along the way it faces and on the other axis.
    """

    aside_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    beyond_mm: NDArray[np.float64]
    half_mm: NDArray[np.float64]
    half_across_mm: NDArray[np.float64]


def _in_root(points: Points, root: Root, facing: NDArray[np.float64]) -> _Place:
    """Each point in its root's own section, the one nearest to it seen square to the way the root faces."""
    along_axis, other_axis = (1, 0) if facing[1] else (0, 1)
    centres = root.centre_line(step_mm=0.1)
    radii = root.radii_mm(len(centres))
    seen = [along_axis, 2]
    gap = points[:, None, seen] - centres[None, :, seen]
    nearest = np.argmin((gap**2).sum(axis=2), axis=1)
    tangent = np.gradient(centres, axis=0)[nearest]
    normal = np.zeros((len(points), 3))
    normal[:, seen] = np.stack([-tangent[:, 2], tangent[:, along_axis]], axis=1)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    normal *= np.sign(normal @ facing)[:, None]
    offset = points - centres[nearest]
    beyond = (points - centres[-1]) @ root.course.directions(np.array([root.course.length_mm]))[0]
    half = np.stack([radii, radii * root.flattening])[:, nearest]
    return _Place(
        aside_mm=(offset * normal).sum(axis=1),
        across_mm=offset[:, other_axis],
        beyond_mm=np.where(nearest == len(centres) - 1, np.maximum(beyond, 0.0), 0.0),
        half_mm=half[along_axis],
        half_across_mm=half[other_axis],
    )
