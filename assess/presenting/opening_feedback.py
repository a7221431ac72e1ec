"""What a student's opening came to, laid over what lay under the crown; without one, the usual opening alone.

Called only once results may be seen, and for those who teach: it looks inside the tooth.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from assess.grading.fits import tasks_of
from assess.log import Outlined, State
from assess.presenting.crowns import crown_name
from assess.presenting.drilling import AsDrilled, as_drilled
from assess.presenting.opening_words import (
    Figure,
    Found,
    canal_rows,
    figures,
    found,
    short_words,
)
from casebank.anatomy import AccessPlan, AccessVerdict
from casebank.anatomy.access_marks import MarksJudged
from casebank.anatomy.occlusal import map_frame
from casebank.casefile import Document
from casebank.casefile.chamber_map import chamber_map
from casebank.casefile.drawn_outline import Pin, drawn_marks, drawn_outline, drawn_pins
from casebank.casefile.opened import drawn_plan, judged, usual_plan_of


@dataclass(frozen=True)
class OrificeRow:
    """One orifice: its place in words, and which mark stands for it."""

    canal: str
    mark: str
    said: str


@dataclass(frozen=True)
class OpeningFeedback:
    """An opening with its map and figures. `task` is the task it answers; `drawn` whether the student drew one."""

    task: str
    drawn: bool
    drawing: SafeString
    in_short: str
    usual_in_short: str
    line: str
    found: tuple[Found, ...]
    figures: tuple[Figure, ...]
    canals: tuple[Figure, ...]
    orifices: tuple[OrificeRow, ...]
    stray: str
    laws: tuple[tuple[bool, str], ...]
    drilled: AsDrilled | None


def opening_feedback(document: Document, state: State | None = None) -> OpeningFeedback | None:
    """Everything a page shows of an opening; none where the rubric asks for no outline.

    Without a state, or where nothing was drawn, it is the usual opening's alone.
    """
    task = next((task.id for task in tasks_of(document) if task.criterion.kind == "outline"), None)
    if task is None:
        return None
    answer = state.answers.get(task) if state else None
    said = answer if isinstance(answer, Outlined) else None
    usual = usual_plan_of(document)
    plan = drawn_plan(document, said.outline_mm, said.orifices_mm) if said else usual
    ours, theirs = judged(document, usual), judged(document, plan)
    entries = found(theirs, ours if said else None)
    return OpeningFeedback(
        task=task,
        drawn=said is not None,
        drawing=mark_safe(
            chamber_map(document.anatomy, crown_name(document), _over(document, said, usual.outline, theirs, entries))
        ),
        in_short=short_words(theirs),
        usual_in_short=short_words(ours),
        line=_line_words(ours, usual) if said is None else _apart_words(ours),
        found=entries,
        figures=figures(theirs if said else None, ours),
        canals=canal_rows(theirs if said else None, ours),
        orifices=_orifice_rows(theirs.marks),
        stray=", ".join(_letter(number) for number in theirs.marks.false),
        laws=tuple((kept, says) for _name, _size, kept, says in theirs.marks.laws),
        drilled=as_drilled(document, state, said) if said and state else None,
    )


def _over(
    document: Document,
    said: Outlined | None,
    usual: Sequence[tuple[float, float]],
    verdict: AccessVerdict,
    entries: Sequence[Found],
) -> list[str]:
    """What is drawn over the chamber: both outlines, the marks, and the findings' places."""
    frame = map_frame(document.anatomy.tooth)
    parts = drawn_outline(usual, "usual")
    if said is not None:
        parts += drawn_outline(said.outline_mm, "own", numbered=True)
        parts += drawn_marks(said.orifices_mm, _mark_names(verdict.marks, len(said.orifices_mm)))
    return parts + drawn_pins([Pin(one.number, one.at_mm, one.weighs) for one in entries if one.at_mm], frame)


def _mark_names(marks: MarksJudged, count: int) -> list[str]:
    """What stands beside each mark: its letter, and the orifice it stands for."""
    meant = {one.mark: f" {one.canal}" for one in marks.orifices if one.mark is not None}
    return [f"{_letter(number)}{meant.get(number, '')}" for number in range(1, count + 1)]


def _letter(mark: int) -> str:
    """What a mark is called, since findings and corners have numbers; at most twelve are set.

    >>> _letter(1), _letter(12)
    ('a', 'l')
    """
    return chr(ord("a") + mark - 1)


def _orifice_rows(marks: MarksJudged) -> tuple[OrificeRow, ...]:
    return tuple(
        OrificeRow(
            one.canal,
            _("not marked")
            if one.off_mm is None
            else _("mark %(mark)s, %(off).1f mm off") % {"mark": _letter(one.mark or 1), "off": one.off_mm},
            "" if one.off_mm is not None else f"{capfirst(one.reason)}.",
        )
        for one in marks.orifices
    )


def _line_words(usual: AccessVerdict, plan: AccessPlan) -> str:
    """Along which line and how deep the usual opening is cut."""
    return _("Cut along a line %(bur).0f° off the roots, %(depth).1f mm below the crown's highest point.") % {
        "bur": usual.axis.bur_deg,
        "depth": plan.depth_mm,
    }


def _apart_words(usual: AccessVerdict) -> str:
    """Along which line every opening of this tooth is judged."""
    return _(
        "Judged along the line and to the depth of the usual opening, %(bur).0f° off the roots: line and depth are "
        "asked apart, and an answer there changes nothing here."
    ) % {"bur": usual.axis.bur_deg}
