"""Where a section of a limited volume lies, which way round it is shown, and how that is said.

Planes are named after the head, as in practice, not after the tooth: for a back tooth a sagittal section runs along the
arch and a coronal one across it; for a front tooth, canines included (a teaching choice), it is the other way round.

The picture's sides, the same in every quadrant, and said in words with every section: mesial lies at the left in
quadrants 2 and 3 and at the right in 1 and 4, as on a film. An axial section is seen from below, turned so that the
cheek or lip side is at the top. Other sections have the upper jaw's direction up, as on a film; across the arch the
head is faced, or seen with its front to the left, so that buccal lies at the left except in quadrants 2 and 3 of a
coronal section. Common practice, no source.
"""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy
from casebank.radiograph.sections import Grid

PlaneName = Literal["axial", "coronal", "sagittal"]

PLANES: tuple[PlaneName, ...] = get_args(PlaneName)
LAST_FRONT = 3  # place of the canine from the midline


@dataclass(frozen=True)
class Volume:
    """A limited volume round one tooth: a cylinder, upright in the jaw, its centre at the tooth's middle.

    Attributes
    ----------
    width_mm, height_mm : float
        Diameter and height, 30 to 60 mm; "limited" means about 40 by 40 (common practice, no source).
    voxel_mm : float
        0.1 to 0.2 mm.

    Raises
    ------
    ValueError
        If a size is out of range or not finite.
    """

    width_mm: float = 40.0
    height_mm: float = 40.0
    voxel_mm: float = 0.15

    def __post_init__(self) -> None:
        for name in ("width_mm", "height_mm"):
            if not 30 <= getattr(self, name) <= 60:
                raise ValueError(f"a limited volume with {name} {getattr(self, name)} is out of range: give 30 to 60")
        if not 0.1 <= self.voxel_mm <= 0.2:
            raise ValueError(f"voxels of {self.voxel_mm} mm are out of range: give 0.1 to 0.2 mm")


@dataclass(frozen=True)
class Cut:
    """One plane through the volume.

    Attributes
    ----------
    plane : str
    at_mm : float
        Where it lies, in the jaw frame: axial, + = occlusal of the tooth's neck; along the arch, + = lingual of the
        tooth's middle; across the arch, + = distal of it.
    thickness_mm : float
        0.1 to 3 mm: what it shows is averaged over so much.

    Raises
    ------
    ValueError
        If there is no such plane, a number is out of range or not finite.
    """

    plane: PlaneName
    at_mm: float = 0.0
    thickness_mm: float = 0.15

    def __post_init__(self) -> None:
        if self.plane not in ("axial", "coronal", "sagittal"):
            raise ValueError(f"there is no {self.plane} section: ask for axial, coronal or sagittal")
        if not abs(self.at_mm) <= 60:
            raise ValueError(f"a section at {self.at_mm} mm lies outside the volume: give a place within it")
        if not 0.1 <= self.thickness_mm <= 3:
            raise ValueError(f"a section {self.thickness_mm} mm thick is out of range: give 0.1 to 3 mm")


@dataclass(frozen=True)
class Sides:
    """What lies at each side of the picture, in words."""

    left: str
    right: str
    top: str
    bottom: str


def middle_of(anatomy: Anatomy) -> NDArray[np.float64]:
    """The volume's centre, shape (3,), jaw frame, mm: on the tooth's axis at its neck, half-way from cusp to apex."""
    tooth, placement = anatomy.tooth, anatomy.placement
    ends = np.array([[0.0, 0.0, tooth.crown.height_mm], *(root.apex_mm for root in tooth.roots)])
    heights = placement.to_jaw(ends)[:, 2]
    return np.array([0.0, 0.0, (heights.max() + heights.min()) / 2])


def runs_along_arch(plane: PlaneName, number: int) -> bool:
    """Whether an upright section shows the tooth from mesial to distal."""
    return (plane == "coronal") == (number % 10 <= LAST_FRONT)


