"""The canals of one varied root: how wide they are, where they end, and their place among each other.

Canals that share an orifice or a foramen are drawn with the same one. Spreads are teaching choices.
"""

from dataclasses import dataclass

import numpy as np

from casebank.anatomy.canal import Canal, Section
from casebank.anatomy.configurations import Path, canals_in, strands
from casebank.anatomy.draws import Draws
from casebank.anatomy.layout import CanalPlan, canal_from
from casebank.anatomy.root import Root
from casebank.anatomy.terminus import literature
from casebank.anatomy.tooth_type import UsualRoot

WIDTH_SPREAD = 0.10  # of a canal, as a share
SIDE_BY_SIDE_SHARE = 0.8  # width of a canal beside another one, where only a single one was measured
CORONAL_SHARE = 0.33  # of the root's width a canal may take at its orifice: common practice, no source
CORONAL_DEPTH_SHARE = 0.5  # of its depth all canals together may take there
CONSTRICTION_MM = (0.13, 0.52)  # inside the plausible range of `terminus`
FORAMEN_MM = (0.28, 0.85)
FORAMEN_OVER_NARROW, FORAMEN_OVER_WIDE = 1.4, 1.15  # of the constriction: Kuttler's foramen is about twice as wide
TO_FORAMEN_MM = (0.3, 0.9)
AT_TIP_PERCENT = 40.0  # of foramina lie at the tip itself: Martos et al., Int Endod J 2009, 1331 roots
AT_TIP_MM = (0.02, 0.15)
OFF_TIP_MM = (0.15, 1.5)
FURTHER_DEEPER_MM = (0.1, 0.8)  # orifice of a further canal below the first one's
ABOVE_ROOT_MM = 0.05  # an orifice keeps this far below its root's upper end
FIRST_MM, LAST_MM = 1.0, 5.0  # from the end: where the handbook's first and last diameters stand
LAST_FRONT, FIRST_MOLAR = 3, 6


@dataclass(frozen=True)
class _End:
    constriction: Section
    foramen: Section
    constriction_to_foramen_mm: float
    foramen_to_apex_mm: float


def drawn_canals(
    number: int,
    usual: UsualRoot,
    root: Root,
    path: Path,
    levels: tuple[float, ...],
    crown_height_mm: float,
    floor_mm: float,
    draws: Draws,
) -> list[Canal]:
    """The canals of a root, buccal ones first.

    Parameters
    ----------
    number : int
        The tooth's two-digit designation.
    usual : UsualRoot
        What is usual in that root.
    root : Root
    path : tuple of int
    levels : tuple of float
        Shares of the way at which canals meet or part.
    crown_height_mm, floor_mm : float
        Of the tooth: neck to cusp, and cusp to the chamber's floor.
    draws : Draws

    Raises
    ------
    ValueError
        If the path has more canals than the root has names for, or the levels do not fit it.
    """
    names = usual.canals[canals_in(path) - 1]
    beside = strands(path, levels)
    toward = _foramen_side(root, draws)
    highest_mm = crown_height_mm - float(root.start_mm[2]) + ABOVE_ROOT_MM
    orifice_mm = max(floor_mm + draws.between(0.0, 0.25), highest_mm)
    ends: dict[float, _End] = {}
    tops: dict[float, tuple[float, Section]] = {}
    canals = []
    for name, strand in zip(names, beside, strict=True):
        top, bottom = strand.places[0], strand.places[-1]
        if bottom not in ends:
            ends[bottom] = _end(number, usual, name, canals_in(path), draws)
        if top not in tops:
            deeper_mm = draws.between(*FURTHER_DEEPER_MM) if tops else 0.0
            section = _orifice(usual, name, root, path, ends[bottom].constriction)
            tops[top] = (orifice_mm + deeper_mm, section)
        plan = CanalPlan(
            name=name,
            cusp_to_orifice_mm=tops[top][0],
            strand=strand,
            orifice=tops[top][1],
            constriction=ends[bottom].constriction,
            foramen=ends[bottom].foramen,
            constriction_to_foramen_mm=ends[bottom].constriction_to_foramen_mm,
            foramen_to_apex_mm=ends[bottom].foramen_to_apex_mm,
            toward=toward,
        )
        canals.append(canal_from(plan, root, crown_height_mm, first_orifice_mm=orifice_mm))
    return canals


