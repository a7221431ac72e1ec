"""What truly happened in one move, for feedback: where the tip stood, why, by which law and numbers, and what changed.

For settled attempts only: every sentence tells what the hand could not know.
"""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.presenting.chart_marks import watched
from assess.presenting.chart_sides import Sides
from casebank.instruments import Number, Step, Why
from casebank.instruments.record import entered

NEAR_FORAMEN_MM = 3.0
FELT_CHANGE_MM = 0.005
CAUSES = {
    "tip": gettext_lazy("The tip met a canal narrower than it could follow."),
    "body": gettext_lazy("The instrument's body gripped the walls above the tip."),
    "curve": gettext_lazy("The bend took up the push: a stiff file springs back there."),
    "buckle": gettext_lazy("The thin file bowed under the push instead of going on."),
    "stuck tip": gettext_lazy("The stuck tip dug into the wall that it leaned on."),
    "thin wall": gettext_lazy("What was cut left a thin wall."),
    "holed wall": gettext_lazy("More was cut than the wall was thick."),
    "cut at the foramen": gettext_lazy("The instrument cut where the canal leaves the root."),
    "brushed wall": gettext_lazy("The brushing took from the wall that it leaned on."),
    "mud": gettext_lazy("Packed dentine mud lay in the way."),
    "chips": gettext_lazy("The flutes were full: more chips than the canal had room for."),
    "ledge": gettext_lazy("The tip stood on a ledge."),
    "fragment": gettext_lazy("The tip stood on a separated piece."),
    "needle": gettext_lazy("How deep this needle could have gone."),
    "length": gettext_lazy("What the reading was made of."),
    "gauge": gettext_lazy("The first level that is as wide as the gauge there held it."),
    "cone": gettext_lazy("The first level that is as wide as the cone there held it."),
    "trial instrument": gettext_lazy("The first level that is as wide as the trial instrument there held it."),
    "filling": gettext_lazy("How far the filling went, and how dense it is."),
    "film": gettext_lazy("What the film could show: the tip against the root's own end."),
    "metal": gettext_lazy("Metal was touched, and the current left through it."),
    "perforation": gettext_lazy("The current left through a hole in the wall."),
    "blood": gettext_lazy("The canal bled, and the reading wandered."),
    "fatigue": gettext_lazy("Turning in the bend used up some of the file's life."),
    "torsion": gettext_lazy("The tip was held while the file turned."),
}

SYMBOLS = {
    "D0": gettext_lazy("tip diameter"),
    "T": gettext_lazy("taper"),
    "D0 + T·x": gettext_lazy("instrument at that level"),
    "c": gettext_lazy("canal at that level"),
    "a": gettext_lazy("what could be cut there"),
    "V": gettext_lazy("chips"),
    "R": gettext_lazy("room for chips"),
    "s": gettext_lazy("below the orifice"),
    "p": gettext_lazy("reached below the orifice"),
    "ε": gettext_lazy("strain"),
    "n": gettext_lazy("in this pass"),
    "life": gettext_lazy("of its life, 1 in all"),
    "u": gettext_lazy("of its strength in torsion, 1 in all"),
    "OD": gettext_lazy("outer diameter of the needle"),
    "safe to": gettext_lazy("below the orifice"),
    "canal": gettext_lazy("orifice to foramen"),
    "b": gettext_lazy("depth of a bite for each stroke and newton"),
    "Σ l·n·F": gettext_lazy("lean, strokes and push, summed over the tries there"),
    "h": gettext_lazy("depth of the notch"),
    "limit": gettext_lazy("where harm begins"),
    "w0": gettext_lazy("wall before"),
    "cut": gettext_lazy("taken from the wall"),
    "w": gettext_lazy("wall left"),
    "c0": gettext_lazy("canal there before"),
    "c / c0": gettext_lazy("times as wide as it was"),
    "F": gettext_lazy("push"),
    "F borne": gettext_lazy("push that the file bears"),
    "slack": gettext_lazy("shorter by straightening"),
}


