"""Numbers that can be worked with: finite ones, and evenly spaced depths.

Not-a-number makes every comparison false, so a check such as `size <= 0` lets it through; each value therefore asks
here first, and says which of its numbers is at fault.
"""

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray


def require_finite(subject: str, numbers: Iterable[tuple[str, float | None]]) -> None:
    """Check the named numbers of a value; one that is left out (None) passes.

    Raises
    ------
    ValueError
        Naming the subject and the number that is infinite or not a number.

    Examples
    --------
    >>> require_finite("a crown", [("height_mm", 7.0), ("mesiodistal_mm", float("nan"))])
    Traceback (most recent call last):
    ...
    ValueError: a crown: mesiodistal_mm is nan, give a finite number
    """
    for name, number in numbers:
        if number is not None and not math.isfinite(number):
            raise ValueError(f"{subject}: {name} is {number}, give a finite number")


def finite_array(subject: str, numbers: ArrayLike) -> NDArray[np.float64]:
    """The numbers as a float array of their own shape. ValueError, naming the subject, if one is not finite."""
    array = np.asarray(numbers, dtype=np.float64)
    if not np.isfinite(array).all():
        raise ValueError(f"{subject}: a value is not finite, give finite numbers")
    return array


def evenly_spaced(length_mm: float, step_mm: float) -> NDArray[np.float64]:
    """Depths from 0 to `length_mm`, shape (n,), evenly spaced, at most `step_mm` apart; at least the two ends.

    Raises
    ------
    ValueError
        If the step is not a finite number above 0 mm.

    Examples
    --------
    >>> evenly_spaced(1.0, 0.4).round(3).tolist()
    [0.0, 0.333, 0.667, 1.0]
    """
    if not (math.isfinite(step_mm) and step_mm > 0):
        raise ValueError(f"levels {step_mm} mm apart cannot be drawn: give a step above 0 mm")
    return np.linspace(0.0, length_mm, max(2, int(np.ceil(length_mm / step_mm - 1e-9)) + 1))
