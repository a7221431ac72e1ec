"""The verdict on an opening in words and figures, beside the usual opening of the same tooth."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from casebank.anatomy import AccessFinding, AccessLevel, AccessVerdict
from casebank.anatomy.access_reach import Reach
from casebank.anatomy.access_walls import Wall

SHORT = {
    "right": gettext_lazy("right"),
    "too small": gettext_lazy("too small"),
    "too large": gettext_lazy("too large"),
    "gouged": gettext_lazy("gouged"),
}
LEVELS = {
    AccessLevel.AS_NEEDED: gettext_lazy("as needed"),
    AccessLevel.COSTS: gettext_lazy("costs something"),
    AccessLevel.UNSAFE: gettext_lazy("unsafe"),
}
THINGS = {
    "reach": gettext_lazy("Way into canal %(subject)s"),
    "opened": gettext_lazy("Depth of the chamber's roof"),
    "roof": gettext_lazy("Roof left standing"),
    "removed": gettext_lazy("Hard tissue beyond need"),
    "crown wall": gettext_lazy("Wall of the crown, %(subject)s"),
    "root wall": gettext_lazy("Wall of the root, %(subject)s"),
    "furcation": gettext_lazy("Floor over the furcation"),
    "perforation": gettext_lazy("Hole in the tooth, %(subject)s"),
}
TISSUES = {
    "enamel": gettext_lazy("Enamel removed"),
    "dentine": gettext_lazy("Dentine removed"),
    "prosthesis": gettext_lazy("Crown or bridge removed"),
    "filling": gettext_lazy("Filling removed"),
    "caries": gettext_lazy("Decay removed"),
}
SAME = 0.005  # of a share: what the usual opening costs as well


@dataclass(frozen=True)
class Found:
    """One finding as a row and a pin. `weighs`: more than as needed; `usual_too`: the usual opening costs no less."""

    number: int
    what: str
    size: str
    level: str
    reason: str
    weighs: bool
    unsafe: bool
    usual_too: bool
    at_mm: tuple[float, float] | None


@dataclass(frozen=True)
class Figure:
    """One line of a table: what it is of the student's opening, and of the usual one. Empty where none was drawn."""

    name: str
    own: tuple[str, ...]
    usual: tuple[str, ...]


def short_words(verdict: AccessVerdict) -> str:
    """The sum in words."""
    return str(SHORT[verdict.in_short])


def found(verdict: AccessVerdict, usual: AccessVerdict | None) -> tuple[Found, ...]:
    """The findings by number, the gravest first. That of the line is left out: the line is asked apart."""
    shares = {(one.kind, one.subject): one.share for one in usual.findings} if usual else {}
    shares |= {(one.kind, ""): one.share for one in usual.findings if one.kind != "reach"} if usual else {}
    return tuple(
        _found(number, one, shares)
        for number, one in enumerate((one for one in verdict.findings if one.kind in THINGS), 1)
    )


def _found(number: int, one: AccessFinding, shares: dict[tuple[str, str], float]) -> Found:
    weighs = one.level > AccessLevel.AS_NEEDED
    usual = shares.get((one.kind, one.subject if one.kind == "reach" else ""), 1.0)
    return Found(
        number=number,
        what=THINGS[one.kind] % {"subject": one.subject},
        size=_("no way in") if one.size is None else _size(one.size, one.unit),
        level=str(LEVELS[one.level]),
        reason=one.reason,
        weighs=weighs,
        unsafe=one.level == AccessLevel.UNSAFE,
        usual_too=weighs and usual <= one.share + SAME,
        at_mm=one.at_mm,
    )


def figures(own: AccessVerdict | None, usual: AccessVerdict) -> tuple[Figure, ...]:
    """Volumes, roof and walls of both openings."""
    mine = dict(_figures(own)) if own else {}
    theirs = dict(_figures(usual))
    return tuple(
        Figure(name, (mine.get(name, _("none")),) if own else (), (theirs.get(name, _("none")),))
        for name in dict.fromkeys((*mine, *theirs))
    )


def _figures(verdict: AccessVerdict) -> Iterator[tuple[str, str]]:
    volumes = verdict.volumes_mm3
    yield _("Needed for the way to the canals"), _size(volumes["need"], "mm³")
    yield _("Removed of what was needed"), _size(volumes["needed"], "mm³")
    yield _("Removed beyond need"), _size(volumes["beyond"], "mm³")
    for tissue, name in TISSUES.items():
        if volumes[tissue] > 0:
            yield str(name), _size(volumes[tissue], "mm³")
    yield (
        _("Roof left standing"),
        _("%(left).1f of %(whole).1f mm²") % {"left": verdict.roof_left_mm2, "whole": verdict.roof_mm2},
    )
    yield _("Thinnest wall of the crown"), _wall_words(verdict.walls.crown)
    yield _("Thinnest wall of the root"), _wall_words(verdict.walls.root)
    if verdict.walls.furcation:
        yield _("Floor over the furcation"), _size(verdict.walls.furcation.thick_mm, "mm")


def _wall_words(wall: Wall | None) -> str:
    """A wall's thickness and side; "none near" where the cut comes near no such place."""
    return f"{wall.thick_mm:.1f} mm, {wall.side}" if wall else _("none near the cut")


def canal_rows(own: AccessVerdict | None, usual: AccessVerdict) -> tuple[Figure, ...]:
    """Each canal: lean, what is in the way, and the access angle, as it is and with the way clear."""
    mine = {reach.canal: reach for reach in own.canals} if own else {}
    return tuple(
        Figure(reach.canal, _reach_words(mine[reach.canal]) if own else (), _reach_words(reach))
        for reach in usual.canals
    )


def _reach_words(reach: Reach) -> tuple[str, ...]:
    """Reached how, what is in the way, access angle before and after."""
    if reach.lean_deg is None or reach.excess_deg is None:
        reached = _("not reached by a straight shaft")
    else:
        reached = _("reached, %(lean).0f° off its axis, %(excess).0f° more than it must") % {
            "lean": reach.lean_deg,
            "excess": reach.excess_deg,
        }
    way = f"{reach.wall}, {reach.wall_mm:.1f} mm" if reach.wall else _("nothing")
    before = _("no way in") if reach.angle_before_deg is None else f"{reach.angle_before_deg:.0f}°"
    return reached, way, before, f"{reach.angle_after_deg:.0f}°"


def _size(size: float, unit: str) -> str:
    return f"{size:.0f}°" if unit == "°" else f"{size:.1f} {unit}"