@dataclass(frozen=True)
class Cause:
    """One cause in words, its level from the cusp and below the orifice, its law, and each number with its unit."""

    words: str
    at: str
    below: str
    equation: str
    numbers: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Truth:
    """One move as it was."""

    stood: str
    harm: str
    causes: tuple[Cause, ...]
    changes: tuple[str, ...]


def truth(step: Step, sides: Sides) -> Truth:
    """What a step really did."""
    cusp_mm = step.after.shape.cusp_to_orifice_mm
    return Truth(
        stood=_stood(step),
        harm="; ".join(step.events),
        causes=tuple(_cause(why, cusp_mm) for why in step.why),
        changes=tuple(_changes(step, sides)),
    )


def _stood(step: Step) -> str:
    reach, shape = step.reach, step.after.shape
    if reach.hold == "refused":
        return _("No move was made; the canal is as it was.")
    if not entered(step):
        return _("Nothing went into the canal.")
    if reach.tip_mm <= 0:
        return _("Nothing worked in the canal.")
    said = [_("The tip stood at %(at).1f mm from the cusp.") % {"at": reach.tip_mm + shape.cusp_to_orifice_mm}]
    if reach.hold == "short":
        said.append(_("That is %(mm).1f mm short of its stop.") % {"mm": reach.short_mm})
    off_mm = shape.length_mm - reach.tip_mm
    if off_mm < -FELT_CHANGE_MM:
        said.append(_("It was %(mm).1f mm beyond the foramen.") % {"mm": -off_mm})
    elif off_mm <= FELT_CHANGE_MM:
        said.append(_("It was at the foramen."))
    elif off_mm <= NEAR_FORAMEN_MM:
        said.append(_("The foramen was %(mm).1f mm further.") % {"mm": off_mm})
    return " ".join(said)


def _cause(why: Why, cusp_mm: float) -> Cause:
    return Cause(
        words=str(CAUSES.get(why.cause, why.cause)),
        at=f"{why.level_mm + cusp_mm:.1f}",
        below=f"{why.level_mm:.1f}",
        equation=why.equation,
        numbers=tuple((one.symbol, _figure(one)) for one in why.numbers),
    )


def _figure(number: Number) -> str:
    """A number with its unit, and what its symbol stands for."""
    figure = f"{number.value:.3g}"
    if number.unit not in ("none", "share"):
        figure = f"{figure} {number.unit}"
    return f"{figure} ({SYMBOLS[number.symbol]})" if number.symbol in SYMBOLS else figure


def _changes(step: Step, sides: Sides) -> list[str]:
    before, after = step.before, step.after
    said = []
    gain = after.width_mm - before.width_mm
    at = int(gain.argmax())
    if gain[at] >= FELT_CHANGE_MM:
        level = float(after.shape.levels_mm[at]) + after.shape.cusp_to_orifice_mm
        cut = {"mm": float(gain[at]), "at": level}
        said.append(_("The canal was widened most at %(at).1f mm from the cusp, by %(mm).2f mm.") % cut)
    walls = (
        (sides.furcation_wall, before.furcation_mm, after.furcation_mm),
        (sides.outer_wall, before.outer_mm, after.outer_mm),
    )
    for name, wall_before, wall_after in walls:
        was, now = (max(0.0, float(wall[watched(after)].min())) for wall in (wall_before, wall_after))
        if was - now >= FELT_CHANGE_MM:
            words = {"name": name, "was": was, "now": now}
            said.append(_("%(name)s, where it is thinnest: now %(now).2f mm, was %(was).2f mm.") % words)
    chips_was, chips_now = (float(one.loose_mm3.sum() + one.packed_mm3.sum()) for one in (before, after))
    if abs(chips_now - chips_was) >= 0.001:
        chips = {"was": chips_was, "now": chips_now}
        said.append(_("Chips and mud in the canal: now %(now).3f mm³, was %(was).3f mm³.") % chips)
    return said
