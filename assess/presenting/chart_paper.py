"""What the drawings of a canal share: the paper, its upright scale in millimetres, lines and words in classes of ink.

Nothing here has a colour: the style sheet inks the classes for light, dark, print and forced colours.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

Line = NDArray[np.float64]

WIDTH, TOP, TALL = 420.0, 48.0, 470.0  # of a drawing, and from the orifice to the end of the scale
BEYOND_MM = 0.8  # paper beyond the foramen


@dataclass(frozen=True)
class Paper:
    """The upright scale: depths count from the orifice, its figures from the reference cusp."""

    length_mm: float
    cusp_to_orifice_mm: float
    deepest_mm: float

    @property
    def px_per_mm(self) -> float:
        return TALL / (max(self.length_mm, self.deepest_mm) + BEYOND_MM)

    def y(self, depth_mm: float) -> float:
        return TOP + depth_mm * self.px_per_mm

    def at(self, depth_mm: float) -> float:
        """A depth below the orifice as a length from the reference cusp."""
        return depth_mm + self.cusp_to_orifice_mm

    def marks(self) -> list[tuple[int, float]]:
        """Whole millimetres from the cusp, each with its height on the paper."""
        first = int(np.ceil(self.cusp_to_orifice_mm - 1e-6))
        last = int(self.at(max(self.length_mm, self.deepest_mm) + BEYOND_MM))
        return [(mm, self.y(mm - self.cusp_to_orifice_mm)) for mm in range(first, last + 1)]


def drawing(name: str, title: str, description: str, height: float, parts: Iterable[str]) -> str:
    """A whole drawing. `name` is its own on the page; title and description are what a reader hears."""
    return (
        f'<svg class="canal-chart" viewBox="0 0 {WIDTH:g} {height:g}" role="img" '
        f'aria-labelledby="{escape(name)}-t {escape(name)}-d"><title id="{escape(name)}-t">{escape(title)}</title>'
        f'<desc id="{escape(name)}-d">{escape(description)}</desc>{"".join(parts)}</svg>'
    )


def path(ink: str, way: str) -> str:
    return f'<path class="{ink}" d="{way}"/>' if way else ""


def along(x: Line, y: Line) -> str:
    """A line through points."""
    return "M" + " ".join(map(str, np.column_stack((x, y)).round(1).ravel().tolist()))


def between(x_from: Line, x_to: Line, y: Line) -> str:
    """The area between two lines over the same heights."""
    return along(np.concatenate((x_from, x_to[::-1])), np.concatenate((y, y[::-1]))) + "Z"


def words(x: float, y: float, said: str, ink: str = "") -> str:
    kind = f' class="{ink}"' if ink else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{kind}>{escape(str(said))}</text>'
