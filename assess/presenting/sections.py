"""The limited volume of an attempt: the reasons and doses beside its request, and three sections to leaf through."""

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from casebank.anatomy import Anatomy
from casebank.radiograph.cone_beam import reason_of, reasons
from casebank.radiograph.slice_planes import PLANES, Cut, PlaneName, Volume, grid_of, reach_mm, runs_along_arch, traces

VOLUME = Volume()
STEP_MM = 0.3  # two voxels: between two places a section is not seen to change
THICK_MM = (0.15, 0.6, 1.5)
NAMES = {"axial": gettext_lazy("Axial"), "coronal": gettext_lazy("Coronal"), "sagittal": gettext_lazy("Sagittal")}


@dataclass(frozen=True)
class ReasonOffered:
    slug: str
    words: str


@dataclass(frozen=True)
class OtherPlane:
    """The line of another plane on a section; `at` in user units of a drawing 100 wide and 100 high."""

    plane: PlaneName
    upright: bool
    at: float
    offset_mm: float
    per_mm: float


@dataclass(frozen=True)
class Section:
    """One section as it is shown: place, sides and where the other planes cross it."""

    plane: PlaneName
    name: str
    at_mm: float
    least_mm: float
    most_mm: float
    picture_url: str
    words: str
    zero_words: str
    up_words: str
    down_words: str
    left: str
    right: str
    top: str
    bottom: str
    width: int
    height: int
    lines: tuple[OtherPlane, ...]


def reasons_offered(seed: int) -> tuple[ReasonOffered, ...]:
    """Every reason in an order drawn for the attempt; nothing says which of them justify."""
    offered = [ReasonOffered(one.slug, _(one.words)) for one in reasons()]
    return tuple(random.Random(seed).sample(offered, len(offered)))


def reason_words(slug: str) -> str:
    return _(reason_of(slug).words)


def places(anatomy: Anatomy, wanted: Mapping[str, str]) -> dict[PlaneName, float]:
    """Where each plane lies, mm, by what a page asks for; the middle of the volume where it asks for nothing usable."""
    return {plane: placed(anatomy, plane, wanted.get(plane, "")) for plane in PLANES}


def placed(anatomy: Anatomy, plane: PlaneName, wanted: str) -> float:
    """One plane's place on the steps there are, kept inside the volume."""
    least, most = steps(anatomy, plane)
    try:
        at_mm = float(wanted)
    except ValueError:
        at_mm = math.nan
    if not math.isfinite(at_mm):
        at_mm = sum(reach_mm(anatomy, plane, VOLUME)) / 2
    return round(min(most, max(least, round(at_mm / STEP_MM) * STEP_MM)), 1)


def thickness(wanted: str) -> float:
    """A thickness there is; the thinnest where none of them is asked for."""
    return next((thick for thick in THICK_MM if f"{thick:g}" == wanted), THICK_MM[0])


def steps(anatomy: Anatomy, plane: PlaneName) -> tuple[float, float]:
    """The first and the last place of a plane within the volume, mm."""
    least, most = reach_mm(anatomy, plane, VOLUME)
    inside = 1e-9
    return (
        round(math.ceil((least + inside) / STEP_MM) * STEP_MM, 1),
        round(math.floor((most - inside) / STEP_MM) * STEP_MM, 1),
    )


def section(anatomy: Anatomy, plane: PlaneName, at: Mapping[PlaneName, float], picture_url: str) -> Section:
    """One of the three sections, all of them at their places."""
    grid, sides = grid_of(anatomy, Cut(plane, at[plane]), VOLUME)
    least, most = steps(anatomy, plane)
    up, down = _directions(anatomy, plane)
    return Section(
        plane=plane,
        name=str(NAMES[plane]),
        at_mm=at[plane],
        least_mm=least,
        most_mm=most,
        picture_url=picture_url,
        words=place_words(anatomy, plane, at[plane]),
        zero_words=_zero(plane),
        up_words=up,
        down_words=down,
        left=_(sides.left),
        right=_(sides.right),
        top=_(sides.top),
        bottom=_(sides.bottom),
        width=grid.columns,
        height=grid.rows,
        lines=tuple(
            OtherPlane(
                one.plane,
                one.upright,
                round(100 * one.share(at[one.plane]), 2),
                one.offset_mm,
                round(100 * one.sign / one.size_mm, 4),
            )
            for one in traces(anatomy, plane, VOLUME)
        ),
    )


def place_words(anatomy: Anatomy, plane: PlaneName, at_mm: float) -> str:
    """Where a section lies, as a reader says it."""
    if at_mm == 0:
        return _zero(plane)
    up, down = _directions(anatomy, plane)
    return f"{abs(at_mm):.1f} mm {up if at_mm > 0 else down}"


def _zero(plane: PlaneName) -> str:
    return _("at the neck") if plane == "axial" else _("through the middle")


def _directions(anatomy: Anatomy, plane: PlaneName) -> tuple[str, str]:
    """What a plane's place counts from, above 0 and below."""
    if plane == "axial":
        return _("occlusal of the neck"), _("apical of the neck")
    if runs_along_arch(plane, anatomy.tooth.number):
        inner = _("palatal of the middle") if anatomy.tooth.is_upper else _("lingual of the middle")
        return inner, _("buccal of the middle")
    return _("distal of the middle"), _("mesial of the middle")
