"""What a student commits to before opening a tooth: an outline on the crown's map, the bur's axis, a depth, marks."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_polygon import Plane, checked_outline
from casebank.anatomy.finite import require_finite
from casebank.anatomy.mouth import Placement
from casebank.anatomy.occlusal import map_frame
from casebank.anatomy.tooth import Tooth

MOST_LEAN_DEG = 45.0  # of a bur off the crown's axis
MOST_FLARE_DEG = 20.0
DEEPEST_MM = 16.0
MOST_MARKS = 12

Place = tuple[float, float]
Prosthetic = Literal["through", "removed"]


@dataclass(frozen=True)
class BurAxis:
    """How the bur leans off the crown's own axis.

    Attributes
    ----------
    distal_deg, lingual_deg : float
        + = its shank, outside the tooth, lies distally or lingually of the crown's axis. Up to 45 either way.

    Raises
    ------
    ValueError
        If an angle is out of range or not finite.
    """

    distal_deg: float = 0.0
    lingual_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("the bur's axis", [("distal_deg", self.distal_deg), ("lingual_deg", self.lingual_deg)])
        if not max(abs(self.distal_deg), abs(self.lingual_deg)) <= MOST_LEAN_DEG:
            raise ValueError(
                f"a bur leant {self.distal_deg:g} and {self.lingual_deg:g} degrees off the crown's axis does not cut "
                f"into it: lean it {MOST_LEAN_DEG:g} degrees at most"
            )

    def out_of(self, tooth: Tooth) -> NDArray[np.float64]:
        """Unit vector out of a tooth along the bur, shape (3,), tooth frame."""
        a, b = np.radians([self.distal_deg, self.lingual_deg])
        leant = np.array([np.sin(a) * np.cos(b), np.sin(b), np.cos(a) * np.cos(b)])
        return np.asarray(map_frame(tooth).axes @ leant)


def along_crown() -> BurAxis:
    """The bur held along the crown's own axis."""
    return BurAxis()


def along_root(tooth: Tooth) -> BurAxis:
    """The bur held along the roots' axis, seen from the crown.

    >>> from casebank.anatomy.vary import vary
    >>> tooth = vary(36, 3).tooth
    >>> (along_root(tooth).out_of(tooth).round(6) + 0.0).tolist()
    [0.0, 0.0, 1.0]
    """
    return _axis_along(tooth, np.array([0.0, 0.0, 1.0]))


def along_bite(tooth: Tooth, placement: Placement) -> BurAxis:
    """The bur held square to the bite, in a tooth that stands as placed.

    >>> from dataclasses import replace
    >>> from casebank.anatomy.vary import vary
    >>> tooth = vary(36, 3).tooth
    >>> crown = replace(tooth.crown, off_root_mesiodistal_deg=0.0, off_root_buccolingual_deg=0.0)
    >>> along_bite(replace(tooth, crown=crown), Placement(tilt_deg=10))  # it leans mesially: upright lies distal of it
    BurAxis(distal_deg=10.0, lingual_deg=0.0)
    """
    return _axis_along(tooth, placement.to_jaw(np.eye(3))[:, 2])


def _axis_along(tooth: Tooth, out: NDArray[np.float64]) -> BurAxis:
    """The axis along a unit vector out of a tooth, shape (3,), tooth frame; as far as a bur can lean."""
    x, y, z = map_frame(tooth).to_crown(out[None])[0].tolist()
    lean = [round(float(turn), 9) + 0.0 for turn in np.degrees([np.arctan2(x, z), np.arcsin(np.clip(y, -1, 1))])]
    return BurAxis(*(float(np.clip(turn, -MOST_LEAN_DEG, MOST_LEAN_DEG)) for turn in lean))


@dataclass(frozen=True)
class AccessPlan:
    """One opening as it is planned.

    Attributes
    ----------
    outline : tuple of tuple of two floats
        A closed line on the crown's map, right and down, mm (`MapFrame.to_map`); its last point joins its first.
    depth_mm : float
        Of the bur's tip below the crown's highest point, along the bur. Above 0, up to 16.
    axis : BurAxis
    marks : tuple of tuple of two floats
        Where orifices are expected, on the same map. 12 at most.
    flare_deg : float
        How far the cut's walls close in towards its floor, on each side; 0 to 20, a tapered bur's if left out.
    prosthesis : str
        What is done about a crown or bridge, if the tooth carries one: cut through, or taken off first.

    Raises
    ------
    ValueError
        As `checked_outline`, or if the depth is out of range, a mark is not finite, or there are too many.
    """

    outline: tuple[Place, ...]
    depth_mm: float
    axis: BurAxis = BurAxis()
    marks: tuple[Place, ...] = ()
    flare_deg: float = ACCESS.flare_deg
    prosthesis: Prosthetic = "through"

    def __post_init__(self) -> None:
        _ = self.points
        require_finite("the opening", [("depth_mm", self.depth_mm), ("flare_deg", self.flare_deg)])
        if not 0 < self.depth_mm <= DEEPEST_MM:
            raise ValueError(
                f"a depth of {self.depth_mm:g} mm is no opening: give more than 0 and {DEEPEST_MM:g} mm at most"
            )
        if not 0 <= self.flare_deg <= MOST_FLARE_DEG:
            raise ValueError(
                f"walls that close in by {self.flare_deg:g} degrees are no bur's: give 0 to {MOST_FLARE_DEG:g}"
            )
        if len(self.marks) > MOST_MARKS:
            raise ValueError(f"{len(self.marks)} orifices are marked: mark {MOST_MARKS} at most")
        for number, mark in enumerate(self.marks, 1):
            if len(mark) != 2 or not np.isfinite(mark).all():
                raise ValueError(f"mark {number} is no place: give two finite numbers, right and down in mm")

    @cached_property
    def points(self) -> Plane:
        """The outline, shape (n, 2), mm, on the map."""
        return checked_outline(self.outline)
