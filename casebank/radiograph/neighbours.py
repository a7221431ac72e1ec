"""Neighbouring teeth as values: sizes from a table, roots in the usual layout, a little different in every mouth.

The crown keeps its usual size, so that contacts and bone stay where they are; length, lean and bend of the roots and
the width of the pulp vary with the mouth's seed, alike on both sides of the midline as in life.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from casebank.anatomy import Course, Crown, Leg, Neighbour, Root, Station
from casebank.radiograph.root_pieces import COARSE, RootForm
from casebank.radiograph.shapes import Array, Frame

LAST_FRONT, FIRST_MOLAR = 3, 6  # places from the midline
FURCATION_SHARE = 0.29  # of the root's length below the neck: a teaching choice
LENGTH_SPREAD, LEAN_SPREAD_DEG, PULP_SPREAD = 0.07, 1.8, 0.22


@dataclass(frozen=True)
class Usual:
    """A tooth of usual size: place from the midline, crown and roots in its own frame, share of the usual pulp."""

    place: int
    crown: Crown
    roots: RootForm
    pulp_share: float


@dataclass(frozen=True)
class _Variation:
    """What makes one mouth's tooth differ from the usual one."""

    length: float
    lean_deg: float
    bend: float
    pulp: float

    @classmethod
    def of(cls, seed: int, upper: bool, place: int) -> "_Variation":
        random = np.random.default_rng([seed, int(upper), place])
        length, lean, bend, pulp = random.uniform(-1.0, 1.0, 4).tolist()
        return cls(1 + LENGTH_SPREAD * length, LEAN_SPREAD_DEG * lean, 1 + 0.6 * bend, 1 + PULP_SPREAD * pulp)


@cache
def _sizes() -> dict[str, dict[str, list[float]]]:
    text = (files("casebank.radiograph") / "neighbours.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def usual(number: int, seed: int = 0) -> Usual:
    """A tooth by its two-digit designation, as it is in the mouth of that seed."""
    upper, place = number // 10 in (1, 2), number % 10
    height, width, thick, neck_width, neck_thick, length = _sizes()["upper" if upper else "lower"][str(place)]
    crown = Crown(height, width, thick, neck_width, neck_thick)
    variation = _Variation.of(seed, upper, place)
    roots = _roots(upper, place, neck_width, neck_thick, length * variation.length, variation)
    furcation = -FURCATION_SHARE * length if place >= FIRST_MOLAR else None
    return Usual(place, crown, RootForm.of(roots, crown, furcation, COARSE), variation.pulp)


def _roots(
    upper: bool, place: int, width: float, thick: float, length: float, variation: _Variation
) -> tuple[Root, ...]:
    lean, bend = variation.lean_deg, variation.bend
    if upper and place == 4:  # two slender roots that part in their apical half
        half, away = 0.46 * width, 0.20 * thick
        return (
            _root("B", (0.0, -away), half, 0.95, length, lean=6.0, toward=90.0 + 4 * lean, bend=8.0 * bend),
            _root("P", (0.0, away), half, 0.95, 0.97 * length, lean=6.0, toward=270.0 - 4 * lean, bend=6.0 * bend),
        )
    if place < FIRST_MOLAR:
        own = (abs(lean), 0.0 if lean >= 0 else 180.0)
        return (
            _root("R", (0.0, 0.0), width / 2, thick / width, length, lean=own[0], toward=own[1], bend=9.0 * bend),
        )  # fmt: skip
    half = 0.215 * width
    spread = 1.0 if place == FIRST_MOLAR else 0.6 if place == FIRST_MOLAR + 1 else 0.35  # roots close up backwards
    if not upper:
        return (
            _root("M", (-0.265 * width, 0.0), half, 1.8, length, lean=7.0 * spread, toward=180.0, bend=20.0 * bend),
            _root("D", (0.265 * width, 0.0), 0.95 * half, 1.6, 0.95 * length, lean=5.0 * spread + lean / 2, toward=0.0,
                  bend=4.0 * bend),
        )  # fmt: skip
    return (
        _root("MB", (-0.25 * width, -0.20 * thick), half, 1.7, length, lean=7.0 * spread, toward=170.0,
              bend=16.0 * bend),
        _root("DB", (0.27 * width, -0.20 * thick), 0.9 * half, 1.4, 0.95 * length, lean=7.0 * spread + lean / 2,
              toward=20.0, bend=6.0 * bend),
        _root("P", (0.03 * width, 0.24 * thick), 1.15 * half, 1.1, 1.05 * length, lean=14.0 * spread, toward=270.0,
              bend=0.0),
    )  # fmt: skip


def _root(
    name: str,
    at: tuple[float, float],
    half_mm: float,
    flattening: float,
    length_mm: float,
    *,
    lean: float,
    toward: float,
    bend: float,
) -> Root:
    """A root that leans away from the tooth's axis and bends distally in its apical half."""
    tip = min(0.6, 0.35 * half_mm)
    whole = length_mm + 0.3 - tip
    straight = Leg(0.55 * whole)
    apical = Leg(0.45 * whole, 0.45 * whole / np.radians(bend), 0.0) if bend else Leg(0.45 * whole)
    stations = (
        Station(0, half_mm),
        Station(0.2, 0.92 * half_mm),
        Station(0.55, 0.72 * half_mm),
        Station(0.85, 0.45 * half_mm + 0.1),
        Station(1, tip),
    )
    return Root(name, (*at, 0.3), Course((straight, apical), lean, toward), stations, flattening)


def frame_of(neighbour: Neighbour, crown: Crown, tooth_number: int, occlusal_z_mm: float) -> Frame:
    """Where a neighbour stands: its cusps reach the bite, and beyond the midline it is mirrored.

    Front teeth of different height share the difference between edge and neck, as in a natural row.
    """
    facing = 1.0 if neighbour.number // 10 == tooth_number // 10 else -1.0
    neck_z = occlusal_z_mm - crown.height_mm
    if neighbour.number % 10 <= LAST_FRONT and tooth_number % 10 <= LAST_FRONT:
        neck_z *= 0.5
    return Frame(np.diag([facing, 1.0, 1.0]), np.array([neighbour.centre_mm, 0.0, neck_z]))


def canal_line(root: Root, pulp_share: float = 1.0) -> tuple[Array, Array]:
    """Centre line, shape (n, 3), and radii, shape (n,), of the one canal drawn in a neighbour's root."""
    line = root.centre_line(step_mm=COARSE.link_mm)
    return line, np.linspace(pulp_share * (0.12 * root.stations[0].radius_mm + 0.12), 0.13, len(line))
