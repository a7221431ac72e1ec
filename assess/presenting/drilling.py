"""An outline together with the line and the depth its student answered: shown, and never graded."""

from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.log import Chose, Measured, Outlined, State
from assess.presenting.opening_words import short_words
from casebank.anatomy import AccessLevel
from casebank.casefile import Document
from casebank.casefile.drilled import Drilled, drilled

LINES = {
    "crown": gettext_lazy("along the middle of the crown as it stands"),
    "roots": gettext_lazy("along the roots"),
    "bite": gettext_lazy("straight down, square to the bite"),
}
LEAST_MM = 0.05


@dataclass(frozen=True)
class AsDrilled:
    """What line, depth and outline come to together; `trouble` alone where they cannot be put together."""

    line: str
    depth: str
    prosthesis: str
    in_short: str = ""
    bur: str = ""
    crown: str = ""
    drift: str = ""
    apart: str = ""
    risks: tuple[str, ...] = ()
    trouble: str = ""


def as_drilled(document: Document, state: State, said: Outlined) -> AsDrilled:
    """The outline along the answered line, to the answered depth, the crown or bridge on or off as answered."""
    line, depth = _chosen(state, "axis"), state.answers.get("chamber-depth")
    floor_mm = depth.value if isinstance(depth, Measured) else None
    removed = document.anatomy.prosthesis is not None and _chosen(state, "prosthesis") == "remove"
    bare = AsDrilled(
        line=str(LINES[line]) if line in LINES else _("no line was answered: along that of the usual opening"),
        depth=_("%(mm).1f mm below the reference cusp or edge") % {"mm": floor_mm}
        if floor_mm is not None
        else _("no depth was answered: that of the usual opening"),
        prosthesis=_prosthesis_words(document, removed),
    )
    try:
        cut = drilled(
            document, said.outline_mm, line=line if line in LINES else None, floor_mm=floor_mm, removed=removed
        )
    except ValueError as trouble:
        words = str(trouble)
        return AsDrilled(bare.line, bare.depth, bare.prosthesis, trouble=f"{capfirst(words)}.")
    return _with_verdict(bare, cut)


def _with_verdict(bare: AsDrilled, cut: Drilled) -> AsDrilled:
    verdict, axis = cut.verdict, cut.verdict.axis
    line = bare.line
    if cut.leant_deg:
        line = _("%(line)s, leant %(deg).0f° to the tongue's side, as the way in through this face asks") % {
            "line": line,
            "deg": cut.leant_deg,
        }
    return AsDrilled(
        line=line,
        depth=bare.depth,
        prosthesis=bare.prosthesis,
        in_short=short_words(verdict),
        bur=f"{axis.bur_deg:.0f}°",
        crown=f"{axis.crown_deg:.0f}°",
        drift=_aside(axis.drift_mm, axis.toward),
        apart=_("%(deg).0f°, %(aside)s") % {"deg": cut.apart_deg, "aside": _aside(cut.apart_mm, cut.toward)},
        risks=tuple(one.reason for one in verdict.findings if one.level == AccessLevel.UNSAFE or one.kind == "axis"),
    )


def _aside(mm: float, toward: str) -> str:
    return f"{mm:.1f} mm {toward}" if toward and mm >= LEAST_MM else f"{mm:.1f} mm"


def _prosthesis_words(document: Document, removed: bool) -> str:
    prosthesis = document.anatomy.prosthesis
    if prosthesis is None:
        return ""
    if removed:
        return _("the %(kind)s taken off first") % {"kind": prosthesis.kind}
    return _("through the %(kind)s") % {"kind": prosthesis.kind}


def _chosen(state: State, task: str) -> str | None:
    answer = state.answers.get(task)
    return answer.values[0] if isinstance(answer, Chose) and answer.values else None
