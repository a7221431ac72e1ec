"""What dentists have put into a tooth: fillings, root fillings, posts and what broke off in a canal.

Films show all of it. Files and lengths know nothing of it: the bench takes every canal as open, so a case with an
earlier root filling is one in which the canal has been emptied first.
"""

from dataclasses import dataclass, fields
from typing import Literal

from casebank.anatomy.finite import require_finite

Surface = Literal["mesial", "occlusal", "distal", "buccal", "lingual"]
CrownMaterial = Literal["amalgam", "metal", "ceramic", "composite", "glass-ionomer"]


@dataclass(frozen=True)
class Filling:
    """A filling in the crown.

    Attributes
    ----------
    surfaces : tuple of str
        The crown's surfaces it opens on; "occlusal" also means the edge of a front tooth. A mesial or distal part of a
        back tooth is a box that reaches the contact; of a front tooth with its edge, the corner.
    material : str
    depth_mm : float
        Of its middle below the groove or the edge; of a part that opens on one side alone, into the tooth. 0.3 to 8.
    width_mm : float
        Across, where it opens on top: bucco-lingually in a back tooth. 0.5 to 12.
    box_floor_mm, box_depth_mm : float
        Of its mesial or distal parts: height of their floor above the neck, below 0 on the root, and how far they reach
        in from the surface.
    base_mm : float
        Thickness of a glass-ionomer base on its floor; 0 for none.
    gap_mm : float
        Height of an open gap under the floors of its boxes; 0 where they are tight.

    Raises
    ------
    ValueError
        If it opens nowhere, a surface repeats, or a number is out of range or not finite.
    """

    surfaces: tuple[Surface, ...]
    material: CrownMaterial
    depth_mm: float = 2.0
    width_mm: float = 3.0
    box_floor_mm: float = 1.0
    box_depth_mm: float = 1.5
    base_mm: float = 0.0
    gap_mm: float = 0.0

    def __post_init__(self) -> None:
        what = f"a filling ({', '.join(self.surfaces) or 'no surface'})"
        numbers = ("depth_mm", "width_mm", "box_floor_mm", "box_depth_mm", "base_mm", "gap_mm")
        require_finite(what, [(name, getattr(self, name)) for name in numbers])
        if not self.surfaces or len(set(self.surfaces)) != len(self.surfaces):
            raise ValueError(f"{what} must open on one surface or more, each named once")
        if not (0.3 <= self.depth_mm <= 8 and 0.5 <= self.width_mm <= 12 and 0.3 <= self.box_depth_mm <= 5):
            raise ValueError(f"{what} needs a depth of 0.3 to 8, a width of 0.5 to 12 and a box depth of 0.3 to 5 mm")
        if not (-4 <= self.box_floor_mm <= 8 and 0 <= self.base_mm < self.depth_mm and 0 <= self.gap_mm <= 1):
            raise ValueError(
                f"{what} needs a box floor within -4 to 8 mm of the neck, a base thinner than its depth and a gap of "
                "0 to 1 mm"
            )


@dataclass(frozen=True)
class Void:
    """A hole in a root filling.

    Attributes
    ----------
    short_mm : float
        Of its middle from the foramen, along the canal.
    length_mm : float
        Along the canal, above 0.
    share : float
        Of the filling's width, above 0 to 1; 1 is a gap between two pieces of filling.

    Raises
    ------
    ValueError
        If a number is out of range or not finite.
    """

    short_mm: float
    length_mm: float
    share: float = 0.5

    def __post_init__(self) -> None:
        require_finite("a void", [(each.name, getattr(self, each.name)) for each in fields(self)])
        if not (self.length_mm > 0 and 0 < self.share <= 1):
            raise ValueError("a void needs a length above 0 mm and a share of the width above 0 and up to 1")


