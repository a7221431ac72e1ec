"""What a verdict says: findings with place, size and reason, each at one of three levels.

A level is not a cliff: between the size that is as needed and the size that is unsafe a share falls evenly from 1 to 0,
and whoever grades takes the share. The bounds are teaching choices (`access.toml`).
"""

from dataclasses import asdict, dataclass
from enum import IntEnum
from typing import Any

import numpy as np

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_cut import Cut
from casebank.anatomy.access_reach import FLOOR, Reach, side_of
from casebank.anatomy.access_walls import Wall, WallsLeft

Place = tuple[float, float]
MIDDLE_MM = 0.5  # round the chamber's middle no side is named: teaching choice


class AccessLevel(IntEnum):
    """How a finding weighs."""

    AS_NEEDED = 1
    COSTS = 2
    UNSAFE = 3


IN_WORDS = {AccessLevel.AS_NEEDED: "as needed", AccessLevel.COSTS: "costs something", AccessLevel.UNSAFE: "unsafe"}


@dataclass(frozen=True)
class AccessFinding:
    """One thing a cut did.

    Attributes
    ----------
    kind : str
        "reach", "opened", "roof", "removed", "crown wall", "root wall", "furcation", "perforation" or "axis".
    subject : str
        The canal, side or part it concerns.
    size : float or None
        In `unit`; none where there is nothing to measure.
    unit : str
    at_mm : tuple of two floats or None
        Where, on the crown's map, right and down.
    level : AccessLevel
    share : float
        1 as needed, 0 unsafe, between them in between.
    reason : str
        One sentence.
    """

    kind: str
    subject: str
    size: float | None
    unit: str
    at_mm: Place | None
    level: AccessLevel
    share: float
    reason: str

    def record(self) -> dict[str, Any]:
        """The same as plain values."""
        return asdict(self) | {"level": int(self.level), "at_mm": None if self.at_mm is None else list(self.at_mm)}


def graded(size: float, as_needed: float, unsafe: float) -> tuple[AccessLevel, float]:
    """Level and share of a size between two bounds, whichever of them is the larger.

    >>> graded(1.0, 1.5, 0.5), graded(2.0, 1.5, 0.5)[0].name, graded(12.0, 5.0, 12.0)[0].name
    ((<AccessLevel.COSTS: 2>, 0.5), 'AS_NEEDED', 'UNSAFE')
    """
    share = min(1.0, max(0.0, (unsafe - size) / (unsafe - as_needed)))
    return (AccessLevel.AS_NEEDED if share == 1 else AccessLevel.UNSAFE if share == 0 else AccessLevel.COSTS), share


def of_reach(cut: Cut, reach: Reach) -> AccessFinding:
    """How a canal is reached."""
    at = on_map(cut, reach.at_mm)
    if reach.lean_deg is None or reach.excess_deg is None:
        level, share, size = AccessLevel.UNSAFE, 0.0, None
        said = "no straight shaft reaches it"
    else:
        level, share = graded(reach.excess_deg, ACCESS.straight_deg, ACCESS.bent_deg)
        size = reach.lean_deg
        said = f"a shaft enters it {reach.lean_deg:.0f}° off its coronal axis"
        if level == AccessLevel.UNSAFE:
            said += ", too far for a file to keep to the canal"
    if reach.wall == FLOOR:
        said += f"; over {reach.wall_mm:.1f} mm of the straight way the cut does not go deep enough"
    elif reach.wall:
        said += f"; {reach.wall} stands {reach.wall_mm:.1f} mm in the straight way"
    if reach.least_lean_deg > 0:
        said += f"; {reach.least_lean_deg:.0f}° are what keeping the crown's rim costs"
    return AccessFinding("reach", reach.canal, size, "°", at, level, share, f"Canal {reach.canal}: {said}.")


def of_opening(cut: Cut, depth_mm: float) -> AccessFinding:
    """Whether the bur has come into the chamber, and how deep its roof lies."""
    prepared = cut.prepared
    roof = float(prepared.roof_mm[prepared.over].min())
    at = on_map(cut, (*prepared.block.middles[int(prepared.roof_mm.argmin())].tolist(), roof))
    if cut.opened:
        return AccessFinding(
            "opened", "chamber", roof, "mm", at, AccessLevel.AS_NEEDED, 1.0,
            f"The bur came into the chamber, whose roof begins {roof:.1f} mm below the crown's highest point.",
        )  # fmt: skip
    why = (
        "the cut passes beside it or closes in above it"
        if depth_mm >= roof
        else f"the cut ends {roof - depth_mm:.1f} mm above it"
    )
    return AccessFinding(
        "opened", "chamber", roof, "mm", at, AccessLevel.COSTS, 0.0,
        f"The chamber was not opened: its roof begins {roof:.1f} mm below the crown's highest point, and {why}.",
    )  # fmt: skip


