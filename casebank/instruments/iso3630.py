"""Root-canal instruments as the standard describes them: size, taper, diameter along the working part, handle colour.

Sizes count the tip in hundredths of a millimetre; a taper is the gain in diameter per millimetre. The law of the
diameter and the 16 mm working part follow ISO 3630-1; the size series and the colours stand here from memory.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Kind = Literal["hand", "engine", "flare", "cone"]

WORKING_PART_MM = 16.0
SIZES = (6, 8, 10, *range(15, 61, 5), *range(70, 141, 10))
HAND_TAPER = 0.02
ENGINE_SIZES = tuple(range(15, 51, 5))
TAPERS = (0.02, 0.04, 0.06)
FLARE_SIZE, FLARE_TAPER, FLARE_WORKING_PART_MM = 30, 0.08, 8.0  # one short coronal instrument: a teaching choice
ENGINE_GREATEST_MM = 1.0  # shank of an engine file, so that a steep taper stays within the tooth: a teaching choice

COLOURS_BASIS = "ISO 3630-1, from memory"
_SMALL = {6: "pink", 8: "grey", 10: "purple"}
_ROUND = ("white", "yellow", "red", "blue", "green", "black")


def require_size(size: int) -> None:
    """Raise ValueError unless `size` is one of the standard's."""
    if size not in SIZES:
        raise ValueError(f"there is no size {size}: sizes run 06, 08, 10, then by 5 up to 60 and by 10 up to 140")


def colour_of(size: int) -> str:
    """Handle colour of a size (from memory).

    >>> colour_of(25), colour_of(60), colour_of(8)
    ('red', 'blue', 'grey')
    """
    require_size(size)
    return _SMALL.get(size) or _ROUND[(SIZES.index(size) - len(_SMALL)) % len(_ROUND)]


def next_larger(size: int) -> int | None:
    """The next size up; none above 140."""
    require_size(size)
    place = SIZES.index(size) + 1
    return SIZES[place] if place < len(SIZES) else None


def relative_step(smaller: int, larger: int) -> float:
    """Gain in tip diameter from one size to another, as a share of the smaller.

    >>> relative_step(10, 15)
    0.5
    """
    require_size(smaller)
    require_size(larger)
    return (larger - smaller) / smaller


@dataclass(frozen=True)
class Instrument:
    """A tapered instrument.

    Attributes
    ----------
    size : int
        Tip diameter in hundredths of a millimetre.
    taper : float
        Gain in diameter per millimetre, such as 0.04.
    kind : "hand", "engine", "flare" or "cone"
    greatest_mm : float
        Diameter above which the instrument grows no further.
    off_mm : float
        True diameter at the tip less the label's; only a cone may be off.

    Raises
    ------
    ValueError
        If the size or the taper is not made for this kind, or something else than a cone is off its label.

    Examples
    --------
    >>> round(Instrument(25).diameter_mm(16.0), 2)
    0.57
    """

    size: int
    taper: float = HAND_TAPER
    kind: Kind = "hand"
    greatest_mm: float = math.inf
    off_mm: float = 0.0

    def __post_init__(self) -> None:
        require_size(self.size)
        if self.kind == "hand" and self.taper != HAND_TAPER:
            raise ValueError(
                f"a hand file tapers .02, not {_points(self.taper)}: choose an engine file for another taper"
            )
        if self.kind == "flare" and (self.size, self.taper) != (FLARE_SIZE, FLARE_TAPER):
            raise ValueError(f"the tray holds one coronal flare, {FLARE_SIZE}/{_points(FLARE_TAPER)}")
        if self.kind in ("engine", "cone") and self.taper not in TAPERS:
            raise ValueError(f"there is no taper {_points(self.taper)}: choose .02, .04 or .06")
        if self.kind == "engine" and self.size not in ENGINE_SIZES:
            raise ValueError(f"there is no engine file of size {self.size:02d}: tips run from 15 to 50 by 5")
        if self.off_mm and (self.kind != "cone" or not self.tip_mm > 0):
            raise ValueError(f"only a cone may be off its label, and a tip of {self.tip_mm:g} mm must stay above 0 mm")
        if not self.greatest_mm > self.tip_mm:
            raise ValueError(f"an instrument no wider than {self.greatest_mm} mm cannot have a tip of {self.tip_mm} mm")

    @property
    def tip_mm(self) -> float:
        """D0, the diameter at the tip."""
        return self.size / 100 + self.off_mm

    @property
    def working_part_mm(self) -> float:
        return FLARE_WORKING_PART_MM if self.kind == "flare" else WORKING_PART_MM

    @property
    def shank_mm(self) -> float:
        """D16, or the diameter at which the instrument stops growing."""
        return min(self.tip_mm + self.taper * self.working_part_mm, self.greatest_mm)

    def diameter_mm(self, from_tip_mm: float) -> float:
        """Diameter at a distance from the tip; constant past the working part and, ahead of it, that of the tip."""
        return min(self.tip_mm + self.taper * min(max(from_tip_mm, 0.0), self.working_part_mm), self.greatest_mm)

    def diameters_mm(self, from_tip_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """The same for an array of distances, any shape."""
        return np.minimum(np.maximum(self.tip_mm + self.taper * from_tip_mm, self.tip_mm), self.shank_mm)

    @property
    def label(self) -> str:
        """Size and taper, such as 25/.04."""
        return f"{self.size:02d}/{_points(self.taper)}"

    @property
    def spoken(self) -> str:
        """Handle colour, size and taper in words."""
        return f"{colour_of(self.size)} {self.label}"


def hand_file(size: int) -> Instrument:
    return Instrument(size)


def engine_file(size: int, taper: float) -> Instrument:
    return Instrument(size, taper, "engine", ENGINE_GREATEST_MM)


def cone(size: int, taper: float, off_mm: float = 0.0) -> Instrument:
    """A master cone: the same law, the same greatest width as the engine files it is matched to; it may be off."""
    require_size(size)
    return Instrument(size, taper, "cone", max(ENGINE_GREATEST_MM, Instrument(size).shank_mm), off_mm)


def coronal_flare() -> Instrument:
    return Instrument(FLARE_SIZE, FLARE_TAPER, "flare")


def bending_strain(diameter_mm: float, radius_mm: float) -> float:
    """Strain at the surface of an instrument bent to a radius measured to its centre line: d / 2R.

    >>> bending_strain(0.30, 5.0)
    0.03
    """
    if not (diameter_mm > 0 and radius_mm > 0):
        raise ValueError("strain needs a diameter and a radius above 0 mm")
    return diameter_mm / (2 * radius_mm)


def _points(taper: float) -> str:
    return f".{round(taper * 100):02d}"
