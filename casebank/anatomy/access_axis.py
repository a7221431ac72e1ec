"""Crown, bur and roots that do not run the same way: how far the bur drifts before it meets the chamber."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_cut import Cut
from casebank.anatomy.access_findings import AccessFinding, AccessLevel, graded, on_map
from casebank.anatomy.access_reach import side_of


@dataclass(frozen=True)
class AxisMismatch:
    """How crown, bur and roots stand to each other.

    Attributes
    ----------
    crown_deg, bur_deg : float
        Of the crown's and the bur's axis off the roots'.
    depth_mm : float
        From where the bur enters to the chamber's roof, along it.
    drift_mm : float
        `depth_mm` times the tangent of `bur_deg`: how far the bur comes out beside where the roots' axis leads.
    toward : str
        To which side it drifts; empty if it does not.
    """

    crown_deg: float
    bur_deg: float
    depth_mm: float
    drift_mm: float
    toward: str


def axis_mismatch(cut: Cut) -> AxisMismatch:
    """Angles between crown, bur and roots, and the drift that follows from them."""
    block, prepared = cut.prepared.block, cut.prepared
    bur, crown = block.axes[2], block.frame.axes[:, 2]
    roof = float(prepared.roof_mm[prepared.over].min())
    columns = cut.inside & np.isfinite(prepared.top_mm)
    surface = float(np.median(prepared.top_mm[columns])) if columns.any() else 0.0
    depth, lean = max(0.0, roof - surface), _off_roots_deg(bur)
    toward = side_of(-bur[:2], upper=block.frame.is_upper) if lean > 0.05 else ""
    return AxisMismatch(_off_roots_deg(crown), lean, depth, depth * float(np.tan(np.radians(lean))), toward)


def of_axis(cut: Cut, found: AxisMismatch) -> AccessFinding | None:
    """The drift as a finding; none for a front tooth, whose bur has to lean, unless it carries a crown or bridge."""
    block = cut.prepared.block
    if block.frame.seen_from != "above" and not block.prosthesis:
        return None
    level, share = graded(found.drift_mm, ACCESS.drift_small_mm, ACCESS.drift_large_mm)
    if (
        cut.opened and level == AccessLevel.UNSAFE
    ):  # the outline has made up for it; what that cost stands in other findings
        level = AccessLevel.COSTS
    what = f"the {block.prosthesis}" if block.prosthesis else "the crown"
    said = f"{what.capitalize()} leans {found.crown_deg:.0f}° and the bur {found.bur_deg:.0f}° off the roots"
    said += f": over {found.depth_mm:.1f} mm the bur drifts {found.drift_mm:.1f} mm"
    if found.toward:
        said += f" {found.toward}"
    if level > AccessLevel.AS_NEEDED:
        said += (
            ", which the outline had to make up for" if cut.opened else ", past the chamber towards the root's surface"
        )
        if block.prosthesis:
            said += f"; lean the bur with the roots, or take {what} off and see the tooth's own form"
    middle = cut.prepared.block.middles[cut.prepared.over].mean(axis=0)
    at = on_map(cut, tuple(middle.tolist()))
    return AccessFinding("axis", found.toward, found.drift_mm, "mm", at, level, share, f"{said}.")


def _off_roots_deg(vector: NDArray[np.float64]) -> float:
    """Angle between a unit vector and the roots' axis, degrees."""
    return float(np.degrees(np.arctan2(np.hypot(vector[0], vector[1]), vector[2])))
