"""A crown that is a box with a chamber that is a box, so that what an opening does can be worked out by hand.

The box is 9 × 9 mm and 12 mm deep, of dentine; the chamber 3.0 mm mesio-distally × 4.2 mm bucco-lingually, from 4.5 to
6.6 mm below the top, in the middle. The canal's orifice lies in the middle of its floor; it runs straight down.
"""

from dataclasses import replace
from functools import cache

import numpy as np

from casebank.anatomy import Canal, Chamber, Course, Crown, Leg, Root, Section, Station, Tooth
from casebank.anatomy.access_block import AccessBlock, Facing, Tissue
from casebank.anatomy.access_plan import AccessPlan, BurAxis
from casebank.anatomy.access_prepared import Prepared

PITCH_MM = 0.15
HALF_MM, DEEP_MM = 4.5, 12.0
ROOM_MM = (1.5, 2.1)  # half widths of the chamber
ROOF_MM, FLOOR_MM = 4.5, 6.6
ROUND_MM = 0.9
UPRIGHT = BurAxis()


def box_tooth(number: int = 36) -> Tooth:
    root = Root("R", (0.0, 0.0, 1.5), Course((Leg(13.0),)), (Station(0, 2.5), Station(1, 0.6)), 1.3)
    sections = Section(0.6, 0.8), Section(0.25, 0.25), Section(0.4, 0.4)
    canal = Canal("C", "R", FLOOR_MM, (0.0, 0.0), Course((Leg(13.0),)), *sections)
    canal = replace(canal, course=Course((Leg(0.9 + 13.6 - 1.5),)))
    return Tooth(number, Crown(7.5, 9.0, 9.0, 9.0, 9.0), Chamber(ROOF_MM, FLOOR_MM, 3.0, 4.2), (root,), (canal,))


def box_block(number: int = 36, *, cap: Tissue = Tissue.DENTINE, cap_mm: float = 0.0) -> AccessBlock:
    """The box in cells; its first `cap_mm` may be of another tissue."""
    across = round(2 * (HALF_MM + ROUND_MM) / PITCH_MM)
    first = -ROUND_MM
    down = round((DEEP_MM + 2 * ROUND_MM) / PITCH_MM)
    middle = (np.arange(across) + 0.5) * PITCH_MM - HALF_MM - ROUND_MM
    depth = first + (np.arange(down) + 0.5) * PITCH_MM
    x, y, t = np.meshgrid(middle, middle, depth, indexing="ij")
    tissue = np.zeros(x.shape, dtype=np.uint8)
    box = (np.abs(x) < HALF_MM) & (np.abs(y) < HALF_MM) & (t > 0) & (t < DEEP_MM)
    tissue[box] = Tissue.DENTINE
    tissue[box & (t < cap_mm)] = cap
    tissue[(np.abs(x) < ROOM_MM[0]) & (np.abs(y) < ROOM_MM[1]) & (t > ROOF_MM) & (t < FLOOR_MM)] = Tissue.PULP
    corner = float(middle[0])
    facing = Facing(np.zeros(1), np.array([7.5]))
    return AccessBlock(
        box_tooth(number), UPRIGHT, tissue, PITCH_MM, (corner, corner), 7.5 + ROUND_MM, facing, first_mm=first
    )


@cache
def box(number: int = 36) -> Prepared:
    return Prepared(box_block(number))


def rectangle(
    left: float, top: float, right: float, bottom: float, depth_mm: float, *, flare_deg: float = 0.0
) -> AccessPlan:
    """A rectangular opening on the map of tooth 36: right is distal, down is buccal."""
    outline = ((left, top), (right, top), (right, bottom), (left, bottom))
    return AccessPlan(outline, depth_mm, UPRIGHT, flare_deg=flare_deg)
