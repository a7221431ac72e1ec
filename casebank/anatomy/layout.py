"""A root and the canals in it, laid out from a few numbers.

A canal keeps a place in its root's section: a share of the way from the root's centre line to its surface,
bucco-lingually. It shares the root's bends, and near the end it turns aside to a foramen on the surface of the root's
rounded tip. What is laid out so lies inside the root by construction; `Tooth` checks it all the same.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.canal import Canal, Section
from casebank.anatomy.configurations import Strand
from casebank.anatomy.course import Course, Leg, Points, Position
from casebank.anatomy.root import Root, Station
from casebank.anatomy.tracing import course_along

TIP_SHARE = 0.42  # of the root's width 1 mm from its end: the radius of its rounded tip. Teaching choice
MEASURED_MM = (1.0, 2.0, 5.0)  # from the root's end
ASIDE_MM = 4.0  # over this length above its foramen a canal turns aside to it: teaching choice
SLOPE_MM = 1e-4  # over which a tangent is taken
SPACING_MM = 0.25  # of the points a course is traced along
MOST_OFF_TIP = 0.8  # of the way round the tip: a foramen keeps off the root's side
COUNTS_APART = 0.42  # of the root's half depth: how far two canals side by side keep from the middle. Teaching choice
COUNTS_APART_MORE = 0.55  # the outermost of three or more

Depths = NDArray[np.float64]


@dataclass(frozen=True)
class Bend:
    """One bend: its turn from tangent to tangent, degrees, its bearing, and its length as a share of the course."""

    turn_deg: float
    toward_deg: float
    share: float


@dataclass(frozen=True)
class RootPlan:
    """A root to be laid out.

    Attributes
    ----------
    name : str
    start_mm : tuple of three floats
        Centre of its coronal end, tooth frame.
    length_mm : float
        From there to its apex, along its course.
    neck_mm : float
        Its mesio-distal width at its coronal end.
    widths_mm : tuple of three floats
        The same at 1, 2 and 5 mm from its end.
    flattening : float
    lean_deg, lean_toward_deg : float
    bends : tuple of Bend
        One after the other, the last one ending at the tip; together they take less than the whole course.
    """

    name: str
    start_mm: Position
    length_mm: float
    neck_mm: float
    widths_mm: tuple[float, float, float]
    flattening: float
    lean_deg: float = 0.0
    lean_toward_deg: float = 0.0
    bends: tuple[Bend, ...] = ()


@dataclass(frozen=True)
class CanalPlan:
    """A canal to be laid out in a root.

    Attributes
    ----------
    name : str
    cusp_to_orifice_mm : float
    strand : Strand
        Its place among the root's canals.
    orifice, constriction, foramen : Section
    constriction_to_foramen_mm : float
    foramen_to_apex_mm : float
        Wanted; the root's own tip decides how near it can be met.
    toward : float
        +1 if the foramen is to lie distally of the tip, -1 mesially.
    """

    name: str
    cusp_to_orifice_mm: float
    strand: Strand
    orifice: Section
    constriction: Section
    foramen: Section
    constriction_to_foramen_mm: float
    foramen_to_apex_mm: float
    toward: float


def root_from(plan: RootPlan) -> Root:
    """The planned root. ValueError if it is too short for its widths or its bends, or turns too far."""
    tip_mm = TIP_SHARE * plan.widths_mm[0]
    course_mm = plan.length_mm - tip_mm
    straight = 1.0 - sum(bend.share for bend in plan.bends)
    if straight <= 0 or course_mm <= MEASURED_MM[-1]:
        raise ValueError(
            f"root {plan.name} of {plan.length_mm:.1f} mm has no room for its bends and widths: lengthen it"
        )
    legs = [Leg(straight * course_mm)]
    for bend in plan.bends:
        long_mm = bend.share * course_mm
        radius_mm = long_mm / np.radians(bend.turn_deg) if bend.turn_deg > 0.1 else None
        legs.append(Leg(long_mm, radius_mm, bend.toward_deg))
    stations = [Station(0.0, plan.neck_mm / 2)]
    for from_end_mm, width_mm in sorted(zip(MEASURED_MM, plan.widths_mm, strict=True), reverse=True):
        stations.append(Station(1 - (from_end_mm - tip_mm) / course_mm, width_mm / 2))
    stations.append(Station(1.0, tip_mm))
    course = Course(tuple(legs), plan.lean_deg, plan.lean_toward_deg)
    return Root(plan.name, plan.start_mm, course, tuple(stations), plan.flattening)


def canal_from(plan: CanalPlan, root: Root, crown_height_mm: float, *, first_orifice_mm: float) -> Canal:
    """The planned canal in its root, from where the root is as deep as the orifice to a foramen on the tip's surface.

    Parameters
    ----------
    plan : CanalPlan
    root : Root
    crown_height_mm : float
        Neck to reference cusp.
    first_orifice_mm : float
        Cusp to the uppermost orifice of the root: from there to the apex the levels count at which canals meet or part,
        so that they are the same for all.

    Raises
    ------
    ValueError
        If the orifice lies above the root or too near its end.
    """
    first_mm, start_mm = (
        _depth_of(root, crown_height_mm - depth_mm) for depth_mm in (first_orifice_mm, plan.cusp_to_orifice_mm)
    )
    aside_mm, beyond_mm = _foramen(plan, root)
    end_mm = root.course.length_mm + beyond_mm
    if end_mm - start_mm <= ASIDE_MM:
        raise ValueError(f"canal {plan.name} begins too near the end of root {root.name}: raise its orifice")
    line = _line(plan.strand, root, first_mm, end_mm, aside_mm)
    bends = np.cumsum([leg.length_mm for leg in root.course.legs])[:-1]
    changes = [start_mm, *(mm for mm in sorted([*bends, end_mm - ASIDE_MM]) if start_mm + 1 < mm < end_mm - 1), end_mm]
    counts = [max(1, int(np.ceil((low - high) / -SPACING_MM))) for low, high in pairwise(changes)]
    depths = np.concatenate(
        [
            [start_mm],
            *(np.linspace(low, high, n + 1)[1:] for (low, high), n in zip(pairwise(changes), counts, strict=True)),
        ]
    )
    points = line(depths)
    tangents = line(np.minimum(depths + SLOPE_MM, end_mm)) - line(np.maximum(depths - SLOPE_MM, start_mm))
    tangents /= np.linalg.norm(tangents, axis=1)[:, None]
    return Canal(
        name=plan.name,
        root=root.name,
        cusp_to_orifice_mm=crown_height_mm - float(points[0, 2]),
        orifice_mm=(float(points[0, 0]), float(points[0, 1])),
        course=course_along(points, tangents, joints=np.cumsum(counts).tolist()),
        orifice=plan.orifice,
        constriction=plan.constriction,
        foramen=plan.foramen,
        constriction_to_foramen_mm=plan.constriction_to_foramen_mm,
    )


def apart(canals: int) -> float:
    """How far the outermost of so many canals keep from the root's middle, as a share of its half depth."""
    return COUNTS_APART if canals <= 2 else COUNTS_APART_MORE


