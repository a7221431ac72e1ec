"""Sections across the jaw by the kind of tooth that stands there."""

from dataclasses import dataclass

REACH_MM = 34.0  # the jaw is drawn this far to both sides
MIDDLE_Y_MM = 0.2


@dataclass(frozen=True)
class Section:
    """A section across the jaw, mm: half widths at crest, at apical height and at the base, and the plate there."""

    crest_mm: float
    apical_mm: float
    base_mm: float
    crest_plate_mm: float
    apical_plate_mm: float
    base_plate_mm: float


# teaching choices, after textbook drawings (from memory)
LOWER_BACK = Section(2.7, 6.2, 6.6, 0.55, 1.35, 1.6)
LOWER_FRONT = Section(2.0, 4.2, 5.6, 0.45, 1.1, 1.5)
UPPER_BACK = Section(3.2, 6.2, 6.6, 0.45, 0.8, 0.8)
UPPER_FRONT = Section(2.3, 4.6, 6.2, 0.45, 0.9, 0.9)
APICAL_Z_MM, BASE_Z_MM = -13.0, -26.0


def section_of(number: int) -> Section:
    """The jaw's section at a tooth."""
    upper, back = number // 10 in (1, 2), number % 10 >= 4
    if upper:
        return UPPER_BACK if back else UPPER_FRONT
    return LOWER_BACK if back else LOWER_FRONT
