"""The right opening, worked out from the chamber: the reference for a student's.

It shows where chamber and orifices lie. Before release no page, file or answer may hold it or anything that follows
from it.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

import numpy as np
from scipy.spatial import ConvexHull

from casebank.anatomy.access import AccessVerdict, judge_access
from casebank.anatomy.access_plan import AccessPlan, Place
from casebank.anatomy.access_polygon import Plane
from casebank.anatomy.access_prepared import Prepared
from casebank.anatomy.access_rim import drawn_in, may_be_opened

CORNERS = 14  # of the outline
DEPTHS = 6  # tried from roof to floor
GROWN_MM = (0.0, -0.3, -0.6, -0.9)  # tried round what has to go
STEPS_MM = (0.5, 0.25)  # by which corners are moved, one round each
LEAST_SHARE = 0.4  # of its width that a shrunk one keeps


def usual_plan(prepared: Prepared) -> AccessPlan:
    """The opening that costs least along the axis the tooth was prepared for.

    Never to be shown before release, nor a verdict on it.
    """
    return _settled(prepared, *rough_plan(prepared))


def rough_plan(prepared: Prepared) -> tuple[AccessPlan, float]:
    """The best of some openings round all that has to go, and what it costs. Never to be shown before release.

    ValueError if along this axis no opening clear of ridges and edge leads to the chamber.
    """
    roof = float(np.median(prepared.roof_mm[prepared.roof]))
    plans = []
    for outline in (_round_the_need(prepared, grown) for grown in GROWN_MM):
        for depth in np.linspace(roof, prepared.floor_mm, DEPTHS).tolist():
            with suppress(ValueError):  # next to nothing is left of it
                plans.append(AccessPlan(outline, round(depth, 1), prepared.block.axis))
    if not plans:
        raise ValueError("no opening along this axis leads to the chamber and leaves the crown's rim: lean the bur")
    costs = [loss(judge_access(prepared, plan)) for plan in plans]
    best = int(np.argmin(costs))
    return plans[best], costs[best]


def usual_outline(prepared: Prepared) -> tuple[Place, ...]:
    """The right outline on the crown's map, mm: at most 14 corners.

    Never to be shown before release.
    """
    return usual_plan(prepared).outline


def loss(verdict: AccessVerdict) -> float:
    """What an opening costs in all: what each finding lacks of its whole share, squared, and how far shafts lean."""
    leans = sum(reach.lean_deg or 0.0 for reach in verdict.canals) / len(verdict.canals)
    lost = sum((1 - finding.share) ** 2 for finding in verdict.findings if finding.kind != "axis")
    return lost + leans / 45


def _round_the_need(prepared: Prepared, grown_mm: float) -> tuple[Place, ...]:
    """A hull round all that has to go, grown or shrunk."""
    block = prepared.block
    columns = block.middles[prepared.needed.any(axis=1)]
    if not len(columns):
        return ()
    corners = np.array([[i, j] for i in (-1, 1) for j in (-1, 1)]) * block.pitch_mm / 2
    columns = (columns[:, None] + corners).reshape(-1, 2)
    hull = columns[ConvexHull(columns).vertices]
    out = hull - hull.mean(axis=0)
    far = np.linalg.norm(out, axis=1)[:, None]
    hull = hull.mean(axis=0) + out * np.maximum((far + grown_mm) / far, LEAST_SHARE)
    drawn = block.on_map(_fewer(hull))
    drawn = drawn_in(block.frame, drawn)
    return tuple((round(float(right), 3), round(float(down), 3)) for right, down in drawn)


def _settled(prepared: Prepared, plan: AccessPlan, cost: float) -> AccessPlan:
    """A plan whose corners and depth have been moved, one at a time, as long as that makes it cost less."""
    for step in STEPS_MM:
        middle = np.mean(plan.outline, axis=0)
        for corner in range(len(plan.outline)):
            for moved in _moved(prepared, plan, corner, middle, step):
                if (less := loss(judge_access(prepared, moved))) < cost - 1e-9:
                    plan, cost = moved, less
        for depth in (plan.depth_mm - step / 2, plan.depth_mm + step / 2):
            deeper = replace(plan, depth_mm=round(depth, 2))
            if (less := loss(judge_access(prepared, deeper))) < cost - 1e-9:
                plan, cost = deeper, less
    return plan


def _moved(prepared: Prepared, plan: AccessPlan, corner: int, middle: Plane, step_mm: float) -> Iterator[AccessPlan]:
    """The plan with one corner moved out and in, where that leaves an outline clear of ridges and edge."""
    for by in (step_mm, -step_mm):
        points = np.array(plan.outline)
        out = points[corner] - middle
        points[corner] += by * out / max(float(np.linalg.norm(out)), 0.1)
        if may_be_opened(prepared.block.frame, points[corner : corner + 1])[0]:
            with suppress(ValueError):  # a corner moved through a side
                yield replace(plan, outline=tuple((round(x, 3), round(y, 3)) for x, y in points.tolist()))


def _fewer(hull: Plane) -> Plane:
    """A hull without the corners whose loss changes its area least."""
    while len(hull) > CORNERS:
        before, after = np.roll(hull, 1, axis=0), np.roll(hull, -1, axis=0)
        one, other = hull - before, after - before
        lost = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])
        hull = np.delete(hull, int(lost.argmin()), axis=0)
    return hull
