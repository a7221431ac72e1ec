"""The dentine round a canal: how thick it is towards the furcation and away from it.

At each level the root is an ellipse about its own centre line; the canal lies somewhere in it. Walls are measured
mesio-distally, where roots are thin and where canals are narrow. A root of a tooth with several faces the furcation
with the side nearest the tooth's axis, a mesial root with its distal side and the other way round. A root that stands
on the axis mesio-distally, single or palatal, has no such side: its distal wall is called the furcation's.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.canal import Canal
from casebank.anatomy.course import Points, Position
from casebank.anatomy.root import Root

FORAMEN_SLACK_MM = 0.35  # how far the drawn foramen may lie off the drawn root surface: a convention of ours
LEAST_WALL_MM = 0.1  # dentine a canal must keep on every side above its last millimetre: a convention of ours
LAST_MM = 1.0  # over this length above the foramen a canal may run out of the root's side


@dataclass(frozen=True)
class Walls:
    """Dentine left and right of a canal at the canal's levels.

    Attributes
    ----------
    furcation_mm, outer_mm : array, shape (n,), mm
        Towards the furcation and away from it. With the canal's narrow diameter they add up to the root's width through
        the canal. Within a tip's radius of the foramen, where the canal runs out of the root, one may be below 0.
    """

    furcation_mm: NDArray[np.float64]
    outer_mm: NDArray[np.float64]


def facing_furcation(root: Root) -> NDArray[np.float64]:
    """Unit vector, shape (3,), mesio-distally from the root towards the furcation; distal for a root on the axis."""
    return np.array([1.0, 0.0, 0.0]) if root.start_mm[0] <= 0 else np.array([-1.0, 0.0, 0.0])


def around(canal: Canal, orifice_mm: Position, root: Root, *, step_mm: float = 0.1) -> Walls:
    """Wall thickness beside a canal along its levels.

    Parameters
    ----------
    canal : Canal
    orifice_mm : tuple of three floats
        The canal's orifice in the tooth frame.
    root : Root
        The root it runs in.
    step_mm : float
        Distance between levels; the walls stand at `canal.levels(step_mm=step_mm)`.

    Raises
    ------
    ValueError
        If the step is not above 0 mm or a coordinate is not finite.
    """
    levels = canal.levels(step_mm=step_mm)
    place = _in_root(canal.course.at(orifice_mm, levels), root)
    reach = place.half_mm * np.sqrt(np.clip(1 - (place.across_mm / place.half_across_mm) ** 2, 0, None))
    lumen = canal.narrow_mm(levels) / 2
    return Walls(furcation_mm=reach - place.aside_mm - lumen, outer_mm=reach + place.aside_mm - lumen)


def require_inside(canal: Canal, orifice_mm: Position, root: Root) -> None:
    """Raise ValueError, naming canal, root and level, if the canal leaves its root or ends away from its surface."""
    levels = canal.levels(step_mm=0.25)
    place = _in_root(canal.course.at(orifice_mm, levels), root)
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
        Offset from the root's centre towards the furcation, and lingually.
    beyond_mm : array
        How far beyond the centre of the rounded tip; 0 above it.
    half_mm, half_across_mm : array
        Half the root's width there, mesio-distally and bucco-lingually.
    """

    aside_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    beyond_mm: NDArray[np.float64]
    half_mm: NDArray[np.float64]
    half_across_mm: NDArray[np.float64]


def _in_root(points: Points, root: Root) -> _Place:
    """Each point in its root's own section, the one nearest to it seen from the cheek."""
    centres = root.centre_line(step_mm=0.1)
    half = root.radii_mm(len(centres))
    gap = points[:, None, [0, 2]] - centres[None, :, [0, 2]]
    nearest = np.argmin((gap**2).sum(axis=2), axis=1)
    tangent = np.gradient(centres, axis=0)[nearest]
    normal = np.stack([-tangent[:, 2], np.zeros(len(points)), tangent[:, 0]], axis=1)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    normal *= np.sign(normal @ facing_furcation(root))[:, None]
    offset = points - centres[nearest]
    along = (points - centres[-1]) @ root.course.directions(np.array([root.course.length_mm]))[0]
    return _Place(
        aside_mm=(offset * normal).sum(axis=1),
        across_mm=offset[:, 1],
        beyond_mm=np.where(nearest == len(centres) - 1, np.maximum(along, 0.0), 0.0),
        half_mm=half[nearest],
        half_across_mm=half[nearest] * root.flattening,
    )
