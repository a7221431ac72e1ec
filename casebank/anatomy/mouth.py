"""Where the tooth stands: its placement, the bone round it, what is ill, what has been restored, and its neighbours."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from casebank.anatomy import fitting
from casebank.anatomy.course import Points
from casebank.anatomy.damage import Damage
from casebank.anatomy.finite import finite_array, require_finite
from casebank.anatomy.jaws import Jaw, usual_jaw
from casebank.anatomy.lesions import DenseBone, Lesion
from casebank.anatomy.restorations import Restorations
from casebank.anatomy.support import Support
from casebank.anatomy.tooth import FDI_NUMBERS, Tooth


@dataclass(frozen=True)
class Placement:
    """How the tooth stands in the arch.

    Attributes
    ----------
    tilt_deg : float
        + = the roots' axis leans mesially at its occlusal end, so the apices lie distally; up to 60 either way.
    rotation_deg : float
        Turn about its own axis; + = the mesial side turned buccally; up to 90 either way.

    Raises
    ------
    ValueError
        If an angle is out of range or not finite.
    """

    tilt_deg: float = 0.0
    rotation_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a placement", [("tilt_deg", self.tilt_deg), ("rotation_deg", self.rotation_deg)])
        if not (abs(self.tilt_deg) <= 60 and abs(self.rotation_deg) <= 90):
            raise ValueError(
                "a placement beyond 60 degrees of tilt or 90 of rotation is outside what can be drawn: give less"
            )

    def to_jaw(self, points_mm: Points) -> Points:
        """Points from the tooth frame to the jaw frame, shape (n, 3), mm: same axes, z square to the bite.

        The tooth turns about its own axis first, then tilts. ValueError if a coordinate is not finite.

        >>> Placement(tilt_deg=30).to_jaw(np.array([[0.0, 0.0, -10.0]])).round(3).tolist()  # an apex goes distally
        [[5.0, 0.0, -8.66]]
        """
        points_mm = finite_array("a point of a tooth", points_mm)
        turn, lean = np.radians(self.rotation_deg), np.radians(self.tilt_deg)
        about_z = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1.0]])
        about_y = np.array([[np.cos(lean), 0, -np.sin(lean)], [0, 1.0, 0], [np.sin(lean), 0, np.cos(lean)]])
        return np.asarray(points_mm @ (about_y @ about_z).T)


@dataclass(frozen=True)
class Bone:
    """The jaw's own pattern: seed and contrast (0 even, 1 full) of the trabeculae.

    ValueError if the seed is below 0 or the contrast outside 0 to 1.
    """

    seed: int = 1
    contrast: float = 0.62

    def __post_init__(self) -> None:
        if not (self.seed >= 0 and 0 <= self.contrast <= 1):
            raise ValueError(
                f"a bone pattern needs a seed of 0 or more and a contrast from 0 to 1, "
                f"not {self.seed} and {self.contrast}"
            )


@dataclass(frozen=True)
class Prosthesis:
    """A crown or bridge on the tooth.

    Attributes
    ----------
    kind, material : str
    margin_above_neck_mm : float
        + = occlusal of the neck.
    spans : tuple of int
        Two-digit designations of the teeth a bridge spans; empty for a crown.

    Raises
    ------
    ValueError
        If the margin is not finite or a spanned tooth does not exist.
    """

    kind: Literal["crown", "bridge"]
    material: Literal["metal", "metal-ceramic", "ceramic"]
    margin_above_neck_mm: float = 0.5
    spans: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        require_finite("a prosthesis", [("margin_above_neck_mm", self.margin_above_neck_mm)])
        for number in self.spans:
            _require_tooth(number)


@dataclass(frozen=True)
class Neighbour:
    """Another tooth on the film.

    Attributes
    ----------
    number : int
        Two-digit designation.
    centre_mm : float
        Its neck's centre along the arch, + distally of the tooth.
    state : str
        As it stands, or what a bridge makes of it.

    Raises
    ------
    ValueError
        If there is no such permanent tooth or its place is not finite.
    """

    number: int
    centre_mm: float
    state: Literal["natural", "abutment", "pontic"] = "natural"

    def __post_init__(self) -> None:
        _require_tooth(self.number)
        require_finite(f"neighbour {self.number}", [("centre_mm", self.centre_mm)])


@dataclass(frozen=True)
class Anatomy:
    """One tooth in its place: all that films, measurements and the bench are computed from.

    Attributes
    ----------
    tooth : Tooth
    placement : Placement
    support : Support
    bone : Bone
    lesions : tuple of Lesion
        Each on a root the tooth has.
    prosthesis : Prosthesis or None
    neighbours : tuple of Neighbour
    jaw : Jaw or None
        What else of the jaw the film may show; none stands for what is usual at this tooth.
    dense_bone : tuple of DenseBone
        Each at a root the tooth has.
    restorations : Restorations
    damage : Damage

    Raises
    ------
    ValueError
        If a lesion, dense bone or a widened ligament names an unknown root, a furcal lesion has no furcation, a lateral
        one or a widened ligament lies off its root, a restoration names an unknown canal or leaves it or its root, a
        crown's margin is open without a crown, or the jaw holds what belongs to the other jaw.
    """

    tooth: Tooth
    placement: Placement = field(default_factory=Placement)
    support: Support = field(default_factory=Support)
    bone: Bone = field(default_factory=Bone)
    lesions: tuple[Lesion, ...] = ()
    prosthesis: Prosthesis | None = None
    neighbours: tuple[Neighbour, ...] = ()
    jaw: Jaw | None = None
    dense_bone: tuple[DenseBone, ...] = ()
    restorations: Restorations = field(default_factory=Restorations)
    damage: Damage = field(default_factory=Damage)

    def __post_init__(self) -> None:
        if self.jaw is not None:
            self.jaw.require_of(upper=self.tooth.is_upper)
        fitting.require_bone(self.tooth, self.support, self.lesions, self.dense_bone)
        fitting.require_restorations(self.tooth, self.restorations)
        if self.damage.open_margins and self.prosthesis is None:
            raise ValueError("an open margin needs a crown or bridge on the tooth: add one, or give the filling a gap")

    @property
    def jaw_here(self) -> Jaw:
        """The jaw as the case states it, or the usual one."""
        return usual_jaw(self.tooth.number) if self.jaw is None else self.jaw


def _require_tooth(number: int) -> None:
    if number not in FDI_NUMBERS:
        raise ValueError(f"{number} is no permanent tooth: use the two-digit designation, 11 to 48")
