"""What a chart names along a canal: bends, prepared end, foramen, walls, and every harm with the move that did it."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _

from assess.presenting.chart_sides import Sides
from casebank.instruments import Lumen, Shape, Step, damage
from casebank.instruments.lumen import STRAIGHT_PER_MM
from casebank.instruments.teaching import TEACHING

SAME_PLACE_MM = 0.5
IN_PLANE_SHARE = 0.5  # of a bend towards one side, from which it counts as seen in the drawing
FURCATION = (damage.FURCATION_THIN, damage.FURCATION_HOLED)
OUTER = (damage.OUTER_THIN, damage.OUTER_HOLED)
FORAMEN = (damage.FORAMEN_WIDENED, damage.FORAMEN_TORN)


@dataclass(frozen=True)
class Harm:
    """One harm of one move, and how deep below the orifice it was done."""

    number: int
    event: str
    depth_mm: float


@dataclass(frozen=True)
class Mark:
    """One thing along the canal: a word for the drawing, a sentence beside it, and the moves that did it."""

    depth_mm: float
    word: str
    sentence: str
    numbers: tuple[int, ...] = ()
    side: int = 0  # -1 the furcation's wall, 1 the other, 0 the canal

    @property
    def is_harm(self) -> bool:
        return bool(self.numbers)


def harms_of(step: Step) -> tuple[Harm, ...]:
    return tuple(Harm(step.number, event, _where(event, step)) for event in step.events)


def marks(now: Lumen, steps: Iterable[Step], sides: Sides) -> tuple[Mark, ...]:
    """Everything to be named in a canal after some of its steps, from the orifice down."""
    harms = [harm for step in steps for harm in harms_of(step)]
    named = [
        *_bends(now.shape, sides),
        *_walls(now, harms, sides),
        *_notches(now, harms),
        *_mud(now),
        *_fragment(now, harms),
        *_end(now),
        *_filling(now),
        _foramen(now, harms),
        *_others(harms),
    ]
    return tuple(sorted(named, key=lambda mark: mark.depth_mm))


def watched(lumen: Lumen) -> slice:
    """Levels whose walls are watched: near the foramen every wall is thin."""
    return slice(0, lumen.count_to(lumen.shape.length_mm - TEACHING.wall_watch_ends_mm))


def bends_of(shape: Shape) -> list[tuple[float, float, float, float, float]]:
    """Each bend: from and to (mm below the orifice), angle (degrees), sharpest radius (mm), share to the furcation."""
    bent = shape.bend_per_mm > STRAIGHT_PER_MM
    parts = shape.bend_furcation_per_mm, shape.bend_across_per_mm
    turns_back = sum(part[1:] * part[:-1] for part in parts) < 0
    starts = np.flatnonzero(np.r_[True, (bent[1:] != bent[:-1]) | turns_back])
    ends = np.r_[starts[1:], bent.size]
    found = []
    for start, end in zip(starts, ends, strict=True):
        if bent[start]:
            here = slice(int(start), int(end))
            inward, across = (float(part[here].sum()) * shape.step_mm for part in parts)
            angle = float(np.hypot(inward, across))
            sharpest = 1 / float(shape.bend_per_mm[here].max())
            from_mm, to_mm = float(shape.levels_mm[start]), float(shape.levels_mm[end - 1])
            found.append((from_mm, to_mm, float(np.degrees(angle)), sharpest, inward / angle if angle else 0.0))
    return found


def _bends(shape: Shape, sides: Sides) -> list[Mark]:
    found = []
    for from_mm, to_mm, angle_deg, radius_mm, share in bends_of(shape):
        if abs(share) < IN_PLANE_SHARE:
            side = _("out of the plane of this drawing")
        else:
            side = sides.to_furcation if share > 0 else sides.to_outer
        sentence = _("Bend of %(angle).0f° %(side)s, sharpest radius %(radius).1f mm.")
        words = {"angle": angle_deg, "side": side, "radius": radius_mm}
        found.append(Mark((from_mm + to_mm) / 2, _("bend %(angle).0f°") % words, sentence % words))
    return found


def _walls(now: Lumen, harms: list[Harm], sides: Sides) -> list[Mark]:
    """The thinner of both walls, and any that was harmed."""
    seen = watched(now)
    both = (
        (now.furcation_mm[seen], now.shape.furcation_mm[seen], FURCATION, -1, sides.furcation_wall),
        (now.outer_mm[seen], now.shape.outer_mm[seen], OUTER, 1, sides.outer_wall),
    )
    thinnest = min(float(wall.min()) for wall, *_rest in both)
    found = []
    for wall, was, events, side, name in both:
        numbers = _by(harms, events)
        at, least = int(wall.argmin()), float(wall.min())
        if not numbers and least > thinnest:
            continue
        words = {"name": name, "now": max(0.0, least), "was": float(was[at])}
        sentence = _("%(name)s, where it is thinnest: %(now).2f mm, was %(was).2f mm.") % words
        word = _("wall %(now).2f mm") % words
        if numbers:
            word = _("wall holed") if least <= 0 else _("strip risk")
        found.append(Mark(float(now.shape.levels_mm[at]), word, sentence, numbers, side))
    return found


def _notches(now: Lumen, harms: list[Harm]) -> list[Mark]:
    found = []
    for notch in now.notches:
        lies_outside = float(np.interp(notch.at_mm, now.shape.levels_mm, now.shape.toward_furcation)) >= 0
        is_ledge = notch.depth_mm >= TEACHING.ledge_mm
        numbers = _by(harms, (damage.LEDGE,), notch.at_mm) if is_ledge else ()
        sentence = _("Ledge, %(mm).2f mm deep.") if is_ledge else _("Notch in the wall, %(mm).2f mm deep, no ledge.")
        word = _("ledge") if is_ledge else _("notch")
        found.append(Mark(notch.at_mm, word, sentence % {"mm": notch.depth_mm}, numbers, 1 if lies_outside else -1))
    return found


def _mud(now: Lumen) -> list[Mark]:
    lies = np.flatnonzero(now.packed_mm3 > TEACHING.mud_share * now.cell_mm3)
    if not lies.size:
        return []
    levels = now.shape.levels_mm
    sentence = _("Packed dentine mud, %(mm3).3f mm³ in all.") % {"mm3": float(now.packed_mm3.sum())}
    return [Mark(float((levels[lies[0]] + levels[lies[-1]]) / 2), _("mud"), sentence)]


def _fragment(now: Lumen, harms: list[Harm]) -> list[Mark]:
    if now.fragment is None:
        return []
    sentence = _("Piece of a %(file)s, %(mm)g mm long; its upper end lies here.")
    words = {"file": now.fragment.instrument, "mm": TEACHING.fragment_mm}
    return [Mark(now.fragment.top_mm, _("fragment"), sentence % words, _by(harms, (damage.SEPARATED,)))]


def _end(now: Lumen) -> list[Mark]:
    if now.terminus is None:
        return []
    off_mm = now.terminus.at_mm - now.shape.working_depth_mm
    words = {
        "size": now.terminus.size,
        "taper": round(now.terminus.taper * 100),
        "off": abs(off_mm),
        "side": _("beyond") if off_mm > 0 else _("short of"),
    }
    sentence = _("Prepared end: a %(size)02d/.%(taper)02d went here.")
    if abs(off_mm) >= 0.05:
        sentence = _("Prepared end: a %(size)02d/.%(taper)02d went here, %(off).1f mm %(side)s the reference length.")
    return [Mark(now.terminus.at_mm, _("end %(size)02d/.%(taper)02d") % words, sentence % words)]


def _filling(now: Lumen) -> list[Mark]:
    fill = now.contents.fill
    if fill is None:
        return []
    sentence = _("Filling ends here, %(mm).1f mm short of the foramen.")
    if fill.short_mm < 0:
        sentence = _("Filling ends here, %(mm).1f mm beyond the foramen.")
    return [Mark(fill.end_mm, _("filling"), sentence % {"mm": abs(fill.short_mm)})]


def _foramen(now: Lumen, harms: list[Harm]) -> Mark:
    numbers = _by(harms, FORAMEN)
    torn = any(harm.event == damage.FORAMEN_TORN for harm in harms)
    words = {"was": float(now.shape.width_mm[-1]), "now": float(now.width_mm[-1])}
    sentence = _("Foramen, %(now).2f mm wide, was %(was).2f mm.") % words
    word = _("foramen torn") if torn else _("foramen wider") if numbers else _("foramen")
    return Mark(now.shape.length_mm, word, sentence, numbers)


def _others(harms: list[Harm]) -> list[Mark]:
    """Harm that leaves no trace in the canal's form; that of several moves in one place is named once."""
    traced = (damage.LEDGE, damage.SEPARATED, *FURCATION, *OUTER, *FORAMEN)
    named = {
        damage.STRESSED: (_("file stressed"), _("The instrument was stressed near its limit.")),
        damage.BRUSHED_TOWARD: (_("brushed"), _("Brushed towards the furcation.")),
        damage.IRRIGANT_FORCED: (_("rinse forced"), _("Irrigant was forced ahead of a bound needle.")),
    }
    found: list[Mark] = []
    for event in dict.fromkeys(harm.event for harm in harms if harm.event not in traced):
        rest = [harm for harm in harms if harm.event == event]
        word, sentence = named.get(event, (event, f"{event[:1].upper()}{event[1:]}."))
        while rest:
            here = [harm for harm in rest if abs(harm.depth_mm - rest[0].depth_mm) <= SAME_PLACE_MM]
            found.append(Mark(here[-1].depth_mm, word, sentence, tuple(harm.number for harm in here)))
            rest = [harm for harm in rest if harm not in here]
    return found


