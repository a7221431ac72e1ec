"""How far fresh irrigant gets into a prepared canal, and how loosely a cone may fit the end it is labelled for.

A needle binds where the lumen is as narrow as the needle is wide; safe is 2 mm and more coronal to that (`measuring`).
Ahead of its tip the irrigant is exchanged over a length that falls with the width of the canal's end. The numbers,
each with its basis, stand in `disinfection.toml`. A figure for teaching: nothing here says that a canal is clean.
"""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from casebank.instruments import iso3630
from casebank.instruments.lumen import Lumen
from casebank.instruments.measuring import safe_needle_mm
from casebank.instruments.moves import Irrigate
from casebank.instruments.observation import NOTHING_SHAPED, Observation
from casebank.instruments.record import Record, Step, is_rinse, shapes
from casebank.instruments.teaching import TEACHING, Note

Vent = Literal["side-vented", "open-ended"]
Activation = Literal["none", "manual", "sonic", "ultrasonic"]

NOTES = {
    name: Note(**entry)
    for name, entry in tomllib.loads(Path(__file__).with_name("disinfection.toml").read_text(encoding="utf-8")).items()
}
ACTIVATIONS: tuple[Activation, ...] = ("none", "manual", "sonic", "ultrasonic")
SAFE_SLACK_MM = 0.05
ROUNDING_MM = 1e-9


@dataclass(frozen=True)
class Reach:
    """How far the exchange of irrigant comes: lengths short of the end, millimetres, with the reason in words.

    Attributes
    ----------
    binds_short_mm : float
        Where the needle binds; 0 if it would go to the end.
    safe_short_mm : float
        Deepest safe place of the needle's tip.
    reach_short_mm : float
        Where the exchange ends; 0 if it comes to the end.
    ahead_mm : float
        Length of the exchange ahead of the needle.
    said : str
    """

    binds_short_mm: float
    safe_short_mm: float
    reach_short_mm: float
    ahead_mm: float
    said: str

    @property
    def reached(self) -> bool:
        return self.reach_short_mm <= _number("reached_mm") + ROUNDING_MM


@dataclass(frozen=True)
class ConePlay:
    """What a label leaves open: a cone within its tolerance may stop short of the end, or slide past it, by so much."""

    short_mm: float
    past_mm: float
    said: str


def binds_short_mm(outer_mm: float, end_mm: float, taper: float) -> float:
    """Distance short of the end at which a needle binds in an evenly tapered canal: (OD - D) / T, at least 0.

    ValueError for widths that are not above 0, or a taper that is not.

    >>> round(binds_short_mm(0.31, 0.25, 0.06), 6)
    1.0
    """
    for what, value in (("a needle's width", outer_mm), ("the width of the end", end_mm), ("a taper", taper)):
        if not 0 < value < np.inf:
            raise ValueError(f"{what} of {value} is none: give a number above 0")
    return max(0.0, (outer_mm - end_mm) / taper)


def ahead_mm(end_mm: float, vent: Vent = "side-vented", activation: Activation = "none") -> float:
    """Length ahead of a needle's tip over which the irrigant is exchanged, where the canal's end is so wide.

    Full from size 30 on, none at 15, evenly in between; longer where the irrigant is activated.
    """
    if not 0 < end_mm < np.inf:
        raise ValueError(f"an end {end_mm} mm wide is none: give a number above 0")
    if activation not in ACTIVATIONS:
        raise ValueError(f"{activation!r} is no activation: use one of {', '.join(ACTIVATIONS)}")
    full_mm = _number("ahead_open_ended_mm" if vent == "open-ended" else "ahead_side_vented_mm")
    narrow_mm, wide_mm = _number("no_exchange_mm"), _number("full_exchange_mm")
    share = min(1.0, max(0.0, (end_mm - narrow_mm) / (wide_mm - narrow_mm)))
    factor = 1.0 if activation == "none" else _number(f"activation_{activation}")
    return full_mm * share * factor


def planned_reach(
    size: int,
    taper: float,
    outer_mm: float = 0.31,
    *,
    vent: Vent = "side-vented",
    activation: Activation = "none",
) -> Reach:
    """How far the exchange would come in a canal prepared evenly to a size and taper, the needle as deep as is safe."""
    end_mm = iso3630.engine_file(size, taper).tip_mm
    binds = binds_short_mm(outer_mm, end_mm, taper)
    safe = binds + TEACHING.needle_back_mm
    ahead = ahead_mm(end_mm, vent, activation)
    short = max(0.0, safe - ahead)
    where = f"binds {binds:.1f} mm short of the end" if binds else "binds nowhere, so the end itself is its limit"
    said = (
        f"In {size:02d}/.{round(taper * 100):02d} a needle of {outer_mm:.2f} mm {where}; safe is {safe:.1f} mm short. "
        f"Ahead of it the irrigant is exchanged over {ahead:.1f} mm, to {short:.1f} mm short of the end."
    )
    return Reach(binds, safe, short, ahead, said)


def end_width_mm(lumen: Lumen) -> float:
    """Width left open at the canal's end: where its preparation ends, or at the working length if that lies higher."""
    working_mm, end = lumen.shape.working_depth_mm, lumen.terminus
    deepest_mm = min(working_mm, end.at_mm) if end else working_mm
    return float(lumen.open_mm[max(0, lumen.count_to(deepest_mm) - 1)])


