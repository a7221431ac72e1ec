"""What a crown has lost: to caries, to a blow, or at the margin of what covers it."""

from dataclasses import dataclass
from typing import Literal

from casebank.anatomy.finite import require_finite
from casebank.anatomy.restorations import Surface


@dataclass(frozen=True)
class Caries:
    """Softened tissue that enters at one surface, first or under the margin of a crown or filling.

    Attributes
    ----------
    surface : str
    depth_mm : float
        From the surface, 0.2 to 8; occlusally from the groove.
    height_mm : float
        Along the tooth's axis at the surface, 0.3 to 10; occlusally its mesio-distal width.
    above_neck_mm : float
        Height of its middle above the neck, -6 to 12, below 0 on the root; occlusal caries ignores it.
    open : bool
        A cavity with nothing in it, rather than softened dentine.

    Raises
    ------
    ValueError
        If a number is out of range or not finite.
    """

    surface: Surface
    depth_mm: float
    height_mm: float
    above_neck_mm: float = 2.0
    open: bool = False

    def __post_init__(self) -> None:
        numbers = ("depth_mm", "height_mm", "above_neck_mm")
        require_finite(f"{self.surface} caries", [(name, getattr(self, name)) for name in numbers])
        if not (0.2 <= self.depth_mm <= 8 and 0.3 <= self.height_mm <= 10 and -6 <= self.above_neck_mm <= 12):
            raise ValueError(
                f"{self.surface} caries needs a depth of 0.2 to 8 and a height of 0.3 to 10 mm, and lies between 6 mm "
                "below and 12 mm above the neck"
            )


@dataclass(frozen=True)
class Chip:
    """A corner broken off the crown.

    Attributes
    ----------
    side : str
    width_mm, height_mm : float
        Along the edge and down the side, 0.2 to 10.

    Raises
    ------
    ValueError
        If a size is out of range or not finite.
    """

    side: Literal["mesial", "distal"]
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        require_finite(f"a {self.side} chip", [("width_mm", self.width_mm), ("height_mm", self.height_mm)])
        if not (0.2 <= self.width_mm <= 10 and 0.2 <= self.height_mm <= 10):
            raise ValueError(f"a {self.side} chip needs a width and a height of 0.2 to 10 mm")


@dataclass(frozen=True)
class OpenMargin:
    """A place where a crown does not meet the tooth.

    Attributes
    ----------
    side : str
    height_mm : float
        Of the gap, 0.05 to 2.
    depth_mm : float
        How far it reaches in, 0.2 to 4.

    Raises
    ------
    ValueError
        If a size is out of range or not finite.
    """

    side: Literal["mesial", "distal"]
    height_mm: float
    depth_mm: float = 1.2

    def __post_init__(self) -> None:
        require_finite(f"an open {self.side} margin", [("height_mm", self.height_mm), ("depth_mm", self.depth_mm)])
        if not (0.05 <= self.height_mm <= 2 and 0.2 <= self.depth_mm <= 4):
            raise ValueError(f"an open {self.side} margin needs a height of 0.05 to 2 and a depth of 0.2 to 4 mm")


@dataclass(frozen=True)
class Damage:
    """All that one crown has lost.

    Attributes
    ----------
    caries : tuple of Caries
    chips : tuple of Chip
    open_margins : tuple of OpenMargin
        Only under a crown or bridge.
    """

    caries: tuple[Caries, ...] = ()
    chips: tuple[Chip, ...] = ()
    open_margins: tuple[OpenMargin, ...] = ()
