"""Foreign shapes on a film: a file, a cone or a fill, known only as a line with a thickness."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casebank.anatomy import Anatomy, Canal, Tooth
from casebank.radiograph.materials import Material

Array = NDArray[np.float64]
Diameter = Callable[[Array], Array] | Sequence[float] | Array

STEP_MM = 0.35
FINE_STEP_MM = 0.08  # along a pointed tip
MOST_BEYOND_MM = 5.0  # past the foramen: a limit of ours


@dataclass(frozen=True, eq=False)
class Rod:
    """A line with a thickness, handed in by whoever knows what it is.

    Attributes
    ----------
    centre_line : array, shape (n, 3)
        Jaw frame, mm.
    radius_mm : array, shape (n,)
    material : Material
    flattening : array, shape (n,), or float
        How many times as wide along the second of the `axes` as `radius_mm` says; 1 is round.
    axes : array, shape (3, 3)
        Directions of the tooth's x, y and z in the jaw, as columns; they matter to what is not round.

    Raises
    ------
    ValueError
        If the shapes do not match, a value is not finite, or a radius or flattening is not above 0.
    """

    centre_line: Array
    radius_mm: Array
    material: Material
    flattening: ArrayLike = 1.0
    axes: Array = field(default_factory=lambda: np.eye(3))

    def __post_init__(self) -> None:
        line, radius = np.asarray(self.centre_line, np.float64), np.asarray(self.radius_mm, np.float64)
        if line.ndim != 2 or line.shape[1] != 3 or len(line) < 2 or radius.shape != (len(line),):
            raise ValueError(
                f"a rod needs points in 3-D, two or more, each with a radius: got {line.shape} and {radius.shape}"
            )
        if not (np.isfinite(line).all() and np.isfinite(radius).all() and (radius > 0).all()):
            raise ValueError("a rod needs finite points and radii above 0 mm")
        object.__setattr__(self, "centre_line", line)
        object.__setattr__(self, "radius_mm", radius)
        flattening, axes = np.asarray(self.flattening, np.float64), np.asarray(self.axes, np.float64)
        if flattening.shape not in ((), radius.shape) or not (np.isfinite(flattening).all() and (flattening > 0).all()):
            raise ValueError("a rod's flattening is one number above 0, or one for each of its points")
        if axes.shape != (3, 3) or not np.allclose(axes.T @ axes, np.eye(3), atol=1e-6):
            raise ValueError("a rod's axes are three unit vectors square to each other, as columns")
        object.__setattr__(self, "flattening", np.broadcast_to(flattening, radius.shape).copy())
        object.__setattr__(self, "axes", axes)


def rod_in_canal(
    anatomy: Anatomy,
    canal_name: str,
    diameter_mm: Diameter,
    short_mm: float,
    *,
    shaft_mm: float = 16.0,
    point_mm: float = 0.0,
    material: Material = Material.STEEL,
) -> Rod:
    """A rod laid along a canal from short of its foramen up through the crown, without a kink at the orifice.

    Beyond the foramen nothing holds it, so it goes straight on in the direction in which the canal ends.

    Parameters
    ----------
    diameter_mm : callable or array
        A function of the distance from the tip, mm, shape (n,) -> (n,); or diameters at even distances from the tip to
        the rod's other end.
    short_mm : float
        From the foramen, along the canal; below 0 the rod goes beyond it.
    shaft_mm : float
        How far it goes on above the orifice; 0 ends it there.
    point_mm : float
        Length of a pointed tip, 0 to 3 mm: there the line has points close enough to show its shape.

    Raises
    ------
    KeyError
        If the tooth has no canal of that name.
    ValueError
        If the tip would lie above the orifice or more than 5 mm beyond the foramen, or the rod has no length.
    """
    tooth = anatomy.tooth
    canal = tooth.canal(canal_name)
    if not -MOST_BEYOND_MM <= short_mm < canal.length_mm:
        raise ValueError(
            f"a rod {short_mm} mm short does not lie in canal {canal_name}: give -5 to under {canal.length_mm:.1f} mm"
        )
    if not 0 <= shaft_mm <= 40:
        raise ValueError(f"a shaft of {shaft_mm} mm cannot be: give 0 to 40 mm above the orifice")
    if not 0 <= point_mm <= 3:
        raise ValueError(f"a tip {point_mm} mm long is no tip: give 0 to 3 mm")
    depth_mm = canal.length_mm - short_mm
    depths = np.linspace(depth_mm, 0.0, max(3, int(np.ceil(depth_mm / STEP_MM)) + 1))
    if 0 < point_mm < depth_mm:
        fine = depth_mm - np.linspace(0.0, point_mm, int(np.ceil(point_mm / FINE_STEP_MM)) + 1)
        depths = np.r_[fine, depths[depths < fine[-1] - FINE_STEP_MM]]
    line = along_canal(tooth, canal, depths)
    if shaft_mm > 0:
        outward = -canal.course.directions(np.array([0.0]))[0]
        line = np.vstack([line, _way_out(line[-1], outward, shaft_mm)[1:]])
    from_tip = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    return Rod(anatomy.placement.to_jaw(line), _diameters(diameter_mm, from_tip) / 2, material)


def along_canal(tooth: Tooth, canal: Canal, depths_mm: Array) -> Array:
    """Places on a canal's line at depths below its orifice, shape (n,) -> (n, 3), tooth frame, mm.

    Depths beyond the foramen go straight on in the direction in which the canal ends.
    """
    inside = np.minimum(depths_mm, canal.length_mm)
    end = canal.course.directions(np.array([canal.length_mm]))[0]
    return np.asarray(canal.course.at(tooth.orifice_of(canal), inside) + (depths_mm - inside)[:, None] * end)


def _way_out(orifice: Array, outward: Array, length_mm: float) -> Array:
    """From the orifice on along the canal's own direction, turning gently towards the tooth's axis, shape (n, 3)."""
    later = outward + np.array([0.0, 0.0, 1.0])
    later /= np.linalg.norm(later)
    between = outward + later
    end = orifice + length_mm * between / np.linalg.norm(between)
    first, second = orifice + length_mm / 3 * outward, end - length_mm / 3 * later
    t = np.linspace(0, 1, max(3, int(np.ceil(length_mm / 0.8)) + 1))[:, None]
    curve = (1 - t) ** 3 * orifice + 3 * t * (1 - t) ** 2 * first + 3 * t**2 * (1 - t) * second + t**3 * end
    return np.asarray(curve)


def _diameters(diameter_mm: Diameter, from_tip: Array) -> Array:
    if callable(diameter_mm):
        return np.asarray(diameter_mm(from_tip), dtype=np.float64)
    given = np.asarray(diameter_mm, dtype=np.float64)
    return np.interp(from_tip, np.linspace(0.0, from_tip[-1], len(given)), given)
