"""Foreign shapes on a film: a file, a cone or a fill, known only as a line with a thickness."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy
from casebank.radiograph.materials import Material

Array = NDArray[np.float64]
Diameter = Callable[[Array], Array] | Sequence[float] | Array

STEP_MM = 0.35


@dataclass(frozen=True, eq=False)
class Rod:
    """A line with a thickness, handed in by whoever knows what it is.

    Attributes
    ----------
    centre_line : array, shape (n, 3)
        Jaw frame, mm.
    radius_mm : array, shape (n,)
    material : Material

    Raises
    ------
    ValueError
        If the shapes do not match, a value is not finite or a radius is not above 0 mm.
    """

    centre_line: Array
    radius_mm: Array
    material: Material

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


def rod_in_canal(
    anatomy: Anatomy,
    canal_name: str,
    diameter_mm: Diameter,
    short_mm: float,
    *,
    shaft_mm: float = 16.0,
    material: Material = Material.STEEL,
) -> Rod:
    """A rod laid along a canal from short of its foramen up through the crown, without a kink at the orifice.

    Parameters
    ----------
    diameter_mm : callable or array
        A function of the distance from the tip, mm, shape (n,) -> (n,); or diameters at even distances from the tip to
        the rod's other end.
    short_mm : float
        From the foramen, along the canal; below 0 the rod goes beyond it.
    shaft_mm : float
        How far it goes on above the orifice; 0 ends it there.

    Raises
    ------
    KeyError
        If the tooth has no canal of that name.
    ValueError
        If the tip would lie above the orifice or more than 5 mm beyond the foramen, or the rod has no length.
    """
    tooth = anatomy.tooth
    canal = tooth.canal(canal_name)
    if not -5 <= short_mm < canal.length_mm:
        raise ValueError(
            f"a rod {short_mm} mm short does not lie in canal {canal_name}: give -5 to under {canal.length_mm:.1f} mm"
        )
    if not 0 <= shaft_mm <= 40:
        raise ValueError(f"a shaft of {shaft_mm} mm cannot be: give 0 to 40 mm above the orifice")
    depth_mm = canal.length_mm - short_mm
    depths = np.linspace(depth_mm, 0.0, max(3, int(np.ceil(depth_mm / STEP_MM)) + 1))
    line = canal.course.at(tooth.orifice_of(canal), depths)
    if shaft_mm > 0:
        outward = -canal.course.directions(np.array([0.0]))[0]
        line = np.vstack([line, _way_out(line[-1], outward, shaft_mm)[1:]])
    from_tip = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    return Rod(anatomy.placement.to_jaw(line), _diameters(diameter_mm, from_tip) / 2, material)


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