def grid_of(anatomy: Anatomy, cut: Cut, volume: Volume) -> tuple[Grid, Sides]:
    """Where a section's voxels lie in the jaw, and what lies at its sides.

    Raises
    ------
    ValueError
        If the plane does not meet the volume.
    """
    tooth = anatomy.tooth
    quadrant, upper = tooth.number // 10, tooth.is_upper
    x, y, z = np.eye(3)
    centre = middle_of(anatomy)
    mesial_left = quadrant in (2, 3)
    across = x if mesial_left else -x
    lingual = "palatal" if upper else "lingual"
    buccal = "labial" if tooth.number % 10 <= LAST_FRONT else "buccal"
    near_far = ("mesial", "distal") if mesial_left else ("distal", "mesial")
    height_px = round(volume.height_mm / volume.voxel_mm)
    width_px = round(volume.width_mm / volume.voxel_mm)
    down = z if upper else -z
    up_down = ("apical", "occlusal") if upper else ("occlusal", "apical")
    if cut.plane == "axial":
        _require_within(cut.at_mm - centre[2], volume.height_mm / 2, cut)
        centre = np.array([0.0, 0.0, cut.at_mm])
        return Grid(centre, across, y, width_px, width_px, volume.voxel_mm), Sides(*near_far, buccal, lingual)
    _require_within(cut.at_mm, volume.width_mm / 2, cut)
    if runs_along_arch(cut.plane, tooth.number):
        centre = centre + cut.at_mm * y
        return Grid(centre, across, down, height_px, width_px, volume.voxel_mm), Sides(*near_far, *up_down)
    centre = centre + cut.at_mm * x
    buccal_left = cut.plane == "sagittal" or not mesial_left
    sides = Sides(*((buccal, lingual) if buccal_left else (lingual, buccal)), *up_down)
    return Grid(centre, y if buccal_left else -y, down, height_px, width_px, volume.voxel_mm), sides


@dataclass(frozen=True)
class Trace:
    """Where another plane crosses a section's picture.

    Attributes
    ----------
    plane : str
        The other plane.
    upright : bool
        Whether the line runs up and down the picture; across it, if not.
    offset_mm, sign : float
        The line lies `sign * (at_mm - offset_mm)` from the picture's middle, to the right or down.
    size_mm : float
        Of the picture, in that direction.
    """

    plane: PlaneName
    upright: bool
    offset_mm: float
    sign: float
    size_mm: float

    def share(self, at_mm: float) -> float:
        """Where the line lies, 0 to 1 from the left or from the top, when the other plane is at `at_mm`."""
        return 0.5 + self.sign * (at_mm - self.offset_mm) / self.size_mm


def normal_of(plane: PlaneName, number: int) -> NDArray[np.float64]:
    """The direction in which a plane's `at_mm` counts, shape (3,), jaw frame."""
    x, y, z = np.eye(3)
    return np.asarray(z if plane == "axial" else y if runs_along_arch(plane, number) else x)


def reach_mm(anatomy: Anatomy, plane: PlaneName, volume: Volume) -> tuple[float, float]:
    """Between which places a plane meets the volume, both ends left out, mm."""
    middle = float(middle_of(anatomy) @ normal_of(plane, anatomy.tooth.number))
    half = (volume.height_mm if plane == "axial" else volume.width_mm) / 2
    return middle - half, middle + half


def traces(anatomy: Anatomy, plane: PlaneName, volume: Volume) -> tuple[Trace, ...]:
    """Where the two other planes cross a plane's picture, wherever that plane lies."""
    number, at_mm = anatomy.tooth.number, sum(reach_mm(anatomy, plane, volume)) / 2
    grid, _ = grid_of(anatomy, Cut(plane, at_mm), volume)
    found = []
    for other in PLANES:
        normal = normal_of(other, number)
        across, down = float(normal @ grid.right), float(normal @ grid.down)
        if other != plane:
            pixels, sign = (grid.columns, across) if across else (grid.rows, down)
            found.append(Trace(other, bool(across), float(normal @ grid.centre_mm), sign, pixels * grid.pitch_mm))
    return tuple(found)


def in_words(anatomy: Anatomy, cut: Cut, volume: Volume, sides: Sides, blur_mm: float) -> str:
    """A section's plane, place, thickness, sharpness and sides in one sentence."""
    size = f"{abs(cut.at_mm):.1f} mm"
    if cut.plane == "axial":
        place = f"{size} {'occlusal' if cut.at_mm >= 0 else 'apical'} of the neck"
    else:
        along = runs_along_arch(cut.plane, anatomy.tooth.number)
        toward = ("lingual", "buccal") if along else ("distal", "mesial")
        runs = "along the arch" if along else "across the arch"
        place = f"{runs}, {size} {toward[0] if cut.at_mm >= 0 else toward[1]} of the tooth's middle"
    return (
        f"{cut.plane.capitalize()} section, {place}; {cut.thickness_mm:g} mm thick, voxels of {volume.voxel_mm:g} mm, "
        f"blur {blur_mm:g} mm (one standard deviation); {sides.left} left, {sides.right} right, {sides.top} up, "
        f"{sides.bottom} down"
    )


def _require_within(off_mm: float, half_mm: float, cut: Cut) -> None:
    if abs(off_mm) >= half_mm:
        raise ValueError(
            f"a section at {cut.at_mm} mm lies outside the volume, which ends {half_mm:g} mm from its middle: "
            "move the plane towards the tooth"
        )
