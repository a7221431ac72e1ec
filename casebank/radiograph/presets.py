"""The two ways a periapical film is taken, as views: paralleling, and by the bisector of tooth and receptor.

Both are trade practice. In this project's frame the roots stand upright, so angles here are against the tooth, not
against the patient's bite: they are smaller than the tube settings a manual prints for whole regions.
"""

import numpy as np

from casebank.anatomy import Anatomy
from casebank.radiograph.view import View

LONG_CONE_MM, SHORT_CONE_MM = 400.0, 300.0  # from the source; long for paralleling: common practice, no source
HOLDER_MM = 14.0  # from the tooth's middle to a receptor in a holder: teaching choice
GAP_MM = 2.0  # between crown and a receptor that leans on it: gum and cover, teaching choice
# between tooth and a receptor held against palate or floor of the mouth, degrees, by place in the quadrant:
# steepest in front of the palate, nearly upright beside lower molars. Order: manuals' tables; values: teaching choice
LEAN_UPPER_DEG = {1: 36.0, 2: 36.0, 3: 38.0, 4: 32.0, 5: 32.0, 6: 26.0, 7: 26.0, 8: 26.0}
LEAN_LOWER_DEG = {1: 20.0, 2: 20.0, 3: 22.0, 4: 14.0, 5: 14.0, 6: 6.0, 7: 4.0, 8: 4.0}


def tooth_axis_lean_deg(anatomy: Anatomy) -> float:
    """How far the tooth's long axis leans lingually at its occlusal end, seen along the arch, degrees.

    The axis runs from the middle of all root tips to the middle of the crown's top.
    """
    tooth = anatomy.tooth
    ends = np.vstack([[0.0, 0.0, tooth.crown.height_mm], *(root.apex_mm for root in tooth.roots)])
    top, *tips = anatomy.placement.to_jaw(ends)
    axis = top - np.mean(tips, axis=0)
    return float(np.degrees(np.arctan2(axis[1], axis[2])))


def paralleling(anatomy: Anatomy, horizontal_deg: float = 0.0) -> View:
    """Receptor parallel to the tooth's long axis, ray square to both, long cone."""
    lean = tooth_axis_lean_deg(anatomy)
    return View(
        horizontal_deg=horizontal_deg,
        vertical_deg=lean,
        receptor_tilt_deg=lean,
        source_to_receptor_mm=LONG_CONE_MM,
        object_to_receptor_mm=HOLDER_MM,
    )


def bisecting(
    anatomy: Anatomy, horizontal_deg: float = 0.0, *, between_deg: float | None = None, off_deg: float = 0.0
) -> View:
    """Receptor leaning against the crown, ray square to the bisector of tooth and receptor, short cone.

    Parameters
    ----------
    between_deg : float
        Angle between tooth and receptor, 0 to 45; what is usual at this tooth, if left out.
    off_deg : float
        How far the tube is off the rule; + = too steep, which shortens the tooth, - = too flat, which lengthens it.

    Raises
    ------
    ValueError
        If an angle is out of range or the receptor would be seen nearly edge on.
    """
    place = anatomy.tooth.number % 10
    between = (LEAN_UPPER_DEG if anatomy.tooth.is_upper else LEAN_LOWER_DEG)[place]
    between = between if between_deg is None else between_deg
    if not 0 <= between <= 45:
        raise ValueError(f"tooth and receptor are {between} degrees apart: give 0 to 45")
    axis = tooth_axis_lean_deg(anatomy)
    receptor = axis - between  # its edge at the crown lies against it, its apical edge away from the root
    vertical = bisector_deg(axis, receptor) - off_deg
    crown = anatomy.tooth.crown
    below_top_mm = crown.height_mm + 8.0  # of the middle of the tooth, where the distance is counted from
    away_mm = crown.buccolingual_mm / 2 + GAP_MM + max(0.0, below_top_mm * np.tan(np.radians(-receptor)))
    return View(
        horizontal_deg=horizontal_deg,
        vertical_deg=vertical,
        receptor_tilt_deg=receptor,
        source_to_receptor_mm=SHORT_CONE_MM,
        object_to_receptor_mm=float(away_mm),
    )


def bisector_deg(tooth_deg: float, receptor_deg: float) -> float:
    """The vertical angle of a ray square to the bisector of two directions that lean so far lingually.

    >>> bisector_deg(0.0, -30.0)
    -15.0
    """
    return (tooth_deg + receptor_deg) / 2


def image_over_true(between_deg: float, off_deg: float) -> float:
    """Length of a tooth's image over its own in a parallel beam, magnification apart.

    `between_deg` lies between tooth and receptor; `off_deg` is how far the ray is off the rule, + towards square to
    the receptor. Derived from a ray, a tooth and a receptor in one plane.

    >>> [round(image_over_true(*angles), 4) for angles in ((30.0, 0.0), (40.0, -20.0), (40.0, 20.0))]
    [1.0, 1.3054, 0.766]
    """
    half, off = np.radians(between_deg / 2), np.radians(off_deg)
    return float(np.cos(half + off) / np.cos(half - off))
