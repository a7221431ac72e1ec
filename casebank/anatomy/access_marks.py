"""Marked orifices against true ones, and against the laws by which they are found (Krasner and Rankow 2004)."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from casebank.anatomy.access_constants import ACCESS
from casebank.anatomy.access_polygon import Plane
from casebank.anatomy.access_reach import side_of
from casebank.anatomy.handbook import laws_of
from casebank.anatomy.occlusal import map_frame
from casebank.anatomy.tooth import Tooth


@dataclass(frozen=True)
class OrificeMark:
    """One orifice: which mark stands for it (counted from 1) and how far off it is; none if it was missed."""

    canal: str
    mark: int | None
    off_mm: float | None
    at_mm: tuple[float, float]
    reason: str


@dataclass(frozen=True)
class MarksJudged:
    """All orifices; the numbers of marks where there is none; and how the marks keep to each law that can be measured.

    `laws` holds name, size in mm, whether the law is kept, and a sentence.
    """

    orifices: tuple[OrificeMark, ...]
    false: tuple[int, ...]
    laws: tuple[tuple[str, float, bool, str], ...]


def judge_marks(tooth: Tooth, marks: tuple[tuple[float, float], ...]) -> MarksJudged:
    """Marks on the map, mm, paired with orifices so that their distances are least in all."""
    frame = map_frame(tooth)
    true = frame.on_map(np.array([tooth.orifice_of(canal) for canal in tooth.canals]))
    given = np.asarray(marks, dtype=np.float64).reshape(-1, 2)
    gaps = np.linalg.norm(given[:, None] - true[None], axis=2)
    far = 1e3
    pairs = zip(*linear_sum_assignment(np.where(gaps > ACCESS.mark_mm, far, gaps)), strict=True)
    found = {int(j): int(i) for i, j in pairs if gaps[i, j] <= ACCESS.mark_mm}
    orifices = []
    for number, canal in enumerate(tooth.canals):
        mark = found.get(number)
        at = (float(true[number, 0]), float(true[number, 1]))
        off = None if mark is None else float(gaps[mark, number])
        said = (
            f"{_place(tooth, number, true)}; {_law_for(tooth, number)}"
            if off is None
            else f"the mark lies {off:.1f} mm from orifice {canal.name}"
        )
        orifices.append(OrificeMark(canal.name, None if mark is None else mark + 1, off, at, said))
    false = tuple(n + 1 for n in range(len(given)) if n not in found.values())
    return MarksJudged(tuple(orifices), false, _laws_kept(tooth, given))


def _crown_places(tooth: Tooth, places: Plane) -> Plane:
    frame = map_frame(tooth)
    return np.asarray(places * [frame.x_right, frame.along_down])


def _neck_middle(tooth: Tooth) -> Plane:
    """The middle of the tooth at its neck, which is the crown frame's origin, on the map."""
    return np.asarray(map_frame(tooth).on_map(np.zeros((1, 3)))[0])


def _place(tooth: Tooth, number: int, true: Plane) -> str:
    canal = tooth.canals[number]
    off = _crown_places(tooth, true[number] - _neck_middle(tooth))
    if map_frame(tooth).seen_from != "above":
        return f"orifice {canal.name} lies {abs(off[1]):.1f} mm {'above' if off[1] > 0 else 'below'} the neck"
    side = side_of(off, upper=tooth.is_upper)
    return f"orifice {canal.name} lies {np.hypot(*off):.1f} mm {side} of the tooth's middle at the neck"


def _law_for(tooth: Tooth, number: int) -> str:
    """The law that leads to a missed orifice, with this tooth's numbers."""
    canal = tooth.canals[number]
    others = [other for other in tooth.canals if other.name != canal.name and other.root == canal.root]
    laws = {law.name: law.says for law in laws_of(tooth.number)}
    if others and "mirror line" in laws:
        other = others[0]
        return (
            f"orifices of one root lie as far from the mesio-distal line on either side: {other.name} lies "
            f"{abs(other.orifice_mm[1]):.1f} mm to its {_cheek_or_tongue(tooth, other.orifice_mm[1])} side, so look on "
            f"the other ({_SOURCE})"
        )
    if others:
        other = others[0]
        gap = np.array(canal.orifice_mm) - np.array(other.orifice_mm)
        return (
            f"it lies {np.hypot(*gap):.1f} mm {side_of(gap, upper=tooth.is_upper)} of {other.name}, where wall and "
            f"floor meet; the laws of symmetry do not hold in upper molars ({_SOURCE})"
        )
    return f"orifices lie where floor and wall meet, at the corners of that edge ({_SOURCE})"


_SOURCE = "Krasner and Rankow, J Endod 2004;30:5-16"


def _cheek_or_tongue(tooth: Tooth, y_mm: float) -> str:
    return "buccal" if y_mm < 0 else "palatal" if tooth.is_upper else "lingual"


def _laws_kept(tooth: Tooth, marks: Plane) -> tuple[tuple[str, float, bool, str], ...]:
    """Laws that marks alone can be held against: the floor's middle, and the mirror line where it holds."""
    if len(marks) < 2 or map_frame(tooth).seen_from != "above":
        return ()
    x, y = _crown_places(tooth, marks - _neck_middle(tooth)).T
    middle = np.array([x.min() + x.max(), y.min() + y.max()]) / 2
    off = float(np.hypot(*middle))
    kept = off <= 2 * ACCESS.law_mm  # a middle of extremes moves with a single mark
    out = [
        (
            "centre",
            off,
            kept,
            f"the middle of the marks lies {off:.1f} mm off the tooth's middle at the neck; the floor is central "
            f"there ({_SOURCE})",
        )
    ]
    if any(law.name == "mirror line" for law in laws_of(tooth.number)) and (y < 0).any() and (y > 0).any():
        apart = abs(float(y.max() + y.min()))
        out.append(
            (
                "mirror line",
                apart,
                apart <= ACCESS.law_mm,
                f"the outermost marks lie {-y.min():.1f} mm buccal and {y.max():.1f} mm lingual of the mesio-distal "
                f"line, which differ by {apart:.1f} mm; orifices lie as far from it on either side ({_SOURCE})",
            )
        )
    return tuple(out)