def _foramen_side(root: Root, draws: Draws) -> float:
    """+1 for a foramen distal of the tip, -1 for a mesial one: the way the root bends last, so that no S arises."""
    drawn = 1.0 if draws.happens(50) else -1.0
    distally = float(root.course.bends(np.array([root.course.length_mm]))[0, 0])
    return drawn if abs(distally) < 1e-9 else float(np.sign(distally))


def _end(number: int, usual: UsualRoot, name: str, canals: int, draws: Draws) -> _End:
    narrow_mm, wide_mm = _measured(usual, name, canals)[0]
    wider = draws.near(1.0, WIDTH_SPREAD)
    low, high = CONSTRICTION_MM
    constriction = Section(*(min(max(wider * width_mm, low), high) for width_mm in (narrow_mm, wide_mm)))
    foramen_mm = max(FORAMEN_OVER_NARROW * constriction.narrow_mm, FORAMEN_OVER_WIDE * constriction.wide_mm)
    foramen_mm = min(max(foramen_mm * draws.near(1.0, WIDTH_SPREAD / 2), FORAMEN_MM[0]), FORAMEN_MM[1])
    to_foramen = literature().figure("foramen to constriction", "aged 18 to 25").value_mm
    return _End(
        constriction=constriction,
        foramen=Section(foramen_mm, foramen_mm),
        constriction_to_foramen_mm=min(max(draws.near(to_foramen, 0.1), TO_FORAMEN_MM[0]), TO_FORAMEN_MM[1]),
        foramen_to_apex_mm=_off_apex_mm(number, draws),
    )


def _off_apex_mm(number: int, draws: Draws) -> float:
    """Foramen to apex: at the tip in some roots, and so far off it in the others that all have the published mean."""
    place, upper = number % 10, number // 10 in (1, 2)
    group = "front teeth" if place <= LAST_FRONT else "upper molars" if upper and place >= FIRST_MOLAR else "back teeth"
    mean_mm = literature().figure("foramen to apex", group).value_mm
    at_tip = draws.happens(AT_TIP_PERCENT)
    tip_mm, share = draws.between(*AT_TIP_MM), AT_TIP_PERCENT / 100
    off_mm = (mean_mm - share * sum(AT_TIP_MM) / 2) / (1 - share)
    off_mm = min(max(draws.near(off_mm, 0.25 * off_mm), OFF_TIP_MM[0]), OFF_TIP_MM[1])
    return tip_mm if at_tip else off_mm


def _orifice(usual: UsualRoot, name: str, root: Root, path: Path, constriction: Section) -> Section:
    """As wide as the published diameters grow from the end upwards, within what the root leaves."""
    first, last = _measured(usual, name, canals_in(path))
    width_mm = 2 * root.stations[0].radius_mm
    most = (CORONAL_SHARE * width_mm, CORONAL_DEPTH_SHARE * root.flattening * width_mm / path[0])
    grown = [
        min(end_mm + max(0.0, high - low) / (LAST_MM - FIRST_MM) * root.course.length_mm, limit)
        for end_mm, low, high, limit in zip(
            (constriction.narrow_mm, constriction.wide_mm), first, last, most, strict=True
        )
    ]
    narrow_mm = max(grown[0], constriction.narrow_mm)
    return Section(narrow_mm, max(grown[1], narrow_mm))


def _measured(usual: UsualRoot, name: str, canals: int) -> tuple[tuple[float, float], tuple[float, float]]:
    """Narrow and wide diameter near the end and at the uppermost measured level, mm.

    A canal that is wider mesio-distally is taken as round: `Section` says why.
    """
    found = usual.diameters_of(name)
    names = {name for row in usual.canals if len(row) == canals for name in row}
    less = 1.0 if canals == 1 or found.canal in names else SIDE_BY_SIDE_SHARE
    levels = []
    for at in (0, -1):
        narrow_mm, wide_mm = less * found.mesiodistal_mm[at], less * found.buccolingual_mm[at]
        round_mm = (narrow_mm + wide_mm) / 2
        levels.append((narrow_mm, wide_mm) if narrow_mm <= wide_mm else (round_mm, round_mm))
    return levels[0], levels[1]