def half_depth_mm(root: Root, depths_mm: Depths) -> Depths:
    """Half the bucco-lingual width canals may spread over, shape (n,), mm: evenly from neck to tip."""
    ends = [0.0, root.course.length_mm]
    neck, tip = (root.flattening * station.radius_mm for station in (root.stations[0], root.stations[-1]))
    return np.asarray(np.interp(depths_mm, ends, [neck, tip]))


def _depth_of(root: Root, z_mm: float) -> float:
    """Length along the root at a height in the tooth frame."""
    line = root.centre_line(step_mm=0.05)
    if z_mm > line[0, 2] + 1e-9:
        raise ValueError(f"an orifice {z_mm - line[0, 2]:.1f} mm above root {root.name} lies in no root: lower it")
    return float(np.interp(-z_mm, -line[:, 2], np.linspace(0.0, root.course.length_mm, len(line))))


def _foramen(plan: CanalPlan, root: Root) -> tuple[float, float]:
    """Mesio-distal offset of the foramen from the root's line, and how far it lies beyond the tip's centre.

    On the ellipsoid of the tip: with a the mesio-distal share, b the bucco-lingual one and c the one beyond,
    a^2 + b^2 + c^2 = 1; the distance to the apex then gives c, and c gives a.
    """
    radius, depth = root.stations[-1].radius_mm, root.flattening * root.stations[-1].radius_mm
    across = plan.strand.places[-1] * apart(max(plan.strand.path))
    left = 1 - across**2
    wanted_2 = plan.foramen_to_apex_mm**2 - (across * depth) ** 2
    beyond = float(np.clip((1 + left - wanted_2 / radius**2) / 2, 1 - MOST_OFF_TIP, np.sqrt(left)))
    aside = float(np.sqrt(max(0.0, left - beyond**2)))
    return plan.toward * aside * radius, beyond * radius


def _line(strand: Strand, root: Root, first_mm: float, end_mm: float, aside_mm: float) -> Callable[[Depths], Points]:
    """The canal's centre line over lengths along its root; beyond the root's course it runs straight on."""
    share = apart(max(strand.path))
    last_mm = root.course.length_mm
    apex_mm = last_mm + root.stations[-1].radius_mm

    def at(depths: Depths) -> Points:
        inside = np.minimum(depths, last_mm)
        along = root.course.directions(inside)
        centre = root.course.at(root.start_mm, inside) + (depths - inside)[:, None] * along
        distal = np.stack([-along[:, 2], np.zeros(len(along)), along[:, 0]], axis=1)
        distal /= np.linalg.norm(distal, axis=1)[:, None]
        across = np.zeros((len(depths), 3))
        across[:, 1] = share * strand.at((depths - first_mm) / (apex_mm - first_mm)) * half_depth_mm(root, depths)
        turned = aside_mm * np.clip(1 - (end_mm - depths) / ASIDE_MM, 0.0, None) ** 2
        return np.asarray(centre + across + turned[:, None] * distal)

    return at
