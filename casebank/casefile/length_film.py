"""The film of a working length: an instrument in its canal, and what can be read of its tip.

A film shows what lies in its picture and nothing along the beam. How far a foramen lies towards the receptor or the
tube, and how steeply the canal leaves in that direction, decides whether a length can be read on it at all.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, Root
from casebank.casefile.in_canal import instrument_rod
from casebank.instruments import Instrument
from casebank.radiograph import Film, Projection, Receptor, View, aim, take
from casebank.radiograph.rod import along_canal

Array = NDArray[np.float64]
Way = Literal["receptor", "tube"]

OUT_OF_PICTURE_MM = (
    0.5  # along the beam, foramen from the root's tip: the half millimetre a length is read to, our choice
)
OUT_OF_PICTURE_DEG = 30.0  # canal's end out of the picture's plane: a millimetre of it shows as 0.87 mm, our choice
END_OF_ROOT_MM = 4.0  # of the root, searched for the point that shows furthest


@dataclass(frozen=True)
class LengthReading:
    """What a film shows of a tip in a canal. Distances are straight, as a ruler laid on the film reads them.

    Attributes
    ----------
    canal : str
    short_mm : float
        The truth along the canal, from the foramen; below 0 the tip is beyond it.
    to_apex_mm, to_foramen_mm : float
        From the tip to the root's end and to the foramen's centre on the film, divided by the magnification at the tip.
    past_apex : bool
        Whether the tip shows further on than the root's end.
    out_of_picture_mm : float
        How far the foramen lies along the beam from the root's tip; + = nearer the receptor.
    out_of_picture_deg : float
        How far the canal's end points out of the picture; + = towards the receptor.
    """

    canal: str
    short_mm: float
    to_apex_mm: float
    to_foramen_mm: float
    past_apex: bool
    out_of_picture_mm: float
    out_of_picture_deg: float

    @property
    def past_foramen(self) -> bool:
        """Whether the tip truly lies beyond the foramen, whatever the film shows."""
        return self.short_mm < 0

    @property
    def leaves_towards(self) -> Way | None:
        """Where the foramen faces if this film cannot show it: half a millimetre or more out of the picture, or 30°."""
        if abs(self.out_of_picture_mm) >= OUT_OF_PICTURE_MM:
            return "receptor" if self.out_of_picture_mm > 0 else "tube"
        if abs(self.out_of_picture_deg) >= OUT_OF_PICTURE_DEG:
            return "receptor" if self.out_of_picture_deg > 0 else "tube"
        return None


@dataclass(frozen=True)
class LengthFilm:
    """A film with an instrument in a canal, and its reading."""

    film: Film
    reading: LengthReading


def working_length_film(
    anatomy: Anatomy,
    view: View,
    canal: str,
    instrument: Instrument,
    short_mm: float,
    receptor: Receptor | None = None,
) -> LengthFilm:
    """A film with an instrument standing so far short of a canal's foramen, and what it shows of its tip.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If the tip would not lie in the canal or within 5 mm of its end.
    """
    rod = instrument_rod(anatomy, canal, instrument, short_mm)
    return LengthFilm(take(anatomy, view, receptor, (rod,)), read_length(anatomy, view, canal, short_mm))


def read_length(anatomy: Anatomy, view: View, canal: str, short_mm: float) -> LengthReading:
    """What a film in a view shows of a tip so far short of a canal's foramen, without taking it.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If a number is not finite.
    """
    tooth, projection = anatomy.tooth, aim(view, Receptor(), anatomy)
    one = tooth.canal(canal)
    root = tooth.root(one.root)
    depths = np.array([one.length_mm - short_mm, one.length_mm])
    tip, foramen = anatomy.placement.to_jaw(along_canal(tooth, one, depths))
    apex = anatomy.placement.to_jaw(root.apex_mm[None])[0]
    leaving = anatomy.placement.to_jaw(one.course.directions(depths[1:]))[0]
    shown_end, onward = root_end_on_film(anatomy, root, projection)
    shown_tip, shown_foramen = projection.to_film_mm(np.array([tip, foramen]))
    beam = (foramen - projection.source_mm) / np.linalg.norm(foramen - projection.source_mm)
    magnified = _magnification(projection, tip)
    return LengthReading(
        canal=canal,
        short_mm=short_mm,
        to_apex_mm=float(np.linalg.norm(shown_end - shown_tip)) / magnified,
        to_foramen_mm=float(np.linalg.norm(shown_foramen - shown_tip)) / magnified,
        past_apex=bool((shown_tip - shown_end) @ onward > 0),
        out_of_picture_mm=float((foramen - apex) @ beam),
        out_of_picture_deg=float(np.degrees(np.arcsin(np.clip(leaving @ beam, -1, 1)))),
    )


def root_end_on_film(anatomy: Anatomy, root: Root, projection: Projection) -> tuple[Array, Array]:
    """The point of a root's outline that shows furthest on, and the direction in which it does, both shape (2,), mm.

    Onward is where the root's end points in the picture; for a root seen end on, the way from its middle to its end.
    """
    line = root.centre_line(step_mm=0.25)
    radii = root.radii_mm(len(line))
    centres = projection.to_film_mm(anatomy.placement.to_jaw(line))
    onward = centres[-1] - centres[-3]
    if np.linalg.norm(onward) < 0.1:
        onward = centres[-1] - centres[len(centres) // 2]
    onward /= np.linalg.norm(onward)
    last = max(2, int(np.ceil(END_OF_ROOT_MM / 0.25)))
    stretch = np.array([1.0, root.flattening, 1.0])
    points = [
        _furthest(anatomy, projection, centre, radius * stretch, onward)
        for centre, radius in zip(line[-last:], radii[-last:], strict=True)
    ]
    return max(points, key=lambda point: float(point @ onward)), onward


def _furthest(anatomy: Anatomy, projection: Projection, centre: Array, half_axes: Array, onward: Array) -> Array:
    """The point of an ellipsoid's outline that shows furthest in a direction, shape (2,), mm on the film."""

    def shown(points: Array) -> Array:
        return projection.to_film_mm(anatomy.placement.to_jaw(points))

    point = centre
    for _ in range(3):  # the beam's spread changes the direction that counts a little from place to place
        along = (shown(point + 0.01 * np.eye(3)) - shown(point - 0.01 * np.eye(3))) @ onward
        point = centre + half_axes**2 * along / np.linalg.norm(half_axes * along)
    return np.asarray(shown(point[None])[0])


def _magnification(projection: Projection, point_jaw_mm: Array) -> float:
    """How much larger than life the film shows a length at a point, lying as the receptor does (similar triangles)."""
    to_film = (projection.source_mm - projection.centre_mm) @ projection.normal
    return float(to_film / ((projection.source_mm - point_jaw_mm) @ projection.normal))
