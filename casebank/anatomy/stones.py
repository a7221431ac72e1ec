"""Pulp stones: lumps of hard tissue in the chamber or in a canal.

A stone is drawn as it lies. A canal stone also takes room: a file has only what is left beside it.
"""

from dataclasses import dataclass, fields

from casebank.anatomy.finite import require_finite

LEAST_PASSAGE_MM = 0.06  # what a canal stone must leave: the thinnest file's tip (ISO 3630-1, size 06; from memory)


@dataclass(frozen=True)
class ChamberStone:
    """A stone in the pulp chamber, an ellipsoid.

    Attributes
    ----------
    depth_mm : float
        Of its middle, below the reference cusp.
    mesiodistal_mm, buccolingual_mm, height_mm : float
        Sizes, above 0.
    distal_mm, lingual_mm : float
        Of its middle from the middle of the chamber; below 0 mesially or buccally.

    Raises
    ------
    ValueError
        If a size is not above 0 or a number is not finite.
    """

    depth_mm: float
    mesiodistal_mm: float
    buccolingual_mm: float
    height_mm: float
    distal_mm: float = 0.0
    lingual_mm: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a chamber stone", [(field.name, getattr(self, field.name)) for field in fields(self)])
        if not min(self.mesiodistal_mm, self.buccolingual_mm, self.height_mm) > 0:
            raise ValueError("a chamber stone needs three sizes above 0 mm")


@dataclass(frozen=True)
class CanalStone:
    """A stone on the wall of a canal, an ellipsoid drawn out along it.

    Attributes
    ----------
    at_mm : float
        Level of its middle below the orifice, along the canal.
    diameter_mm : float
        Across the canal. Wherever it lies, the canal's narrow diameter counts as so much less.
    length_mm : float
        Along the canal.
    toward_deg : float
        Bearing of the wall it lies on.

    Raises
    ------
    ValueError
        If the level is below 0, a size not above 0, or a number not finite.
    """

    at_mm: float
    diameter_mm: float
    length_mm: float
    toward_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite("a canal stone", [(field.name, getattr(self, field.name)) for field in fields(self)])
        if not (self.at_mm >= 0 and self.diameter_mm > 0 and self.length_mm > 0):
            raise ValueError("a canal stone needs a level of 0 mm or more, and a diameter and a length above 0 mm")
