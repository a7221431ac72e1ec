"""What an opening came to, in the terms of the rubric: the student's, and the usual one of the tooth.

A student's outline is judged along the axis and to the depth of the usual opening: where the drill is led and where it
stops are asked apart, and an answer there does not make this one wrong.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from casebank.anatomy import AccessPlan, AccessVerdict, Anatomy, judge_access
from casebank.anatomy.access_findings import AccessLevel
from casebank.anatomy.access_walls import Wall
from casebank.casefile.access_columns import prepared_for
from casebank.casefile.access_usual import usual_access
from casebank.casefile.document import Document
from casebank.rubric import OutlineReference, OutlineSaid, WallLeft
from casebank.rubric.opening import Part

GOUGES = frozenset({"perforation", "root wall", "furcation"})
"""Findings that earn nothing when unsafe; an opening too small or too large is weighed by its bands instead."""

Place = tuple[float, float]


def usual_plan_of(document: Document) -> AccessPlan:
    """The author's own opening, or the usual one of the tooth. Never to be shown before release."""
    return document.opening.plan() if document.opening else usual_access(document.anatomy)


def usual_opening(document: Document) -> OutlineReference:
    """What the usual opening comes to. Never to be shown before release.

    ValueError, naming the field, if the author's own cannot be cut into the crown or reaches nothing.
    """
    try:
        return OutlineReference(**_sizes(judged(document, usual_plan_of(document))))
    except ValueError as trouble:
        raise ValueError(f"{'opening' if document.opening else 'anatomy'}: {trouble}") from trouble


def drawn_plan(document: Document, outline: Sequence[Place], marks: Sequence[Place] = ()) -> AccessPlan:
    """A student's outline as a plan, cut along the axis and to the depth of the usual opening.

    ValueError if it is no outline.
    """
    return replace(usual_plan_of(document), outline=tuple(outline), marks=tuple(marks))


def judged(document: Document, plan: AccessPlan) -> AccessVerdict:
    """The verdict on a plan. ValueError if its outline does not lie on the crown."""
    return _judged(document.anatomy, plan)


def opening_said(verdict: AccessVerdict) -> OutlineSaid:
    """What the student's opening came to."""
    unsafe = tuple(one.reason for one in verdict.findings if one.level == AccessLevel.UNSAFE and one.kind in GOUGES)
    return OutlineSaid(**_sizes(verdict), unsafe=unsafe)


@lru_cache(maxsize=256)
def _judged(anatomy: Anatomy, plan: AccessPlan) -> AccessVerdict:
    return judge_access(prepared_for(anatomy, plan), plan)


def _sizes(verdict: AccessVerdict) -> Mapping[str, Any]:
    walls: tuple[tuple[Part, Wall | None], ...] = (
        ("crown", verdict.walls.crown),
        ("root", verdict.walls.root),
        ("furcation", verdict.walls.furcation),
    )
    return {
        "leans_deg": {one.canal: one.excess_deg for one in verdict.canals if one.excess_deg is not None},
        "missed": frozenset(one.canal for one in verdict.canals if one.excess_deg is None),
        "need_mm3": verdict.volumes_mm3["need"],
        "beyond_mm3": verdict.volumes_mm3["beyond"],
        "roof_left_mm2": verdict.roof_left_mm2,
        "roof_mm2": verdict.roof_mm2,
        "walls": tuple(WallLeft(part, wall.thick_mm, wall.side) for part, wall in walls if wall is not None),
    }
