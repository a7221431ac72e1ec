"""Gauging: the largest hand file that stops at a length while the next larger stops short of it."""

from dataclasses import dataclass

from casebank.instruments.iso3630 import next_larger
from casebank.instruments.moves import CoronalFlare, Gauge
from casebank.instruments.record import Record, Step, cuts, entered, widens_past_the_path
from casebank.instruments.teaching import TEACHING


@dataclass(frozen=True)
class Bracket:
    """A gauge: the size that stops at a depth while the next larger stops short of it."""

    size: int
    depth_mm: float
    step_number: int
    after_flare: bool
    after_shaping: bool


def brackets(record: Record) -> tuple[Bracket, ...]:
    """Every gauge taken. Two gauges belong together if nothing cut between them and they aimed at the same depth."""
    found, flared, shaped = [], False, False
    tried: dict[int, Step] = {}
    for step in record.steps:
        flared = flared or (isinstance(step.move, CoronalFlare) and entered(step))
        shaped = shaped or widens_past_the_path(step)
        if cuts(step):
            tried = {}
        if not isinstance(step.move, Gauge) or not entered(step):
            continue
        tried[step.move.size] = step
        for size, larger in ((size, next_larger(size)) for size in sorted(tried)):
            fits, stops = tried[size], tried.get(larger) if larger else None
            if stops is None or step not in (fits, stops) or not fits.reach.at_length or stops.reach.at_length:
                continue
            if abs(aim_mm(fits) - aim_mm(stops)) <= TEACHING.reading_mm:
                found.append(Bracket(size, aim_mm(fits), step.number, flared, shaped))
    return tuple(found)


def gauge_size(record: Record) -> int | None:
    """Apical gauge of the flared canal before it is shaped: the last one taken at its working length, or none."""
    wanted = [
        bracket
        for bracket in brackets(record)
        if bracket.after_flare and not bracket.after_shaping and near_the_end(record, bracket.depth_mm)
    ]
    return wanted[-1].size if wanted else None


def aim_mm(step: Step) -> float:
    """Depth a step aimed at."""
    return step.reach.tip_mm + step.reach.short_mm


def near_the_end(record: Record, depth_mm: float) -> bool:
    """Whether a depth is that of the prepared end, or of the working length while nothing is prepared."""
    end = record.lumen.terminus
    wanted_mm = end.at_mm if end else record.shape.working_depth_mm
    return abs(depth_mm - wanted_mm) <= TEACHING.terminus_tolerance_mm