def reach_in(
    lumen: Lumen,
    tip_mm: float,
    outer_mm: float = 0.31,
    *,
    vent: Vent = "side-vented",
    activation: Activation = "none",
) -> Reach:
    """How far the exchange comes from a needle's tip at a depth below the orifice; lengths short of working length."""
    working_mm = lumen.shape.working_depth_mm
    safe_mm = safe_needle_mm(lumen, outer_mm)
    end_mm = end_width_mm(lumen)
    ahead = ahead_mm(end_mm, vent, activation)
    short = max(0.0, working_mm - tip_mm - ahead)
    said = (
        f"Canal {lumen.shape.name} is {end_mm:.2f} mm wide at its end; from a needle of {outer_mm:.2f} mm at "
        f"{lumen.reading_of(tip_mm):.1f} mm the irrigant is exchanged over {ahead:.1f} mm, "
        f"to {short:.1f} mm short of working length."
    )
    safe_short = working_mm - safe_mm
    return Reach(max(0.0, safe_short - TEACHING.needle_back_mm), safe_short, short, ahead, said)


def disinfection_reach(record: Record) -> Observation:
    """After shaping: irrigant exchanged near working length, enough hypochlorite, and hypochlorite last after EDTA.

    A needle that stood too deep counts for nothing here, however far its irrigant came.
    """
    name = "disinfection reach"
    rinses = _after_shaping(record)
    if rinses is None:
        return Observation(name, 0, 3, NOTHING_SHAPED)
    bleach = [step for step in rinses if _solution(step) == "sodium hypochlorite"]
    reaches = [reach_in(step.before, step.reach.tip_mm, _needle_mm(step)) for step in bleach if _is_safe(step)]
    notes = []
    best = min(reaches, key=lambda reach: reach.reach_short_mm, default=None)
    if best is None:
        notes.append(f"Canal {record.shape.name}: no hypochlorite from a safe needle once it was shaped.")
    elif not best.reached:
        notes.append(f"{best.said} {_narrower_or_wider(best)}")
    ml, asked_ml = sum(step.move.ml for step in bleach if isinstance(step.move, Irrigate)), _number("final_ml")
    enough = ml >= asked_ml
    if not enough:
        notes.append(
            f"Canal {record.shape.name}: {ml:g} mL of hypochlorite once it was shaped; {asked_ml:g} mL are asked."
        )
    in_order = _in_order(rinses)
    if not in_order:
        notes.append(
            f"Canal {record.shape.name}: EDTA and then hypochlorite were not the last two solutions, so the smeared "
            "layer stayed, or what lay under it was not reached."
        )
    met = bool(best and best.reached) + enough + in_order
    said = best.said if best else "No fresh hypochlorite reached the canal once it was shaped."
    return Observation(name, met, 3, said, tuple(notes))


def cone_play(size: int, taper: float, end_mm: float) -> ConePlay:
    """How far a cone within its tolerance may stop short of an end so wide, or slide past it if nothing holds it.

    ValueError for a size or taper that no cone has.
    """
    cone = iso3630.cone(size, taper)
    if not 0 < end_mm < np.inf:
        raise ValueError(f"an end {end_mm} mm wide is none: give a number above 0")
    tolerance = cone_tolerance_mm(size)
    short = max(0.0, (cone.tip_mm + tolerance - end_mm) / taper)
    past = max(0.0, (end_mm - cone.tip_mm + tolerance) / taper)
    said = (
        f"A cone labelled {size:02d}/.{round(taper * 100):02d} may measure {cone.tip_mm - tolerance:.2f} to "
        f"{cone.tip_mm + tolerance:.2f} mm at its tip: in an end {end_mm:.2f} mm wide it may stop {short:.1f} mm short "
        f"or slide {past:.1f} mm further. The label is no proof of fit: try it in."
    )
    return ConePlay(short, past, said)


def cone_tolerance_mm(size: int) -> float:
    """By how much a cone may differ from its label at the tip and still be within its standard."""
    return _number("cone_tolerance_small_mm" if size <= 25 else "cone_tolerance_large_mm")


def _after_shaping(record: Record) -> tuple[Step, ...] | None:
    """Rinses made after the last shaping file; none if nothing was shaped."""
    last = max((place for place, step in enumerate(record.steps) if shapes(step)), default=None)
    if last is None:
        return None
    return tuple(step for step in record.steps[last + 1 :] if is_rinse(step))


def _in_order(rinses: tuple[Step, ...]) -> bool:
    """Whether EDTA was given and, leaving water out, hypochlorite right after it was the last."""
    kinds = [solution for step in rinses if (solution := _solution(step)) != "water"]
    return kinds[-1:] == ["sodium hypochlorite"] and "EDTA" in kinds


def _solution(step: Step) -> str:
    return step.move.solution if isinstance(step.move, Irrigate) else ""


def _needle_mm(step: Step) -> float:
    assert isinstance(step.move, Irrigate)
    return step.move.needle_mm


def _is_safe(step: Step) -> bool:
    safe_mm = max(0.0, step.reach.needle_limit_mm - TEACHING.needle_back_mm)
    return step.reach.tip_mm <= safe_mm + SAFE_SLACK_MM


def _narrower_or_wider(reach: Reach) -> str:
    """What would bring the irrigant further."""
    if reach.binds_short_mm > SAFE_SLACK_MM:
        return "A finer needle, or a wider end, lets it stand deeper."
    return "A wider end, or an activated irrigant, carries it further."


def _number(name: str) -> float:
    return NOTES[name].value
