"""Why harm came of a move: the level, the law and its numbers, told from the canal before it and after it.

Fatigue, torsion and a bound needle are told where they are worked out; this tells what walls and foramen show.
"""

from collections.abc import Callable

import numpy as np

from casebank.instruments import damage
from casebank.instruments.felt import Number, Why
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.teaching import TEACHING


def reasons(before: Lumen, after: Lumen, events: tuple[str, ...]) -> tuple[Why, ...]:
    """A reason for each thing that happened to the wall or the foramen, in the order in which they are named."""
    return tuple(REASONS[event](before, after) for event in events if event in REASONS)


def _ledge(before: Lumen, after: Lumen) -> Why:
    """The notch a stuck tip dug: bite times lean, for every stroke and newton, summed over the tries there."""
    was = {notch.at_mm: notch.depth_mm for notch in before.notches}
    notch = max(after.notches, key=lambda each: each.depth_mm - was.get(each.at_mm, 0.0))
    dug_mm = notch.depth_mm - was.get(notch.at_mm, 0.0)
    numbers = (
        Number("b", TEACHING.bite_mm, "mm"),
        Number("Σ l·n·F", dug_mm / TEACHING.bite_mm, "N"),
        Number("h", notch.depth_mm, "mm"),
        Number("limit", TEACHING.ledge_mm, "mm"),
    )
    return Why(notch.at_mm, "stuck tip", "h = h0 + b · Σ l·n·F, a ledge from its limit on", numbers)


def _wall(before: Lumen, after: Lumen, walls: Callable[[Lumen], Levels], cause: str, limit_mm: float) -> Why:
    """The level at which a wall is thinnest, of those that are watched."""
    watched = damage.watched(after)
    old, new = walls(before)[watched], walls(after)[watched]
    at = int(np.argmin(new))
    numbers = (
        Number("w0", float(old[at]), "mm"),
        Number("cut", float(old[at] - new[at]), "mm"),
        Number("w", float(new[at]), "mm"),
        Number("limit", limit_mm, "mm"),
    )
    return Why(float(after.shape.levels_mm[at]), cause, "w = w0 - cut, harm below its limit", numbers)


def _foramen(limit: float, after: Lumen) -> Why:
    natural_mm, now_mm = float(after.shape.width_mm[-1]), float(after.width_mm[-1])
    numbers = (
        Number("c0", natural_mm, "mm"),
        Number("c", now_mm, "mm"),
        Number("c / c0", now_mm / natural_mm, "none"),
        Number("limit", limit, "none"),
    )
    return Why(after.shape.length_mm, "cut at the foramen", "c / c0 > limit", numbers)


def _brushed(before: Lumen, after: Lumen) -> Why:
    """Where brushing took most from the furcation wall, which may be nothing."""
    taken = before.furcation_mm - after.furcation_mm
    at = int(np.argmax(taken))
    numbers = (Number("cut", float(taken[at]), "mm"), Number("w", float(after.furcation_mm[at]), "mm"))
    level_mm = float(after.shape.levels_mm[at])
    return Why(level_mm, "brushed wall", "w = w0 - cut, all of it from the brushed side", numbers)


def _furcation(lumen: Lumen) -> Levels:
    return lumen.furcation_mm


def _outer(lumen: Lumen) -> Levels:
    return lumen.outer_mm


REASONS: dict[str, Callable[[Lumen, Lumen], Why]] = {
    damage.LEDGE: _ledge,
    damage.FURCATION_THIN: lambda old, new: _wall(old, new, _furcation, "thin wall", TEACHING.thin_wall_mm),
    damage.OUTER_THIN: lambda old, new: _wall(old, new, _outer, "thin wall", TEACHING.thin_wall_mm),
    damage.FURCATION_HOLED: lambda old, new: _wall(old, new, _furcation, "holed wall", 0.0),
    damage.OUTER_HOLED: lambda old, new: _wall(old, new, _outer, "holed wall", 0.0),
    damage.FORAMEN_WIDENED: lambda _, new: _foramen(TEACHING.foramen_widened, new),
    damage.FORAMEN_TORN: lambda _, new: _foramen(TEACHING.foramen_torn, new),
    damage.BRUSHED_TOWARD: _brushed,
}
