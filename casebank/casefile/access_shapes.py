"""The way into a tooth, and what closes it: simple shapes that follow from chamber and crown.

No outline is cut yet, so the opening is that of a tidy one: the chamber's roof gone and a straight way up, out of the
lingual side of a front tooth and of the chewing surface of any other. Its proportions are teaching choices.
"""

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy
from casebank.radiograph import Material, Rod

Array = NDArray[np.float64]

SEAL_MATERIAL = Material.COMPOSITE  # whatever it is closed with is shown as dense as this
WAY_IN_SHARE = 0.62  # width of the opening over that of the chamber
WIDEST_SHARE = 0.45  # and never more of the crown than this
FRONT_UP_SHARE, FRONT_BACK_SHARE = 0.62, 0.36  # where a front tooth is opened: share of its height and of its depth
LAST_CANINE = 3
FOSSA_MM = 1.2  # how far the chewing surface lies below the cusps where it is opened
SOFT_MM = 3.0  # a provisional filling's thickness: 3 to 4 mm, common practice, no source


def cavity(anatomy: Anatomy) -> tuple[Rod, ...]:
    """Chamber and opening, empty."""
    return (_chamber(anatomy, Material.AIR), _way_in(anatomy, Material.AIR))


def closure(anatomy: Anatomy, *, soft: bool) -> tuple[Rod, ...]:
    """What closes the tooth: a seal over the orifices and up through the opening, or a soft filling over cotton."""
    if soft:
        return (_lid(anatomy),)
    return (_chamber(anatomy, SEAL_MATERIAL), _way_in(anatomy, SEAL_MATERIAL))


def _chamber(anatomy: Anatomy, material: Material) -> Rod:
    """The chamber as one rounded body: lying where it is wide and low, standing where it is tall and slender."""
    tooth, chamber = anatomy.tooth, anatomy.tooth.chamber
    half_wide, half_high = chamber.mesiodistal_mm / 2, chamber.height_mm / 2
    floor_z = tooth.crown.height_mm - chamber.floor_mm
    radius = min(half_wide, half_high)
    reach = max(half_wide, half_high) - radius + 1e-3
    way = np.array([1.0, 0.0, 0.0]) if half_wide > half_high else np.array([0.0, 0.0, 1.0])
    centre = np.array([*_middle(anatomy), floor_z + half_high])
    line = np.array([centre - reach * way, centre + reach * way])
    return _rod(anatomy, line, np.full(2, radius), chamber.buccolingual_mm / 2 / radius, material)


def _way_in(anatomy: Anatomy, material: Material) -> Rod:
    """The opening from the middle of the chamber to the crown's surface."""
    radius, flattening = _opening(anatomy)
    chamber = anatomy.tooth.chamber
    middle_z = anatomy.tooth.crown.height_mm - (chamber.roof_mm + chamber.floor_mm) / 2
    line = np.array([[*_middle(anatomy), middle_z], _mouth(anatomy, radius)])
    return _rod(anatomy, line, np.full(2, radius), flattening, material)


def _lid(anatomy: Anatomy) -> Rod:
    """A soft filling in the mouth of the opening, as wide as that and no thicker than such a filling is."""
    radius, flattening = _opening(anatomy)
    thick = min(radius, SOFT_MM / 2)
    reach = np.array([radius - thick + 1e-3, 0.0, 0.0])
    centre = _mouth(anatomy, thick)
    line = np.array([centre - reach, centre + reach])
    return _rod(anatomy, line, np.full(2, thick), flattening * radius / thick, SEAL_MATERIAL)


def _opening(anatomy: Anatomy) -> tuple[float, float]:
    """Half of the opening's width, and how oval it is."""
    chamber, crown = anatomy.tooth.chamber, anatomy.tooth.crown
    half_wide = min(WAY_IN_SHARE * chamber.mesiodistal_mm, WIDEST_SHARE * crown.mesiodistal_mm) / 2
    half_deep = min(WAY_IN_SHARE * chamber.buccolingual_mm, WIDEST_SHARE * crown.buccolingual_mm) / 2
    return half_wide, max(1.0, half_deep / half_wide)


def _mouth(anatomy: Anatomy, round_mm: float) -> Array:
    """Where the opening's middle line ends so that a rounded end of that radius just reaches the surface."""
    tooth, crown = anatomy.tooth, anatomy.tooth.crown
    front = tooth.number % 10 <= LAST_CANINE
    up_mm = FRONT_UP_SHARE * crown.height_mm if front else crown.height_mm - FOSSA_MM - round_mm
    leans = np.tan(np.radians([crown.off_root_mesiodistal_deg, crown.off_root_buccolingual_deg]))
    back_mm = FRONT_BACK_SHARE * crown.buccolingual_mm if front else 0.0
    return np.array([up_mm * leans[0], up_mm * leans[1] + back_mm, up_mm])


def _middle(anatomy: Anatomy) -> Array:
    """Middle of the chamber's floor, x and y: between the outermost orifices."""
    orifices = np.array([canal.orifice_mm for canal in anatomy.tooth.canals])
    return np.asarray((orifices.min(axis=0) + orifices.max(axis=0)) / 2)


def _rod(anatomy: Anatomy, line: Array, radius: Array, flattening: float, material: Material) -> Rod:
    place = anatomy.placement
    return Rod(place.to_jaw(line), radius, material, flattening, place.to_jaw(np.eye(3)).T)
