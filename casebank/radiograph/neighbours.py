"""Neighbouring teeth as values: sizes from a table, roots and pulp in the usual layout."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from casebank.anatomy import Course, Crown, Leg, Neighbour, Root, Station
from casebank.radiograph.root_pieces import RootForm
from casebank.radiograph.shapes import Array, Frame

LAST_FRONT = 3  # place of the canine from the midline
FURCATION_SHARE = 0.29  # of the root's length below the neck: a teaching choice


@dataclass(frozen=True)
class Usual:
    """A tooth of usual size: its crown and roots in its own frame."""

    crown: Crown
    roots: RootForm


@cache
def _sizes() -> dict[str, dict[str, list[float]]]:
    text = (files("casebank.radiograph") / "neighbours.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def usual(number: int) -> Usual:
    """A tooth of usual size by its two-digit designation."""
    jaw = "upper" if number // 10 in (1, 2) else "lower"
    place = number % 10
    height, width, thick, neck_width, neck_thick, length = _sizes()[jaw][str(place)]
    crown = Crown(height, width, thick, neck_width, neck_thick)
    roots = _roots(jaw, place, neck_width, neck_thick, length)
    furcation = -FURCATION_SHARE * length if len(roots) > 1 else None
    return Usual(crown, RootForm.of(roots, crown, furcation))


def _roots(jaw: str, place: int, width: float, thick: float, length: float) -> tuple[Root, ...]:
    if place < 6:
        half = width / 2
        return (_root("R", (0.0, 0.0), half, thick / width, length, lean=0.0, toward=0.0, bend=9.0),)
    half = 0.215 * width
    if jaw == "lower":
        return (
            _root("M", (-0.265 * width, 0.0), half, 1.8, length, lean=7.0, toward=180.0, bend=20.0),
            _root("D", (0.265 * width, 0.0), 0.95 * half, 1.6, 0.95 * length, lean=5.0, toward=0.0, bend=4.0),
        )
    return (
        _root("MB", (-0.25 * width, -0.20 * thick), half, 1.7, length, lean=7.0, toward=170.0, bend=16.0),
        _root("DB", (0.27 * width, -0.20 * thick), 0.9 * half, 1.4, 0.95 * length, lean=7.0, toward=20.0, bend=6.0),
        _root("P", (0.03 * width, 0.24 * thick), 1.15 * half, 1.1, 1.05 * length, lean=14.0, toward=270.0, bend=0.0),
    )


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


def canal_line(root: Root) -> tuple[Array, Array]:
    """Centre line, shape (n, 3), and radii, shape (n,), of the one canal drawn in a neighbour's root."""
    line = root.centre_line(step_mm=1.2)
    return line, np.linspace(0.17 * root.stations[0].radius_mm + 0.1, 0.14, len(line))
