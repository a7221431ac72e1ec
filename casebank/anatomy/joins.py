"""Where canals of a tooth run as one, read from their courses; and the tooth's canals as a code.

Nothing is stored for it: two canals share a stretch because their centre lines do.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations, groupby

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy.canal import Canal
from casebank.anatomy.configurations import Path, written
from casebank.anatomy.tooth import Tooth
from casebank.anatomy.tracing import off_line_mm

AS_ONE_MM = 0.05  # canals whose centre lines lie closer run as one: a convention of ours
LEAST_STRETCH_MM = 0.3  # shorter ones are canals that touch or cross
PASSING_MM = 1.0  # a shorter level between two others is canals on their way from one count to the next
STEP_MM = 0.1
SUPERSCRIPTS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")

Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Join:
    """A stretch that two canals share.

    Attributes
    ----------
    first, second : str
        Names of the canals, in the tooth's order.
    first_mm, second_mm : tuple of two floats
        Where the stretch begins and ends, below each canal's own orifice, mm.
    from_orifice, to_foramen : bool
        Whether it begins at the first one's orifice, and whether it reaches its foramen.
    """

    first: str
    second: str
    first_mm: tuple[float, float]
    second_mm: tuple[float, float]
    from_orifice: bool
    to_foramen: bool


def joins(tooth: Tooth) -> tuple[Join, ...]:
    """Every stretch over which two canals of one root lie within 0.05 mm of each other, coronal ones first."""
    found = []
    for first, second in combinations(tooth.canals, 2):
        if first.root != second.root:
            continue
        levels, shared = first.levels(step_mm=STEP_MM), _beside(tooth, first, second)
        other = tooth.centre_line(second, step_mm=STEP_MM)
        other_levels = second.levels(step_mm=STEP_MM)
        for begin, end in _runs(shared):
            if levels[end] - levels[begin] < LEAST_STRETCH_MM:
                continue
            ends = tooth.centre_line(first, step_mm=STEP_MM)[[begin, end]]
            nearest = [int(np.argmin(((other - point) ** 2).sum(axis=1))) for point in ends]
            found.append(
                Join(
                    first.name,
                    second.name,
                    (float(levels[begin]), float(levels[end])),
                    (float(other_levels[nearest[0]]), float(other_levels[nearest[1]])),
                    from_orifice=begin == 0,
                    to_foramen=end == len(levels) - 1,
                )
            )
    return tuple(sorted(found, key=lambda join: join.first_mm))


def path_of(tooth: Tooth, root: str) -> Path:
    """How many canals run side by side in a root, from where all its orifices are passed to its first foramen.

    Raises
    ------
    KeyError
        If the tooth has no such root.
    ValueError
        If no canal runs in it.
    """
    name = tooth.root(root).name
    canals = [canal for canal in tooth.canals if canal.root == name]
    if not canals:
        raise ValueError(f"root {name} of tooth {tooth.number} holds no canal: it has no path")
    lines = [tooth.centre_line(canal, step_mm=STEP_MM) for canal in canals]
    heights = np.arange(min(line[0, 2] for line in lines), max(line[-1, 2] for line in lines), -STEP_MM)
    at = [np.argmin(np.abs(line[:, 2][:, None] - heights), axis=0) for line in lines]
    merged = {
        (one, two): _beside(tooth, canals[one], canals[two])[at[one]]
        for one, two in combinations(range(len(canals)), 2)
    }
    counts = [
        _groups(len(canals), (pair for pair, mask in merged.items() if mask[place])) for place in range(len(heights))
    ]
    runs = [(count, len(list(same))) for count, same in groupby(counts)]
    least = [LEAST_STRETCH_MM if place in (0, len(runs) - 1) else PASSING_MM for place in range(len(runs))]
    kept = [count for (count, steps), least_mm in zip(runs, least, strict=True) if steps * STEP_MM >= least_mm]
    return tuple(count for count, _ in groupby(kept))


def notation(tooth: Tooth, *, raised: bool = True) -> str:
    """The tooth's roots and canals as one code: count of roots, tooth, and each root with its path.

    Parameters
    ----------
    tooth : Tooth
    raised : bool
        With the counts raised, as printed; else the paths in brackets, for readers that skip raised figures.

    Returns
    -------
    str
        A single root is not named: "¹31²⁻¹". Else "²14 B¹ P¹", or "2 14 B(1) P(1)".

    References
    ----------
    Ahmed, Versiani, De-Deus, Dummer. Int Endod J 2017;50:761-770; the way it is written is from memory.
    """
    paths = [(root.name, written(path_of(tooth, root.name))) for root in tooth.roots]
    count, single = str(len(paths)), len(paths) == 1
    if not raised:
        parts = [f"({path})" if single else f"{name}({path})" for name, path in paths]
        return " ".join([count, str(tooth.number), *parts])
    parts = [
        path.translate(SUPERSCRIPTS) if single else f" {name}{path.translate(SUPERSCRIPTS)}" for name, path in paths
    ]
    return f"{count.translate(SUPERSCRIPTS)}{tooth.number}{''.join(parts)}"


def _beside(tooth: Tooth, one: Canal, other: Canal) -> Mask:
    """At each level of one canal, whether the other's centre line lies within 0.05 mm."""
    line = tooth.centre_line(one, step_mm=STEP_MM)
    return np.asarray(off_line_mm(line, tooth.centre_line(other, step_mm=STEP_MM)) <= AS_ONE_MM)


def _runs(mask: Mask) -> list[tuple[int, int]]:
    """First and last place of each unbroken run of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(int)))
    return [(int(begin), int(end) - 1) for begin, end in zip(edges[::2], edges[1::2], strict=True)]


def _groups(count: int, pairs: Iterable[tuple[int, int]]) -> int:
    """How many groups `count` canals fall into when the paired ones run as one."""
    group = list(range(count))
    for one, two in pairs:
        group = [group[one] if mark == group[two] else mark for mark in group]
    return len(set(group))
