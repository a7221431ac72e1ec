"""How strongly a canal curves, by the constructions the literature uses.

A canal is a polyline from orifice to foramen, shape (n, 2) or (n, 3), in millimetres. A film shows its projection, so
the same functions serve the 3-D truth (n, 3) and a reading on a film (n, 2). One arc reads differently by method:
every caller names the method beside the value.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.finite import finite_array, require_finite

Polyline = NDArray[np.float64]
Vector = NDArray[np.float64]

STRAIGHT_DEG = 1e-5  # end tangents closer than this differ by rounding only


@dataclass(frozen=True)
class Curvature:
    """One canal's curvature by each construction.

    Attributes
    ----------
    secant_deg : float
        Coronal axis against the line from where the canal leaves it to the foramen.
    tangent_deg : float
        Coronal axis against the canal's direction at the foramen. Opposite bends cancel in it: an S-shaped canal needs
        `summed_turning_deg`.
    access_deg : float
        Coronal axis against the line from orifice to foramen.
    radius_mm : float
        Of the circle through both ends of the curved part that turns by the tangent angle; infinite if straight.
    """

    secant_deg: float
    tangent_deg: float
    access_deg: float
    radius_mm: float


def measure(canal: Polyline, *, coronal_mm: float = 2.0, departure_mm: float = 1e-5) -> Curvature:
    """Measure a canal by every construction.

    Parameters
    ----------
    canal : array, shape (n, 2) or (n, 3), mm
        Points from orifice to foramen, n >= 3.
    coronal_mm : float
        Length at the orifice that gives the coronal axis. Over two neighbouring points it would follow noise; a bend
        within it tilts the axis.
    departure_mm : float
        Distance from the coronal axis at which the canal counts as leaving it (a convention of ours). The default suits
        a computed centre line; points placed by hand need about 0.1.

    Raises
    ------
    ValueError
        If the polyline has fewer than three points, a non-finite value or a segment of no length, is no longer than the
        coronal part, or ends where it began; or if a length is out of range.

    Examples
    --------
    A straight leg of 8 mm and an arc of 30 degrees at radius 10 mm: the tangents differ by 30, the secant by half.

    >>> turn = np.radians(np.linspace(0, 30, 301))
    >>> arc = np.c_[10 * (1 - np.cos(turn)), 8 + 10 * np.sin(turn)]
    >>> reading = measure(np.vstack([[0, 0], [0, 4], arc]))
    >>> round(reading.secant_deg), round(reading.tangent_deg), round(reading.radius_mm)
    (15, 30, 10)

    References
    ----------
    secant: Schneider, Oral Surg 1971;32:271. tangent and radius: Pruett et al., J Endod 1997;23:77.
    access: Gunday et al., J Endod 2005;31:796.
    """
    canal = _checked(canal)
    require_finite("a measurement", [("coronal_mm", coronal_mm), ("departure_mm", departure_mm)])
    if not (coronal_mm > 0 and departure_mm >= 0):
        raise ValueError("a measurement needs a coronal length above 0 mm and a departure of 0 mm or more")
    axis = _coronal_axis(canal, coronal_mm)
    foramen, ending = canal[-1], canal[-1] - canal[-2]
    leaves_at = canal[_departure(canal, axis, departure_mm)]
    settles_at = canal[::-1][_departure(canal[::-1], ending / np.linalg.norm(ending), departure_mm)]
    tangent_deg = _angle_deg(axis, ending)
    return Curvature(
        secant_deg=_angle_deg(axis, foramen - leaves_at),
        tangent_deg=tangent_deg,
        access_deg=_angle_deg(axis, foramen - canal[0]),
        radius_mm=radius_from_chord_mm(float(np.linalg.norm(settles_at - leaves_at)), tangent_deg),
    )


def radius_from_chord_mm(chord_mm: float, turn_deg: float) -> float:
    """Radius of the circle on which a chord spans the angle between its end tangents; infinite if they do not differ.

    ValueError if the chord is below 0 mm, the angle outside 0 to 180 degrees, or one not finite.

    >>> round(radius_from_chord_mm(5.0, 60.0), 6)
    5.0
    """
    require_finite("a chord", [("chord_mm", chord_mm), ("turn_deg", turn_deg)])
    if not (chord_mm >= 0 and 0 <= turn_deg <= 180):
        raise ValueError(f"a chord of {chord_mm} mm that turns {turn_deg} degrees cannot be: 0 mm or more, 0 to 180")
    return float(chord_mm / (2 * np.sin(np.radians(turn_deg) / 2))) if turn_deg > STRAIGHT_DEG else float("inf")


def circumradius_mm(first: Vector, second: Vector, third: Vector) -> float:
    """Radius of the circle through three points, each shape (2,) or (3,), mm; infinite if they lie on a line.

    ValueError if two of the points coincide or a coordinate is not finite.

    >>> round(circumradius_mm(np.array([3.0, 0.0]), np.array([0.0, 3.0]), np.array([-3.0, 0.0])), 9)
    3.0

    References
    ----------
    Three points on a canal's axis define its circle: Estrela et al., Braz Dent J 2008;19:114.
    """
    a, b, c = _checked(np.array([first, second, third]))
    far, near, side = c - b, b - a, c - a
    if not side.any():
        raise ValueError("the first and third canal point coincide, give three different points")
    # twice the triangle's area, in two or three dimensions, from the base and the height over it
    height = near - (near @ side) / (side @ side) * side
    twice_area = float(np.linalg.norm(side) * np.linalg.norm(height))
    product = float(np.linalg.norm(far) * np.linalg.norm(near) * np.linalg.norm(side))
    return product / (2 * twice_area) if twice_area > 1e-12 * product ** (2 / 3) else float("inf")


def summed_turning_deg(canal: Polyline) -> float:
    """Sum of the angles between neighbouring segments, degrees, whichever way each turns.

    It sees both bends of an S-shape, where the tangent angle shows their difference. An arc drawn as n equal chords
    sums to (n - 1)/n of its turn; a leg along the tangent at one end adds half a chord's share, at both ends the sum is
    the arc's turn. Hand-placed points add their own unsteadiness. Raises what `measure` raises about its points.

    >>> summed_turning_deg(np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 2.0]]))
    180.0
    """
    steps = np.diff(_checked(canal), axis=0)
    return sum(_angle_deg(before, after) for before, after in pairwise(steps))


def true_secant_deg(first_deg: float, second_deg: float) -> float:
    """Secant angle in space from the readings of two views at right angles, each along the coronal axis's side.

    The foramen's offset is the root of the sum of its two seen offsets squared, its depth the same in both views.

    Parameters
    ----------
    first_deg, second_deg : float
        Secant angle as each view shows it, 0 to below 90.

    Raises
    ------
    ValueError
        If a reading is out of range or not finite.

    Examples
    --------
    >>> round(true_secant_deg(15.0, 20.0), 2)
    24.32
    """
    require_finite("a secant angle", [("first_deg", first_deg), ("second_deg", second_deg)])
    if not (0 <= first_deg < 90 and 0 <= second_deg < 90):
        raise ValueError(f"secant angles of {first_deg} and {second_deg} degrees cannot be joined: give 0 to below 90")
    return float(np.degrees(np.arctan(np.hypot(np.tan(np.radians(first_deg)), np.tan(np.radians(second_deg))))))


def _checked(canal: Polyline) -> Polyline:
    canal = np.asarray(canal, dtype=np.float64)
    if canal.ndim != 2 or canal.shape[0] < 3 or canal.shape[1] not in (2, 3):
        raise ValueError(f"a canal needs at least three points in 2-D or 3-D, got shape {canal.shape}")
    canal = finite_array("a canal point", canal)
    if (np.linalg.norm(np.diff(canal, axis=0), axis=1) == 0).any():
        raise ValueError("two neighbouring canal points coincide, leave one out")
    return canal


def _coronal_axis(canal: Polyline, coronal_mm: float) -> Vector:
    """Direction, apically, of the canal's first millimetres, as a unit vector."""
    depth = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(canal, axis=0), axis=1))]
    if depth[-1] <= coronal_mm:
        raise ValueError(
            f"a canal of {depth[-1]:.2f} mm has nothing below the {coronal_mm:g} mm that give its coronal axis: "
            "draw it down to the foramen, or take a shorter coronal part"
        )
    end = np.array([np.interp(coronal_mm, depth, canal[:, k]) for k in range(canal.shape[1])])
    return _unit(end - canal[0])


def _departure(canal: Polyline, axis: Vector, departure_mm: float) -> int:
    """Index of the last point still on the axis through the first one."""
    offset = canal - canal[0]
    aside = np.linalg.norm(offset - np.outer(offset @ axis, axis), axis=1)
    beyond = np.nonzero(aside > departure_mm)[0]
    return int(beyond[0]) - 1 if beyond.size else len(canal) - 2


def _angle_deg(a: Vector, b: Vector) -> float:
    """Angle between two directions, 0 to 180; by half-angles, because an arc cosine loses small angles."""
    a, b = _unit(a), _unit(b)
    return float(np.degrees(2 * np.arctan2(np.linalg.norm(a - b), np.linalg.norm(a + b))))


def _unit(vector: Vector) -> Vector:
    size = float(np.linalg.norm(vector))
    if size == 0:
        raise ValueError("a canal that comes back to the same point has no direction there: place its points in order")
    return np.asarray(vector / size)
