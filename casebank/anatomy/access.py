"""An opening cut into a crown, judged: canals reached, tissue gone, walls left, the roof, the axis, orifice marks.

A verdict is a pure function of a prepared tooth and a plan. It looks inside the tooth, and so does `usual_plan`:
nothing of either may leave the server before the case is committed and self-graded.
"""

from dataclasses import asdict, dataclass
from typing import Any

from casebank.anatomy.access_axis import AxisMismatch, axis_mismatch, of_axis
from casebank.anatomy.access_cut import Cut, cut_by
from casebank.anatomy.access_findings import (
    AccessFinding,
    AccessLevel,
    of_opening,
    of_perforations,
    of_reach,
    of_removal,
    of_roof,
    of_walls,
)
from casebank.anatomy.access_marks import MarksJudged, judge_marks
from casebank.anatomy.access_plan import AccessPlan
from casebank.anatomy.access_prepared import Prepared
from casebank.anatomy.access_reach import Reach, reaches
from casebank.anatomy.access_walls import WallsLeft, walls_left

TELLING = 0.25  # a finding with less than this share decides what an opening is called
TOO_SMALL, RIGHT, TOO_LARGE, GOUGED = "too small", "right", "too large", "gouged"


@dataclass(frozen=True)
class AccessVerdict:
    """All that an opening did.

    Attributes
    ----------
    opened : bool
        Whether the bur came into the chamber.
    canals : tuple of Reach
    volumes_mm3 : dict
        Cut away: enamel, dentine, prosthesis, filling, caries; `needed` of them all, `beyond` what was not, without
        caries; `need` is what the tooth asked for.
    walls : WallsLeft
    roof_left_mm2, roof_mm2 : float
        Of the chamber's roof, seen along the bur.
    axis : AxisMismatch
    marks : MarksJudged
    findings : tuple of AccessFinding
        The gravest first.
    """

    opened: bool
    canals: tuple[Reach, ...]
    volumes_mm3: dict[str, float]
    walls: WallsLeft
    roof_left_mm2: float
    roof_mm2: float
    axis: AxisMismatch
    marks: MarksJudged
    findings: tuple[AccessFinding, ...]

    @property
    def level(self) -> AccessLevel:
        """The gravest level of any finding."""
        return max(finding.level for finding in self.findings)

    @property
    def in_short(self) -> str:
        """ "gouged", "too small", "too large" or "right", the gravest that fits."""
        grave = {finding.kind for finding in self.findings if finding.level == AccessLevel.UNSAFE}
        if grave & {"perforation", "root wall", "furcation"}:
            return GOUGED
        costly = {finding.kind for finding in self.findings if finding.share < TELLING}
        if costly & {"reach", "opened", "roof"}:
            return TOO_SMALL
        return TOO_LARGE if costly & {"removed", "crown wall", "root wall", "furcation"} else RIGHT

    @property
    def costs(self) -> tuple[str, ...]:
        """The sentences of the findings that keep it from being right, the gravest first."""
        return tuple(one.reason for one in self.findings if one.share < TELLING and one.kind != "axis")

    def record(self) -> dict[str, Any]:
        """The same as plain values for JSON, lengths to 0.001 mm."""
        return {
            "in_short": self.in_short,
            "level": int(self.level),
            "opened": self.opened,
            "canals": [_plain(asdict(reach)) for reach in self.canals],
            "volumes_mm3": _plain(self.volumes_mm3),
            "walls": _plain(asdict(self.walls)),
            "roof_left_mm2": round(self.roof_left_mm2, 3),
            "roof_mm2": round(self.roof_mm2, 3),
            "axis": _plain(asdict(self.axis)),
            "marks": _plain(asdict(self.marks)),
            "findings": [_plain(finding.record()) for finding in self.findings],
        }


def judge_access(prepared: Prepared, plan: AccessPlan) -> AccessVerdict:
    """Judge an opening.

    Parameters
    ----------
    prepared : Prepared
        The tooth, prepared for the plan's axis.
    plan : AccessPlan

    Raises
    ------
    ValueError
        In a sentence, if the outline leaves the crown or the tooth was prepared for another axis.
    """
    cut = cut_by(prepared, plan)
    canals, walls, axis = reaches(cut), walls_left(cut), axis_mismatch(cut)
    volumes = _volumes(cut)
    findings = [of_opening(cut, plan.depth_mm), *(of_reach(cut, reach) for reach in canals), of_roof(cut)]
    findings += [of_removal(cut, _sound(volumes)), *of_walls(cut, walls), *of_perforations(cut)]
    if (leaning := of_axis(cut, axis)) is not None:
        findings.append(leaning)
    cell = prepared.block.pitch_mm**2
    return AccessVerdict(
        cut.opened,
        canals,
        volumes,
        walls,
        float(cut.roof_left.sum()) * cell,
        float(prepared.roof.sum()) * cell,
        axis,
        judge_marks(prepared.block.tooth, plan.marks),
        tuple(sorted(findings, key=lambda finding: -finding.level)),
    )


def _sound(volumes: dict[str, float]) -> float:
    """Hard tissue that nobody had to lose: all but caries."""
    return sum(volumes[name] for name in ("enamel", "dentine", "prosthesis", "filling"))


def _volumes(cut: Cut) -> dict[str, float]:
    got = cut.volumes_mm3
    return got | {"beyond": max(0.0, _sound(got) - got["needed"]), "need": cut.prepared.need_mm3}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return round(value, 3) if isinstance(value, float) else value
