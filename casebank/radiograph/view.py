"""Where tube and receptor stand, and where a point of the jaw falls on the film. Axes and signs are stated here only.

Jaw frame, mm: x distal, y lingual (palatal), z occlusal, the same for all four quadrants. The tube stands on the buccal
side (-y), the receptor on the lingual side (+y).

Signs, the same in every quadrant:

* `horizontal_deg` + = the tube is moved mesially. What lies lingually then moves mesially on the film against what lies
  buccally ("same lingual, opposite buccal").
* `vertical_deg` + = the tube is raised towards occlusal, so it looks apically.
* `receptor_tilt_deg` + = the occlusal edge of the receptor leans lingually, away from the tooth. Vertical angle and
  tilt of the same size and sign let the beam fall square on the receptor; the tooth then reads too short.
* `roll_deg` + = the picture is turned clockwise.
* `aim_distal_mm` and `aim_occlusal_mm` + = beam and receptor are moved distally and towards occlusal; the tooth then
  lies further mesially and apically in the picture.

The film is seen from the buccal side: in quadrants 2 and 3 mesial lies at the picture's left, in 1 and 4 at its right.
Lower teeth stand with their roots down, upper teeth hang with their roots up. Film coordinates are right and down: in
mm from the receptor's centre, in pixels from the picture's top left corner, the first pixel's centre being (0.5, 0.5).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy
from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.radiograph.exposure import CORNER_SHARE
from casebank.radiograph.jaw_sections import APICAL_Z_MM, MIDDLE_Y_MM, section_of

Array = NDArray[np.float64]

USUAL_WIDTH_MM, USUAL_HEIGHT_MM = 41.035, 31.13  # a size 2 receptor, 31 by 41 mm (from memory)
# of the room a film has beyond the tooth, kept for the bone round the apices: a convention of ours
APICAL_SHARE = 2 / 3
STEEPEST_DEG = 70.0  # between beam and the receptor's normal; beyond it the receptor stands nearly edge on


@dataclass(frozen=True)
class View:
    """One exposure's geometry; signs as the module says.

    Attributes
    ----------
    horizontal_deg, vertical_deg : float
        Where the tube stands, within 45 degrees either way.
    receptor_tilt_deg, roll_deg : float
        How the receptor leans and is turned in its own plane, within 45 degrees either way.
    source_to_receptor_mm, object_to_receptor_mm : float
        Along the straight beam; the object is the middle of the tooth.
    recentre : bool
        Move the receptor with the beam, so that the tooth stays in the picture.
    aim_distal_mm, aim_occlusal_mm : float
        How far tube and receptor are off where they should be, within 30 mm either way.
    """

    horizontal_deg: float = 0.0
    vertical_deg: float = 0.0
    receptor_tilt_deg: float = 0.0
    roll_deg: float = 0.0
    source_to_receptor_mm: float = 400.0
    object_to_receptor_mm: float = 14.0
    recentre: bool = True
    aim_distal_mm: float = 0.0
    aim_occlusal_mm: float = 0.0

    def __post_init__(self) -> None:
        for name in ("horizontal_deg", "vertical_deg", "receptor_tilt_deg", "roll_deg"):
            angle = getattr(self, name)
            if not abs(angle) <= 45:
                raise ValueError(f"{name} is {angle}: keep it within -45 to 45 degrees")
        if self.incidence_deg > STEEPEST_DEG:
            raise ValueError(
                f"the beam would graze the receptor, {self.incidence_deg:.0f} degrees off square: "
                "lean the receptor towards the beam or move the tube back"
            )
        if not 150 <= self.source_to_receptor_mm <= 2000:
            raise ValueError(f"source_to_receptor_mm is {self.source_to_receptor_mm}: keep it within 150 to 2000 mm")
        if not 0 <= self.object_to_receptor_mm <= 60:
            raise ValueError(f"object_to_receptor_mm is {self.object_to_receptor_mm}: keep it within 0 to 60 mm")
        for name in ("aim_distal_mm", "aim_occlusal_mm"):
            if not abs(getattr(self, name)) <= 30:
                raise ValueError(f"{name} is {getattr(self, name)}: keep it within -30 to 30 mm")

    @property
    def incidence_deg(self) -> float:
        """Angle between the central ray and the receptor's normal."""
        h, v, tilt = np.radians([self.horizontal_deg, self.vertical_deg, self.receptor_tilt_deg])
        cosine = np.cos(h) * np.cos(v) * np.cos(tilt) + np.sin(v) * np.sin(tilt)
        return float(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


@dataclass(frozen=True)
class Receptor:
    """The receptor's pixels: how many across and down, and the distance between two, mm."""

    width_px: int = 1450
    height_px: int = 1100
    pitch_mm: float = 0.0283

    def __post_init__(self) -> None:
        for name in ("width_px", "height_px"):
            size = getattr(self, name)
            if not (isinstance(size, int) and 64 <= size <= 4096):
                raise ValueError(f"{name} is {size}: give a whole number from 64 to 4096")
        if not 0.005 <= self.pitch_mm <= 1:
            raise ValueError(f"pitch_mm is {self.pitch_mm}: give a distance from 0.005 to 1 mm")

    @classmethod
    def of_pixels(cls, width_px: int, height_px: int) -> "Receptor":
        """A receptor of the usual size with that many pixels; a shape of its own shows the whole field and more."""
        cls(width_px, height_px)
        return cls(width_px, height_px, max(USUAL_WIDTH_MM / width_px, USUAL_HEIGHT_MM / height_px))


@dataclass(frozen=True, eq=False)
class Projection:
    """Tube and receptor in the jaw frame; `right`, `down` and `normal` (towards the tube) are unit vectors."""

    source_mm: Array
    centre_mm: Array
    right: Array
    down: Array
    normal: Array
    receptor: Receptor

    def to_film_mm(self, points_jaw_mm: Array) -> Array:
        """Where points, shape (n, 3), fall on the film: right and down from its centre, shape (n, 2), mm.

        Raises
        ------
        ValueError
            If a point is not finite or lies level with the tube or behind it.
        """
        points = np.atleast_2d(np.asarray(points_jaw_mm, dtype=np.float64))
        depth = (self.source_mm - points) @ self.normal
        if not (np.isfinite(points).all() and (depth > 1e-6).all()):
            raise ValueError("a point lies behind the tube or is not finite: it throws no shadow on the film")
        reach = ((self.source_mm - self.centre_mm) @ self.normal) / depth
        landed = self.source_mm + (points - self.source_mm) * reach[:, None] - self.centre_mm
        return np.stack([landed @ self.right, landed @ self.down], axis=1)

    def holds(self, points_jaw_mm: Array) -> NDArray[np.bool_]:
        """Which points, shape (n, 3), fall within the picture and off its rounded corners, shape (n,)."""
        receptor = self.receptor
        half = np.array([receptor.width_px, receptor.height_px]) * receptor.pitch_mm / 2
        corner = CORNER_SHARE * receptor.width_px * receptor.pitch_mm
        off = np.maximum(np.abs(self.to_film_mm(points_jaw_mm)) - (half - corner), 0)
        return np.asarray(np.hypot(off[:, 0], off[:, 1]) <= corner)

    def project_px(self, points_jaw_mm: Array) -> Array:
        """Where points, shape (n, 3), fall in the picture: right and down from its top left, shape (n, 2), px."""
        middle = np.array([self.receptor.width_px, self.receptor.height_px]) / 2
        return self.to_film_mm(points_jaw_mm) / self.receptor.pitch_mm + middle


def aim(view: View, receptor: Receptor, anatomy: Anatomy) -> Projection:
    """The projection of a tooth: the beam goes to its middle, shifted so that most of the spare room lies apically.

    Raises
    ------
    ValueError
        If the receptor would stand in the tooth or in its jaw.
    """
    tooth, placement = anatomy.tooth, anatomy.placement
    top = placement.to_jaw(np.array([[0.0, 0.0, tooth.crown.height_mm]]))[0, 2]
    tips = placement.to_jaw(np.array([root.apex_mm for root in tooth.roots]))
    bottom = float(tips[:, 2].min())
    shown_mm = receptor.height_px * receptor.pitch_mm * (1 - view.object_to_receptor_mm / view.source_to_receptor_mm)
    spare_mm = max(0.0, shown_mm - (top - bottom))
    middle = bottom - APICAL_SHARE * spare_mm + max(shown_mm, top - bottom) / 2
    aimed = np.array([view.aim_distal_mm, 0.0, middle + view.aim_occlusal_mm])
    projection = aim_at(aimed, tooth.number, view, receptor)
    behind_mm = float(((projection.centre_mm - _lingual_side(anatomy)) @ projection.normal).max())
    if behind_mm > 0:
        raise ValueError(
            f"the receptor would stand {max(0.1, behind_mm):.1f} mm inside tooth or bone: "
            "raise object_to_receptor_mm, or lean the receptor less"
        )
    return projection


def covers(anatomy: Anatomy, view: View, receptor: Receptor) -> tuple[str, ...]:
    """The roots whose tips are in the picture, its rounded corners left out, in the anatomy's order."""
    tips = anatomy.placement.to_jaw(np.array([root.apex_mm for root in anatomy.tooth.roots]))
    inside = aim(view, receptor, anatomy).holds(tips)
    return tuple(root.name for root, held in zip(anatomy.tooth.roots, inside.tolist(), strict=True) if held)


def _lingual_side(anatomy: Anatomy) -> Array:
    """Points of the tooth's and the jaw's lingual surface from crown to apices, shape (n, 3), jaw frame, mm."""
    tooth = anatomy.tooth
    crown = np.array([[0.0, tooth.crown.buccolingual_mm / 2, 0.5 * tooth.crown.height_mm]])
    surface = anatomy.placement.to_jaw(np.vstack([crown, *(root.apex_mm for root in tooth.roots)]))
    section = section_of(tooth.number)
    heights = np.linspace(float(surface[:, 2].min()), -2.0, 6)
    plate = MIDDLE_Y_MM + np.interp(heights, [APICAL_Z_MM, 0.0], [section.apical_mm, section.crest_mm])
    return np.vstack([surface, np.stack([np.zeros(6), plate, heights], axis=1)])


def aim_at(point_jaw_mm: Array, number: int, view: View, receptor: Receptor) -> Projection:
    """The projection with the beam through one point of the jaw of tooth `number`.

    Raises
    ------
    ValueError
        If `number` is no permanent tooth's two-digit designation.
    """
    if number not in FDI_NUMBERS:
        raise ValueError(f"{number} is no permanent tooth: use the two-digit designation, 11 to 48")
    quadrant = number // 10
    to_right = 1.0 if quadrant in (2, 3) else -1.0
    to_top = 1.0 if quadrant in (3, 4) else -1.0
    h, v, tilt, roll = np.radians([view.horizontal_deg, view.vertical_deg, view.receptor_tilt_deg, view.roll_deg])
    to_tube = np.array([-np.sin(h) * np.cos(v), -np.cos(h) * np.cos(v), np.sin(v)])
    source = point_jaw_mm + (view.source_to_receptor_mm - view.object_to_receptor_mm) * to_tube
    normal = np.array([0.0, -np.cos(tilt), np.sin(tilt)])
    centre = point_jaw_mm + np.array([0.0, view.object_to_receptor_mm, 0.0])
    if view.recentre:
        reach = ((source - centre) @ normal) / ((source - point_jaw_mm) @ normal)
        centre = source + (point_jaw_mm - source) * reach
    flat_right = to_right * np.array([1.0, 0.0, 0.0])
    flat_down = -to_top * np.array([0.0, np.sin(tilt), np.cos(tilt)])
    right = np.cos(roll) * flat_right - np.sin(roll) * flat_down
    down = np.sin(roll) * flat_right + np.cos(roll) * flat_down
    return Projection(source, centre, right, down, normal, receptor)


def project_canal(anatomy: Anatomy, canal_name: str, view: View) -> Array:
    """A canal's centre line as the film shows it, orifice to foramen, shape (n, 2), mm right and down on the film.

    Lengths on it are magnified as on the film, angles are those a reader of the film can measure.
    """
    tooth = anatomy.tooth
    line = anatomy.placement.to_jaw(tooth.centre_line(tooth.canal(canal_name)))
    return aim(view, Receptor(), anatomy).to_film_mm(line)


def magnification(source_to_receptor_mm: float, source_to_object_mm: float) -> float:
    """How much larger than life an object parallel to the receptor is shown (similar triangles).

    >>> round(magnification(300, 290), 5)
    1.03448
    """
    if not 0 < source_to_object_mm <= source_to_receptor_mm:
        raise ValueError("the object must lie between tube and receptor")
    return source_to_receptor_mm / source_to_object_mm


def penumbra_mm(focal_spot_mm: float, source_to_receptor_mm: float, source_to_object_mm: float) -> float:
    """Width of the half shadow of an edge, mm (similar triangles).

    >>> round(penumbra_mm(0.7, 300, 290), 5)
    0.02414
    """
    return focal_spot_mm * (magnification(source_to_receptor_mm, source_to_object_mm) - 1)
