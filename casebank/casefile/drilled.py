"""An outline as its student would have drilled it: along the line they chose, to the depth they read. Never graded.

The rubric asks for line and depth apart; here the three are put together, so that a student sees what they make of one
another. Only for after release.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal, get_args

import numpy as np

from casebank.anatomy import AccessPlan, AccessVerdict, Anatomy, BurAxis, along_bite, along_crown, along_root
from casebank.anatomy.access_block import bur_axes
from casebank.anatomy.access_plan import DEEPEST_MM, MOST_LEAN_DEG
from casebank.anatomy.access_reach import side_of
from casebank.anatomy.occlusal import map_frame
from casebank.casefile.access_columns import prepared_for
from casebank.casefile.document import Document
from casebank.casefile.opened import Place, judged, usual_plan_of

Line = Literal["crown", "roots", "bite"]
LINES: tuple[str, ...] = get_args(Line)
LEAST_SLOPE = 1e-3  # between two burs, mm per mm; less is none


@dataclass(frozen=True)
class Drilled:
    """What line, depth and outline come to together.

    Attributes
    ----------
    plan : AccessPlan
    verdict : AccessVerdict
    leant_deg : float
        How far a front tooth's bur was leant off the chosen line to the tongue's side, to come in there at all; else 0.
    apart_deg, apart_mm : float
        Between this bur and the usual opening's: the angle, and how far it comes out aside of that one at the roof.
    toward : str
        To which side; empty if it does not.
    """

    plan: AccessPlan
    verdict: AccessVerdict
    leant_deg: float
    apart_deg: float
    apart_mm: float
    toward: str


def drilled(
    document: Document,
    outline: Sequence[Place],
    *,
    line: str | None,
    floor_mm: float | None,
    removed: bool = False,
) -> Drilled:
    """The outline along a line, down to a level.

    Parameters
    ----------
    line : str or None
        One of `LINES`; the usual opening's own if left out.
    floor_mm : float or None
        The level at which the bur stops, below the reference cusp or edge; the usual opening's depth if left out.
    removed : bool
        Whether a crown or bridge is taken off first.

    Raises
    ------
    ValueError
        In a sentence, if there is no such line, the level is none a bur reaches, or the outline cannot be cut.
    """
    usual = usual_plan_of(document)
    axis, leant_deg = (usual.axis, 0.0) if line is None else _axis(document.anatomy, line, usual.axis)
    plan = replace(usual, outline=tuple(outline), marks=(), axis=axis, prosthesis="removed" if removed else "through")
    if floor_mm is not None:
        plan = replace(plan, depth_mm=_depth_mm(document.anatomy, plan, floor_mm))
    verdict = judged(document, plan)
    tooth = document.anatomy.tooth
    aside = -(bur_axes(tooth, usual.axis) @ axis.out_of(tooth))
    slope = float(np.hypot(aside[0], aside[1]) / max(-float(aside[2]), LEAST_SLOPE))
    return Drilled(
        plan,
        verdict,
        leant_deg,
        apart_deg=float(np.degrees(np.arctan(slope))),
        apart_mm=verdict.axis.depth_mm * slope,
        toward=side_of(aside[:2], upper=tooth.is_upper) if slope > LEAST_SLOPE else "",
    )


def _axis(anatomy: Anatomy, line: str, usual: BurAxis) -> tuple[BurAxis, float]:
    """The bur along a line, and how far it was leant off it."""
    if line not in LINES:
        raise ValueError(f"there is no line {line}: use one of {', '.join(LINES)}")
    tooth = anatomy.tooth
    axes = {"crown": along_crown(), "roots": along_root(tooth), "bite": along_bite(tooth, anatomy.placement)}
    axis = axes[line]
    if map_frame(tooth).seen_from == "above":
        return axis, 0.0
    leant = max(0.0, usual.lingual_deg - along_root(tooth).lingual_deg)
    return replace(axis, lingual_deg=min(axis.lingual_deg + leant, MOST_LEAN_DEG)), leant


@lru_cache(maxsize=256)
def _depth_mm(anatomy: Anatomy, plan: AccessPlan, floor_mm: float) -> float:
    """How deep a bur goes along its axis to a level over the middle of the orifices."""
    tooth = anatomy.tooth
    middle = np.mean([tooth.orifice_of(canal) for canal in tooth.canals], axis=0)
    level = np.array([[middle[0], middle[1], tooth.crown.height_mm - floor_mm]])
    depth = float(prepared_for(anatomy, plan).block.in_columns(level)[0, 2])
    if not 0 < depth <= DEEPEST_MM:
        raise ValueError(f"{floor_mm:g} mm is no depth at which a bur stops in this crown: give one a film can show")
    return depth