def of_roof(cut: Cut) -> AccessFinding:
    """What is left of the chamber's roof."""
    prepared = cut.prepared
    cell = prepared.block.pitch_mm**2
    left, whole = float(cut.roof_left.sum()) * cell, float(prepared.roof.sum()) * cell
    level, share = graded(left / whole, ACCESS.roof_small_share, ACCESS.roof_large_share)
    level = min(level, AccessLevel.COSTS)  # a roof can still be lifted
    rests = cut.roof_rests
    if not rests:
        return AccessFinding("roof", "", left, "mm²", None, level, share, "The chamber's roof is lifted as a whole.")
    area, place = rests[0]
    side = _side_in_tooth(cut, place)
    said = f"{left:.1f} of {whole:.1f} mm² of the chamber's roof still stand, "
    said += f"the largest rest, {area:.1f} mm², {_over(side)}"
    return AccessFinding(
        "roof", side, left, "mm²", on_map(cut, place), level, share,
        f"{said}: pulp stays under it, and a file catches on it.",
    )  # fmt: skip


def of_removal(cut: Cut, dentine_and_all_mm3: float) -> AccessFinding:
    """Hard tissue beyond need. Carious dentine has to go anyway and is no part of it."""
    need, needed = cut.prepared.need_mm3, cut.volumes_mm3["needed"]
    beyond = max(0.0, dentine_and_all_mm3 - needed)
    level, share = graded(beyond / need, ACCESS.beyond_small_share, ACCESS.beyond_large_share)
    return AccessFinding(
        "removed", "hard tissue", beyond, "mm³", None, level, share,
        f"{dentine_and_all_mm3:.0f} mm³ of hard tissue went, {beyond:.0f} of them beyond what the way to the canals "
        f"needs, which is {need:.0f} mm³.",
    )  # fmt: skip


def of_walls(cut: Cut, left: WallsLeft) -> list[AccessFinding]:
    """The thinnest places left."""
    sound, weak = ACCESS.crown_wall_sound_mm, ACCESS.crown_wall_weak_mm
    safe, thin = ACCESS.root_wall_sound_mm, ACCESS.root_wall_thin_mm
    out = []
    if left.crown is not None:
        said = f"The {left.crown.side} wall of the crown is {left.crown.thick_mm:.1f} mm thick where it is thinnest"
        out.append(_of_wall(cut, "crown wall", left.crown, sound, weak, said, "it may break"))
    if left.root is not None:
        said = f"From the cut to the root's {left.root.side} surface {left.root.thick_mm:.1f} mm are left"
        out.append(_of_wall(cut, "root wall", left.root, safe, thin, said, "it is as good as perforated"))
    if left.furcation is not None:
        said = f"From the cut to the furcation {left.furcation.thick_mm:.1f} mm are left"
        if (natural := cut.prepared.natural_fork_mm) is not None:
            said += f" (the chamber's floor was {natural:.1f} mm thick)"
            safe = min(safe, natural)  # a thin floor is not the student's fault
        out.append(_of_wall(cut, "furcation", left.furcation, safe, min(thin, safe / 2), said, "it may give way"))
    return out


def _of_wall(cut: Cut, kind: str, wall: Wall, sound: float, weak: float, said: str, risk: str) -> AccessFinding:
    level, share = graded(wall.thick_mm, sound, weak)
    ends = {
        AccessLevel.AS_NEEDED: "",
        AccessLevel.COSTS: f", less than {sound:.1f} mm",
        AccessLevel.UNSAFE: f": {risk}",
    }[level]
    return AccessFinding(kind, wall.side, wall.thick_mm, "mm", on_map(cut, wall.at_mm), level, share, f"{said}{ends}.")


def of_perforations(cut: Cut) -> list[AccessFinding]:
    """Places where the bur has left the tooth."""
    out = []
    for area, place, fork in cut.perforations:
        of = "crown" if _height_mm(cut, place) > 0 else "root"
        side = _side_in_tooth(cut, place[:2])
        part = "furcation" if fork else f"middle of the {of}" if side == "middle" else f"{side} side of the {of}"
        out.append(
            AccessFinding(
                "perforation",
                part,
                area,
                "mm²",
                on_map(cut, place),
                AccessLevel.UNSAFE,
                0.0,
                f"The bur comes out of the tooth at the {part}, {place[2]:.1f} mm below the crown's highest point, "
                f"through {area:.1f} mm².",
            )
        )
    return out


def on_map(cut: Cut, place: tuple[float, ...]) -> Place:
    """A place among the columns on the crown's map, right and down, mm."""
    right, down = cut.prepared.block.on_map(np.array([place[:2]], dtype=np.float64))[0].tolist()
    return right, down


def _height_mm(cut: Cut, place: tuple[float, float, float]) -> float:
    """Height over the neck of a place among the columns."""
    block = cut.prepared.block
    along = block.top_mm + block.first_mm - place[2]
    return float(place[0] * block.axes[0, 2] + place[1] * block.axes[1, 2] + along * block.axes[2, 2])


def _over(side: str) -> str:
    return "over its middle" if side == "middle" else f"on its {side} side"


def _side_in_tooth(cut: Cut, place: Place) -> str:
    """On which side of the chamber's middle a place lies; "middle" if within half a millimetre of it."""
    prepared = cut.prepared
    middle = prepared.block.middles[prepared.over].mean(axis=0)
    off = np.array(place) - middle
    if np.hypot(*off) < MIDDLE_MM:
        return "middle"
    return side_of(off, upper=prepared.block.frame.is_upper)
