"""An access outline, expected orifices and numbered places as they are drawn over the crown's map.

Units are the map's millimetres, right and down; every style goes by class.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from casebank.anatomy.occlusal import MapFrame
from casebank.casefile.occlusal_map import extent, words_down_mm

Place = tuple[float, float]

ARM_MM = 0.35  # of the cross that marks an orifice
NUMBER_MM = 0.42  # of a corner's number beside its corner
NUMBERS_APART_MM = 0.75
PIN_MM = 0.42  # half the width of a pin
PINS_APART_MM = 1.0
BESIDE_LEFT_MM, BESIDE_RIGHT_MM = 1.9, 0.9  # from the map's frame to its pins: at the left stand a rule's figures
WORD_MM = 0.9  # round the word for a side


@dataclass(frozen=True)
class Pin:
    """A numbered place; one that `weighs` is drawn filled, else hollow."""

    number: int
    at: Place
    weighs: bool


def drawn_outline(outline: Sequence[Place], whose: str, *, numbered: bool = False) -> list[str]:
    """A closed outline; `whose` is "own" or "usual", which its classes carry. Corners that lie apart get their numbers.

    >>> drawn_outline(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), "usual")
    ['<path class="map-cut map-cut-usual" d="M0.00 0.00L1.00 0.00L0.00 1.00Z"/>']
    """
    if not outline:
        return []
    line = "L".join(f"{right:.2f} {down:.2f}" for right, down in outline)
    parts = [f'<path class="map-cut map-cut-{whose}" d="M{line}Z"/>']
    if numbered:
        parts += [f'<circle class="map-point" cx="{right:.2f}" cy="{down:.2f}" r="0.14"/>' for right, down in outline]
        parts += _numbers(outline)
    return parts


def drawn_marks(places: Sequence[Place], names: Sequence[str] = ()) -> list[str]:
    """Expected orifices as crosses; a name beside each that has one."""
    parts = [
        f'<path class="map-mark" d="M{right - ARM_MM:.2f} {down:.2f}H{right + ARM_MM:.2f}'
        f'M{right:.2f} {down - ARM_MM:.2f}V{down + ARM_MM:.2f}"/>'
        for right, down in places
    ]
    parts += [
        f'<text class="map-said" x="{right + 0.45:.2f}" y="{down - 0.3:.2f}">{escape(name)}</text>'
        for (right, down), name in zip(places, names, strict=False)
    ]
    return parts


def drawn_pins(pins: Sequence[Pin], frame: MapFrame) -> list[str]:
    """Numbered places: each pin stands beside the map, so that it covers nothing, and is led to its place."""
    left, top, right, bottom = extent(frame)
    parts = []
    for side, column in ((-1.0, left - BESIDE_LEFT_MM), (1.0, right + BESIDE_RIGHT_MM)):
        ours = sorted((pin for pin in pins if (pin.at[0] < 0) == (side < 0)), key=lambda pin: pin.at[1])
        rows = _spread([pin.at[1] for pin in ours], top, bottom, words_down_mm(frame) - 0.25)
        for pin, down in zip(ours, rows, strict=True):
            parts += _pin(pin, column, down, column - side * PIN_MM)
    return parts


def _pin(pin: Pin, right: float, down: float, from_right: float) -> list[str]:
    kind = "weighs" if pin.weighs else "idle"
    x, y = pin.at
    return [
        f'<path class="map-pin-lead" d="M{x:.2f} {y:.2f}L{from_right:.2f} {down:.2f}"/>',
        f'<circle class="map-pin-foot" cx="{x:.2f}" cy="{y:.2f}" r="0.12"/>',
        f'<circle class="map-pin map-pin-{kind}" cx="{right:.2f}" cy="{down:.2f}" r="{PIN_MM}"/>',
        f'<text class="map-pin-number map-pin-number-{kind} map-mid" x="{right:.2f}" y="{down + 0.2:.2f}">'
        f"{pin.number}</text>",
    ]


def _spread(wanted: Sequence[float], top: float, bottom: float, word_down: float) -> list[float]:
    """Rows of a column, ascending, near those wanted, none over another nor over the word in its middle."""
    steps = np.arange(top + PIN_MM, bottom, PINS_APART_MM)
    free = [step for step in steps.tolist() if abs(step - word_down) > WORD_MM]
    rows: list[float] = []
    for number, down in enumerate(wanted):
        after = free[: len(free) - (len(wanted) - number - 1)]  # leave a row to each that follows
        open_rows = [row for row in after if not rows or row > rows[-1]] or [(rows or [top])[-1] + PINS_APART_MM]
        rows.append(min(open_rows, key=lambda row: abs(row - down)))
    return rows


def _numbers(outline: Sequence[Place]) -> list[str]:
    """The corners' numbers, away from the middle; a corner close to one that has its number goes without."""
    points = np.asarray(outline, dtype=np.float64)
    out = points - points.mean(axis=0)
    away = points + NUMBER_MM * out / np.maximum(np.linalg.norm(out, axis=1), 1e-9)[:, None]
    parts: list[str] = []
    kept: list[int] = []
    for number, point in enumerate(points):
        if all(np.linalg.norm(point - points[other]) >= NUMBERS_APART_MM for other in kept):
            kept.append(number)
            right, down = away[number]
            parts.append(f'<text class="map-corner map-mid" x="{right:.2f}" y="{down + 0.16:.2f}">{number + 1}</text>')
    return parts