@dataclass(frozen=True)
class RootFilling:
    """An earlier root filling in one canal.

    Attributes
    ----------
    canal : str
        Name of the canal.
    short_mm : float
        Of its tip from the foramen, along the canal; below 0 it goes beyond, by 4 mm at most.
    apical_mm, taper : float
        Diameter at its tip and how it grows, mm per mm; where the canal is wider, see `spread`.
    top_mm : float
        Of its upper end below the orifice.
    spread : bool
        Whether it fills a canal wider than itself from wall to wall; else it stands in it like a rod.
    voids : tuple of Void

    Raises
    ------
    ValueError
        If a number is out of range or not finite, or a void lies beyond the tip.
    """

    canal: str
    short_mm: float
    apical_mm: float = 0.30
    taper: float = 0.04
    top_mm: float = 0.0
    spread: bool = True
    voids: tuple[Void, ...] = ()

    def __post_init__(self) -> None:
        numbers = ("short_mm", "apical_mm", "taper", "top_mm")
        require_finite(f"a root filling in {self.canal}", [(name, getattr(self, name)) for name in numbers])
        if not (self.short_mm >= -4 and 0.1 <= self.apical_mm <= 3 and 0 <= self.taper <= 0.12 and self.top_mm >= 0):
            raise ValueError(
                f"a root filling in {self.canal} goes at most 4 mm beyond the foramen, is 0.1 to 3 mm wide at its tip, "
                "tapers by 0 to 0.12 and begins at the orifice or below"
            )
        for void in self.voids:
            if void.short_mm < self.short_mm:
                raise ValueError(
                    f"a root filling in {self.canal}: a void {void.short_mm} mm short lies beyond its tip, move it up"
                )


@dataclass(frozen=True)
class Post:
    """A post in one canal.

    Attributes
    ----------
    canal : str
        Name of the canal.
    length_mm : float
        Below the orifice, along the canal.
    diameter_mm : float
        0.5 to 3.
    material : str
    above_mm : float
        How far it stands above the orifice, 0 to 8.

    Raises
    ------
    ValueError
        If a number is out of range or not finite.
    """

    canal: str
    length_mm: float
    diameter_mm: float
    material: Literal["metal", "fibre"]
    above_mm: float = 3.0

    def __post_init__(self) -> None:
        numbers = ("length_mm", "diameter_mm", "above_mm")
        require_finite(f"a post in {self.canal}", [(name, getattr(self, name)) for name in numbers])
        if not (self.length_mm > 0 and 0.5 <= self.diameter_mm <= 3 and 0 <= self.above_mm <= 8):
            raise ValueError(
                f"a post in {self.canal} needs a length above 0, a diameter of 0.5 to 3 and 0 to 8 mm above the orifice"
            )


@dataclass(frozen=True)
class Fragment:
    """The end of an instrument left in a canal.

    Attributes
    ----------
    canal : str
        Name of the canal.
    short_mm : float
        Of its tip from the foramen, along the canal; below 0 it stands out, by 3 mm at most.
    length_mm : float
        Above 0.
    tip_mm, taper : float
        Diameter at its tip, 0.06 to 1.4, and how it grows, mm per mm, up to 0.12.
    material : str

    Raises
    ------
    ValueError
        If a number is out of range or not finite.
    """

    canal: str
    short_mm: float
    length_mm: float
    tip_mm: float = 0.25
    taper: float = 0.02
    material: Literal["steel", "nickel-titanium"] = "nickel-titanium"

    def __post_init__(self) -> None:
        numbers = ("short_mm", "length_mm", "tip_mm", "taper")
        require_finite(f"a fragment in {self.canal}", [(name, getattr(self, name)) for name in numbers])
        if not (self.short_mm >= -3 and self.length_mm > 0 and 0.06 <= self.tip_mm <= 1.4 and 0 <= self.taper <= 0.12):
            raise ValueError(
                f"a fragment in {self.canal} stands out at most 3 mm, has a length above 0, a tip of 0.06 to 1.4 mm "
                "and a taper of 0 to 0.12"
            )


@dataclass(frozen=True)
class Restorations:
    """All that has been put into one tooth; what covers it is its `Prosthesis`.

    Attributes
    ----------
    fillings, root_fillings, posts, fragments : tuples
    chamber : str or None
        What the chamber is filled with; none leaves it open.
    """

    fillings: tuple[Filling, ...] = ()
    root_fillings: tuple[RootFilling, ...] = ()
    posts: tuple[Post, ...] = ()
    fragments: tuple[Fragment, ...] = ()
    chamber: CrownMaterial | None = None
