"""What holds a tooth: ligament, lamina dura and the bone crest, whole or lost in part."""

from dataclasses import dataclass, field, fields
from typing import Literal

from casebank.anatomy.finite import require_finite

Side = Literal["mesial", "distal", "buccal", "lingual"]


@dataclass(frozen=True)
class Crest:
    """Bone crest as a depth below the neck on each side, mm. ValueError if one is not finite.

    Even loss of bone is a deeper crest; films draw the mesial and the distal rim.
    """

    mesial_mm: float = 1.5
    distal_mm: float = 1.5
    buccal_mm: float = 2.0
    lingual_mm: float = 1.5

    def __post_init__(self) -> None:
        require_finite("a bone crest", [(side.name, getattr(self, side.name)) for side in fields(self)])

    def depth_mm(self, side: Side) -> float:
        """Depth below the neck on one side."""
        return float(getattr(self, f"{side}_mm"))


@dataclass(frozen=True)
class AngularDefect:
    """Bone lost vertically along the tooth's side: a wedge that narrows downwards.

    Attributes
    ----------
    side : str
    depth_mm : float
        From the crest on that side down to its tip, along the tooth's axis; above 0.
    width_mm : float
        At the crest, away from the root; above 0.

    Raises
    ------
    ValueError
        If a size is not above 0 or not finite.
    """

    side: Side
    depth_mm: float
    width_mm: float

    def __post_init__(self) -> None:
        require_finite("an angular defect", [("depth_mm", self.depth_mm), ("width_mm", self.width_mm)])
        if not (self.depth_mm > 0 and self.width_mm > 0):
            raise ValueError("an angular defect needs a depth and a width above 0 mm")


@dataclass(frozen=True)
class WidenedLigament:
    """A place where the ligament space is wider than elsewhere.

    Attributes
    ----------
    root : str
        Name of the root.
    extra_mm : float
        How much wider at the most, above 0.
    at_mm : float or None
        Level of the widest place below the root's coronal end, along the root; none means its apex.
    spread_mm : float
        Length above and below over which the space returns to its own width.

    Raises
    ------
    ValueError
        If the width or spread is not above 0, the level below 0, or a number not finite.
    """

    root: str
    extra_mm: float
    at_mm: float | None = None
    spread_mm: float = 3.0

    def __post_init__(self) -> None:
        numbers = [(name, getattr(self, name)) for name in ("extra_mm", "at_mm", "spread_mm")]
        require_finite(f"a widened ligament on root {self.root}", numbers)
        if not (self.extra_mm > 0 and self.spread_mm > 0 and (self.at_mm is None or self.at_mm >= 0)):
            raise ValueError(
                f"a widened ligament on root {self.root} needs a width and a spread above 0 mm and a level of 0 or more"
            )


@dataclass(frozen=True)
class Support:
    """What holds the tooth.

    Attributes
    ----------
    ligament_mm, lamina_mm : float
        Thickness of the ligament space and of the lamina dura, above 0.
    crest : Crest
    defects : tuple of AngularDefect
    widened : tuple of WidenedLigament

    Raises
    ------
    ValueError
        If a thickness is not above 0 or not finite.
    """

    ligament_mm: float = 0.20
    lamina_mm: float = 0.23
    crest: Crest = field(default_factory=Crest)
    defects: tuple[AngularDefect, ...] = ()
    widened: tuple[WidenedLigament, ...] = ()

    def __post_init__(self) -> None:
        require_finite("a support", [("ligament_mm", self.ligament_mm), ("lamina_mm", self.lamina_mm)])
        if not min(self.ligament_mm, self.lamina_mm) > 0:
            raise ValueError("ligament space and lamina dura need a thickness above 0 mm")