def _by(harms: list[Harm], events: tuple[str, ...], at_mm: float | None = None) -> tuple[int, ...]:
    """Numbers of the moves that did one of these, anywhere or in one place."""
    return tuple(
        dict.fromkeys(
            harm.number
            for harm in harms
            if harm.event in events and (at_mm is None or abs(harm.depth_mm - at_mm) < 0.05)
        )
    )


def _where(event: str, step: Step) -> float:
    """Depth below the orifice at which a step did something; where the tip stood if it left no trace elsewhere."""
    after, levels = step.after, step.after.shape.levels_mm
    places: dict[str, float | None] = dict.fromkeys(FORAMEN, after.shape.length_mm)
    places |= dict.fromkeys(FURCATION, float(levels[int(after.furcation_mm[watched(after)].argmin())]))
    places |= dict.fromkeys(OUTER, float(levels[int(after.outer_mm[watched(after)].argmin())]))
    places[damage.SEPARATED] = after.fragment.top_mm if after.fragment else None
    places[damage.LEDGE] = next(iter(_ledges(after) - _ledges(step.before)), None)
    places[damage.STRESSED] = next((why.level_mm for why in step.why if why.cause == "fatigue"), None)
    place = places.get(event)
    return step.reach.tip_mm if place is None else place


def _ledges(lumen: Lumen) -> set[float]:
    return {notch.at_mm for notch in lumen.notches if notch.depth_mm >= TEACHING.ledge_mm}
