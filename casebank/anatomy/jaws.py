"""What else of the jaw may lie in a tooth's film: sinus, cheekbone, nose and palate above; nerve canal, foramen, ridges
and lower border below.

Places along the arch are in mm from the tooth, + distally. Heights are distances beyond the tooth's apex, the one
furthest from the bite: a negative one means that the structure is thrown over the root. Usual values are teaching
choices within textbook ranges (from memory); a case that names a jaw of its own gets what it names and nothing else.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from casebank.anatomy.finite import require_finite

FURTHEST_MM = 40.0  # no film shows more of the arch
USUAL_LOWER_BORDER_MM = 32.6


def _require_on_film(subject: str, numbers: Mapping[str, float]) -> None:
    require_finite(subject, list(numbers.items()))
    for name, number in numbers.items():
        if name.endswith("_mm") and abs(number) > FURTHEST_MM:
            raise ValueError(f"{subject} has {name} at {number} mm: keep it within {FURTHEST_MM:.0f} mm of the tooth")


def _require_extent(subject: str, begins_mm: float, ends_mm: float) -> None:
    if not ends_mm - begins_mm >= 4:
        raise ValueError(f"{subject} from {begins_mm} to {ends_mm} mm is too short: let it end 4 mm or more distally")


@dataclass(frozen=True)
class Sinus:
    """The maxillary sinus: its floor's lowest point beyond the apex, its reach along the arch, its bays.

    ValueError if a number is not finite or out of reach, or there are not 1 to 4 bays.
    """

    beyond_apex_mm: float = 1.5
    begins_mm: float = -12.5
    ends_mm: float = 26.0
    bays: int = 3

    def __post_init__(self) -> None:
        _require_on_film("a sinus", vars(self))
        _require_extent("a sinus", self.begins_mm, self.ends_mm)
        if not 1 <= self.bays <= 4:
            raise ValueError(f"a sinus floor has 1 to 4 bays, not {self.bays}")


@dataclass(frozen=True)
class Zygoma:
    """The shadow of the zygomatic process: lowest point of its arch, middle along the arch, and width.

    ValueError if a number is not finite or out of reach, or the width not above 2 mm.
    """

    beyond_apex_mm: float = 1.0
    at_mm: float = 6.0
    width_mm: float = 15.0

    def __post_init__(self) -> None:
        _require_on_film("a zygoma", vars(self))
        if not self.width_mm > 2:
            raise ValueError(f"a zygoma's shadow needs a width above 2 mm, not {self.width_mm}")


@dataclass(frozen=True)
class NasalFloor:
    """The floor of the nose over the front teeth, and the midline its septum stands on.

    `foramen_mm` is the width of the incisive foramen on the midline, 0 for one that does not show.
    ValueError if a number is not finite or out of reach, or the foramen is not 0 to 8 mm wide.
    """

    beyond_apex_mm: float = 6.0
    midline_mm: float = -4.3
    foramen_mm: float = 0.0

    def __post_init__(self) -> None:
        _require_on_film("a nasal floor", vars(self))
        if not 0 <= self.foramen_mm <= 8:
            raise ValueError(f"an incisive foramen is 0 (not seen) to 8 mm wide, not {self.foramen_mm}")


@dataclass(frozen=True)
class NerveCanal:
    """The mandibular canal: upper border beyond the apex at the tooth, where it begins, its rise distally, its widths.

    ValueError if a number is not finite or out of reach, lumen or wall not above 0, or it climbs over 45 degrees.
    """

    beyond_apex_mm: float = 2.7
    begins_mm: float = -34.0
    rise_deg: float = 4.0
    lumen_mm: float = 2.8
    wall_mm: float = 0.40

    def __post_init__(self) -> None:
        _require_on_film("a nerve canal", vars(self))
        if not (min(self.lumen_mm, self.wall_mm) > 0 and abs(self.rise_deg) <= 45):
            raise ValueError("a nerve canal needs a lumen and a wall above 0 mm and rises or falls 45 degrees at most")


@dataclass(frozen=True)
class MentalForamen:
    """The mental foramen: its middle beyond the apex and along the arch, and its size.

    ValueError if a number is not finite or out of reach, or the size not above 0 mm.
    """

    beyond_apex_mm: float = 2.0
    at_mm: float = -3.5
    size_mm: float = 3.0

    def __post_init__(self) -> None:
        _require_on_film("a mental foramen", vars(self))
        if not self.size_mm > 0:
            raise ValueError(f"a mental foramen needs a size above 0 mm, not {self.size_mm}")


@dataclass(frozen=True)
class ObliqueRidge:
    """A bony ridge that climbs distally: depth below the neck at the tooth, where it begins, how steeply and how thick.

    ValueError if a number is not finite or out of reach, the thickness not above 0 mm, or it climbs over 60 degrees.
    """

    below_neck_mm: float = 9.0
    begins_mm: float = 2.0
    rise_deg: float = 25.0
    thick_mm: float = 2.0

    def __post_init__(self) -> None:
        _require_on_film("an oblique ridge", vars(self))
        if not (self.thick_mm > 0 and 0 <= self.rise_deg <= 60):
            raise ValueError("an oblique ridge needs a thickness above 0 mm and climbs 0 to 60 degrees")


@dataclass(frozen=True)
class Jaw:
    """What a film may show beside teeth and alveolar bone; none means that it does not show.

    Attributes
    ----------
    sinus, zygoma, nasal_floor : of the upper jaw
    palate_beyond_apex_mm : float or None
        Height of the hard palate's line, upper jaw.
    nerve_canal, mental_foramen, external_ridge, internal_ridge : of the lower jaw
    lower_border_mm : float
        Depth of the lower jaw's border below the tooth's neck, 20 to 60.

    Raises
    ------
    ValueError
        If the border is out of range or a number not finite.
    """

    sinus: Sinus | None = None
    zygoma: Zygoma | None = None
    nasal_floor: NasalFloor | None = None
    palate_beyond_apex_mm: float | None = None
    nerve_canal: NerveCanal | None = None
    mental_foramen: MentalForamen | None = None
    external_ridge: ObliqueRidge | None = None
    internal_ridge: ObliqueRidge | None = None
    lower_border_mm: float = USUAL_LOWER_BORDER_MM

    def __post_init__(self) -> None:
        numbers = [(name, getattr(self, name)) for name in ("palate_beyond_apex_mm", "lower_border_mm")]
        require_finite("a jaw", numbers)
        if not 20 <= self.lower_border_mm <= 60:
            raise ValueError(f"a lower border {self.lower_border_mm} mm below the neck cannot be: give 20 to 60 mm")
        if self.palate_beyond_apex_mm is not None and not abs(self.palate_beyond_apex_mm) <= FURTHEST_MM:
            raise ValueError(f"a palate {self.palate_beyond_apex_mm} mm beyond the apex is on no film: give 40 or less")

    def require_of(self, *, upper: bool) -> None:
        """ValueError naming what belongs to the other jaw."""
        lower_only = ("nerve_canal", "mental_foramen", "external_ridge", "internal_ridge")
        upper_only = ("sinus", "zygoma", "nasal_floor", "palate_beyond_apex_mm")
        wrong = [name for name in (lower_only if upper else upper_only) if getattr(self, name) is not None]
        if wrong:
            where = "an upper" if upper else "a lower"
            raise ValueError(f"{where} tooth's jaw has no {', '.join(wrong)}: leave it out")


def usual_jaw(number: int) -> Jaw:
    """What a film of tooth `number` (two-digit designation) usually shows.

    >>> usual_jaw(16).sinus.beyond_apex_mm, usual_jaw(46).sinus, usual_jaw(13).sinus
    (1.5, None, None)
    """
    place = number % 10
    return _usual_upper(place) if number // 10 in (1, 2) else _usual_lower(place)


def _usual_upper(place: int) -> Jaw:
    if place <= 2:
        return Jaw(nasal_floor=NasalFloor(midline_mm=-4.3 if place == 1 else -11.8))
    if place <= 4:
        return Jaw()
    if place == 5:
        return Jaw(sinus=Sinus(begins_mm=-6.5, ends_mm=28.0), zygoma=Zygoma(at_mm=13.5))
    towards_front = 9.5 * (place - 6)
    return Jaw(
        sinus=Sinus(begins_mm=-12.5 - 0.5 * towards_front, ends_mm=26.0 - towards_front),
        zygoma=Zygoma(at_mm=6.0 - towards_front),
    )


def _usual_lower(place: int) -> Jaw:
    if place <= 3:
        return Jaw()
    if place <= 5:
        return Jaw(mental_foramen=MentalForamen(at_mm=3.5 if place == 4 else -3.5))
    if place == 6:
        return Jaw(nerve_canal=NerveCanal(begins_mm=-14.0), internal_ridge=ObliqueRidge(12.0, 6.0, 18.0, 0.7))
    return Jaw(
        nerve_canal=NerveCanal(),
        external_ridge=ObliqueRidge(13.0 - 4.0 * (place - 7), 2.0, 24.0, 2.0),
        internal_ridge=ObliqueRidge(12.5 - 3.0 * (place - 7), -2.0, 17.0, 0.7),
    )
