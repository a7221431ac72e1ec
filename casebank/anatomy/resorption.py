"""Hard tissue eaten away, from inside a canal or from outside a root.

What is lost at a root's end is told by the root itself (`Root.end`, `Root.lost_mm`).
"""

from dataclasses import dataclass, fields

from casebank.anatomy.finite import require_finite


@dataclass(frozen=True)
class InternalResorption:
    """A bulge of a canal, round and smooth. It widens the canal for films, walls and files alike.

    Attributes
    ----------
    at_mm : float
        Level of its middle below the orifice, along the canal.
    diameter_mm : float
        There, across the canal. Where the canal is wider by itself, the bulge changes nothing.
    length_mm : float
        Along the canal, at least 0.5.

    Raises
    ------
    ValueError
        If the level is below 0, a size out of range, or a number not finite.
    """

    at_mm: float
    diameter_mm: float
    length_mm: float

    def __post_init__(self) -> None:
        require_finite("an internal resorption", [(field.name, getattr(self, field.name)) for field in fields(self)])
        if not (self.at_mm >= 0 and self.diameter_mm > 0 and self.length_mm >= 0.5):
            raise ValueError(
                "an internal resorption needs a level of 0 mm or more, a diameter above 0 mm and a length of 0.5 mm or "
                "more"
            )


@dataclass(frozen=True)
class ExternalResorption:
    """A bite out of a root's side: half an ellipsoid, its middle on the root's surface.

    It thins the wall beside a canal wherever it lies on the line along which walls are measured.

    Attributes
    ----------
    at_mm : float
        Level of its middle below the root's coronal end, along the root.
    toward_deg : float
        Bearing of the side it lies on.
    depth_mm : float
        Into the root, square to its surface.
    width_mm, height_mm : float
        Of its mouth, round and along the root.

    Raises
    ------
    ValueError
        If the level is below 0, a size not above 0, or a number not finite.
    """

    at_mm: float
    toward_deg: float
    depth_mm: float
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        require_finite("an external resorption", [(field.name, getattr(self, field.name)) for field in fields(self)])
        if not (self.at_mm >= 0 and min(self.depth_mm, self.width_mm, self.height_mm) > 0):
            raise ValueError("an external resorption needs a level of 0 mm or more and three sizes above 0 mm")
