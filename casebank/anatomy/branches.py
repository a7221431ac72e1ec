"""What leaves a canal sideways: lateral canals to the root's surface, and slits from one canal to the next.

A C-shaped canal is a row of canals joined by slits: each slit is a sheet of even thickness whose section follows an arc
between the two canals. Files, lengths and walls know the canals only; the sheet is what films show and fills may enter.
"""

from dataclasses import dataclass, fields

from casebank.anatomy.finite import require_finite


@dataclass(frozen=True)
class LateralCanal:
    """A straight side branch from a canal to the root's surface, where it ends.

    Attributes
    ----------
    at_mm : float
        Level at which it leaves, below the orifice along the canal.
    toward_deg : float
        Bearing it runs to.
    diameter_mm : float
        0.02 to 0.5; most are below 0.1 (from memory).
    falls_deg : float
        How far it dips apically from a square to the tooth's axis, -60 to 60.

    Raises
    ------
    ValueError
        If a number is out of range or not finite.
    """

    at_mm: float
    toward_deg: float
    diameter_mm: float = 0.1
    falls_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a lateral canal", [(field.name, getattr(self, field.name)) for field in fields(self)])
        if not (self.at_mm >= 0 and 0.02 <= self.diameter_mm <= 0.5 and abs(self.falls_deg) <= 60):
            raise ValueError(
                "a lateral canal needs a level of 0 mm or more, a diameter of 0.02 to 0.5 mm and a fall within "
                "60 degrees"
            )


@dataclass(frozen=True)
class Slit:
    """A sheet of pulp that joins two canals of a tooth.

    Attributes
    ----------
    canals : tuple of two str
        Their names.
    from_mm, to_mm : float
        Depths below the reference cusp between which it runs, the upper one first.
    thickness_mm : float
        0.05 to 1.
    bow_mm : float
        How far the middle of its section lies off the straight line between the canals, 0 or more.
    bow_toward_deg : float
        Bearing of the bow: lingually in most C-shaped lower second molars the groove lies there (from memory), and
        the arc bows buccally.

    Raises
    ------
    ValueError
        If it does not name two canals, runs upwards, or a number is out of range or not finite.
    """

    canals: tuple[str, str]
    from_mm: float
    to_mm: float
    thickness_mm: float = 0.2
    bow_mm: float = 0.0
    bow_toward_deg: float = 90.0

    def __post_init__(self) -> None:
        numbers = ("from_mm", "to_mm", "thickness_mm", "bow_mm", "bow_toward_deg")
        require_finite("a slit", [(name, getattr(self, name)) for name in numbers])
        if self.canals[0] == self.canals[1]:
            raise ValueError(f"a slit joins two different canals, not {self.canals[0]} with itself")
        if not 0 < self.from_mm < self.to_mm:
            raise ValueError(f"a slit from {self.from_mm} to {self.to_mm} mm below the cusp: give the upper one first")
        if not (0.05 <= self.thickness_mm <= 1 and 0 <= self.bow_mm <= 4):
            raise ValueError("a slit needs a thickness of 0.05 to 1 mm and a bow of 0 to 4 mm")
