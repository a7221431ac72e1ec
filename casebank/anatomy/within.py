"""Where points lie in a root, where a line leaves it, and what has been bitten out of its sides.

At each level a root is an ellipse about its own centre line, mesio-distal and bucco-lingual.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.branches import LateralCanal
from casebank.anatomy.canal import Canal
from casebank.anatomy.course import Points, Position, Vector, bearing
from casebank.anatomy.resorption import ExternalResorption
from casebank.anatomy.root import Root

Lengths = NDArray[np.float64]

MESIODISTALLY = np.array([1.0, 0.0, 0.0])
MARCH_MM, FURTHEST_MM = 0.05, 12.0  # steps of a line on its way out of a root, and where it is given up


@dataclass(frozen=True)
class InRoot:
    """Where points lie in their root's own sections, shape (n,), mm.

    Attributes
    ----------
    aside_mm, across_mm : array
        Offset from the root's centre the way the root faces, and on the tooth's other axis, distally or lingually.
    beyond_mm : array
        How far beyond the end of the root's course; below 0 above it.
    half_mm, half_across_mm : array
        Half the root's width there, along the way it faces and on the other axis.
    normal : array, shape (n, 3)
        Unit vectors across the root, the way it faces.
    """

    aside_mm: Lengths
    across_mm: Lengths
    beyond_mm: Lengths
    half_mm: Lengths
    half_across_mm: Lengths
    normal: Points

    def depth_mm(self, *, rounded_end: bool) -> Lengths:
        """How deep below the surface of the root's side, and of its rounded tip; below 0 outside."""
        beyond = np.maximum(self.beyond_mm, 0.0) if rounded_end else np.zeros_like(self.beyond_mm)
        aside, across = self.aside_mm / self.half_mm, self.across_mm / self.half_across_mm
        return np.asarray(self.half_mm * (1 - np.sqrt(aside**2 + across**2 + (beyond / self.half_mm) ** 2)))


def in_root(points: Points, root: Root, facing: Vector = MESIODISTALLY) -> InRoot:
    """Each point, shape (n, 3), in its root's own section, the nearest one seen square to the way the root faces."""
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
    return InRoot(
        aside_mm=(offset * normal).sum(axis=1),
        across_mm=offset[:, other_axis],
        beyond_mm=np.where(nearest == len(centres) - 1, beyond, np.minimum(beyond, 0.0)),
        half_mm=half[along_axis],
        half_across_mm=half[other_axis],
        normal=normal,
    )


def way_out_mm(root: Root, begin: Vector, toward: Vector) -> float | None:
    """How far a straight line from inside a root runs along a unit vector until it leaves it; none if it never does."""
    steps = np.arange(0.0, FURTHEST_MM, MARCH_MM)
    place = in_root(begin + np.outer(steps, toward), root)
    rounded = root.end == "rounded"
    depth = place.depth_mm(rounded_end=rounded)
    if not rounded:
        depth = np.minimum(depth, -place.beyond_mm)
    outside = np.flatnonzero(depth < 0)
    if depth[0] < 0 or not outside.size:
        return None
    last = int(outside[0]) - 1
    share = depth[last] / (depth[last] - depth[last + 1])
    return float(steps[last] + share * MARCH_MM)


def branch_line(branch: LateralCanal, canal: Canal, orifice_mm: Position, root: Root) -> Points:
    """Both ends of a lateral canal, shape (2, 3), mm: in its canal's middle and on the root's surface.

    Raises
    ------
    ValueError
        Naming canal, root and level, if it never reaches the surface.
    """
    begin = canal.course.at(orifice_mm, np.array([branch.at_mm]))[0]
    fall = np.radians(branch.falls_deg)
    toward = np.cos(fall) * bearing(branch.toward_deg) - np.sin(fall) * np.array([0.0, 0.0, 1.0])
    length_mm = way_out_mm(root, begin, toward)
    if length_mm is None:
        raise ValueError(
            f"canal {canal.name}: the lateral canal {branch.at_mm:.1f} mm below its orifice does not reach the surface "
            f"of root {root.name}: let it leave lower, or fall less"
        )
    return np.stack([begin, begin + length_mm * toward])


@dataclass(frozen=True, eq=False)
class Bite:
    """An ellipsoid of lost hard tissue: centre, shape (3,), axes as columns, shape (3, 3), and half lengths (3,), mm.

    The first axis points out of the root, the last one along it.
    """

    at_mm: Vector
    axes: Points
    half_mm: Vector

    def holds(self, points: Points, *, margin_mm: float = 0.0) -> NDArray[np.bool_]:
        """Which points, shape (n, 3), lie in it or within a margin round it."""
        local = (points - self.at_mm) @ self.axes / (self.half_mm + margin_mm)
        return np.asarray((local**2).sum(axis=1) < 1)

    def first_met_mm(self, begin: Points, toward: Points) -> Lengths:
        """How far lines run from points, shape (n, 3), along unit vectors until they enter it; infinite if never."""
        start, along = (begin - self.at_mm) @ self.axes / self.half_mm, toward @ self.axes / self.half_mm
        a, b, c = (along**2).sum(axis=1), (start * along).sum(axis=1), (start**2).sum(axis=1) - 1
        root = b**2 - a * c
        entry = (-b - np.sqrt(np.maximum(root, 0.0))) / a
        return np.asarray(np.where((root > 0) & (entry > 0), entry, np.inf))


def bite_of(resorption: ExternalResorption, root: Root) -> Bite:
    """An external resorption in the tooth frame."""
    level = np.array([resorption.at_mm])
    centre = root.course.at(root.start_mm, level)[0]
    along = root.course.directions(level)[0]
    out = bearing(resorption.toward_deg)
    out = out - (out @ along) * along
    out /= np.linalg.norm(out)
    surface_mm = way_out_mm(root, centre, out) or 0.0
    half = np.array([resorption.depth_mm, resorption.width_mm / 2, resorption.height_mm / 2])
    return Bite(centre + surface_mm * out, np.stack([out, np.cross(along, out), along], axis=1), half)
