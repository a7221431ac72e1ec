"""Acts at the bench that would endanger a patient, computed from the record and reported apart from any score.

`unsafe_rules.toml` says of each what it is called, why it is unsafe and what that rests on; here stands, for each id,
when it happened and where. A canal that is no longer patent is a matter of quality, so no rule names it.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from casebank.instruments import damage
from casebank.instruments.bench import Bench
from casebank.instruments.closing_moves import FillCanal, Medicate
from casebank.instruments.moves import CoronalFlare, EngineFile, HandFile, Irrigate
from casebank.instruments.record import (
    Record,
    Step,
    at_mm,
    beyond_the_path,
    entered,
    is_rinse,
    reads_length,
    scouted_mm,
    shapes,
    spoken,
    through_the_foramen,
)
from casebank.instruments.teaching import TEACHING
from casebank.instruments.unsafe_table import UNSAFE_RULES

MIXED = "solutions-mixed"
CLASH = frozenset({"sodium hypochlorite", "chlorhexidine"})
SAME_STOP_MM = 0.3
NEEDLE_SLACK_MM = 0.05
HARMED = frozenset({damage.SEPARATED, *damage.PERFORATIONS})

Happened = tuple[Step, str]
"""A step that broke a rule, and what it did, where: one sentence."""


@dataclass(frozen=True)
class UnsafeStep:
    """One unsafe act: the rule it broke, in words, at the first step that broke it, and how often in all.

    `sentence` says what was done and where, `reason` why that is unsafe, `basis` what the rule rests on.
    """

    rule: str
    sentence: str
    step_number: int
    basis: str
    times: int = 1
    reason: str = ""


def unsafe_steps(record: Record) -> tuple[UnsafeStep, ...]:
    """Unsafe acts in one canal, in order; each rule once, with the number of times it was broken."""
    return once_each([_act(rule, *happened) for rule, look in LOOKS.items() for happened in look(record)])


def unsafe_in(bench: Bench) -> tuple[UnsafeStep, ...]:
    """Unsafe acts in a whole tooth. Its canals share one chamber, so solutions mix across canals too."""
    records = [bench.record_of(canal) for canal in bench.canals]
    found = [act for record in records for act in unsafe_steps(record) if act.rule != MIXED]
    seen_from = (bench.record, *(record.steps for record in records))
    mixings = {step.number: _act(MIXED, step, said) for steps in seen_from for step, said in _met(steps)}
    found += once_each(list(mixings.values()))
    return tuple(sorted(found, key=lambda act: act.step_number))


def harmed(bench: Bench) -> tuple[Step, ...]:
    """Steps after which the patient has something to be told: an instrument separated or a wall perforated."""
    return tuple(step for step in bench.record if HARMED.intersection(step.events))


def once_each(acts: Sequence[UnsafeStep]) -> tuple[UnsafeStep, ...]:
    """Each rule once, at the first step that broke it, with its count; in the order of the steps."""
    first: dict[str, UnsafeStep] = {}
    for act in sorted(acts, key=lambda act: act.step_number):
        seen = first.get(act.rule)
        first[act.rule] = act if seen is None else replace(seen, times=seen.times + 1)
    return tuple(first.values())


def _act(rule: str, step: Step, sentence: str) -> UnsafeStep:
    entry = UNSAFE_RULES[rule]
    return UnsafeStep(rule, sentence, step.number, entry.rests_on, reason=entry.reason)


def _path(record: Record) -> Iterator[Happened]:
    step = beyond_the_path(record)
    if step:
        been_mm = scouted_mm(tuple(one for one in record.steps if one.number < step.number))
        been = f"been loose to {step.before.reading_of(been_mm):.1f} mm" if been_mm else "been loose nowhere"
        said = f"{spoken(step.move)} went to {at_mm(step):.1f} mm in canal {step.canal}"
        yield step, f"{said}, where a size 10 had {been}."


def _dry(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        works = shapes(step) or (isinstance(step.move, CoronalFlare) and entered(step))
        if works and step.before.wet <= 0:
            yield step, f"{spoken(step.move)} was worked to {at_mm(step):.1f} mm in canal {step.canal}, which was dry."


def _forced(record: Record) -> Iterator[Happened]:
    stops: list[tuple[str, int, float]] = []
    for step in record.steps:
        if not isinstance(step.move, HandFile | EngineFile) or step.move.push != "firm" or step.reach.hold != "short":
            continue
        here = (step.move.kind, step.move.size, step.reach.tip_mm)
        if any(here[:2] == old[:2] and abs(here[2] - old[2]) <= SAME_STOP_MM for old in stops):
            yield (
                step,
                f"{spoken(step.move)} was forced again at {at_mm(step):.1f} mm in canal {step.canal}, "
                "the stop that had held it before.",
            )
        stops.append(here)


def _length(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        if reads_length(step):
            return
        if shapes(step):
            yield (
                step,
                f"{spoken(step.move)} shaped canal {step.canal} to {at_mm(step):.1f} mm before any length was read.",
            )
            return


def _foramen(record: Record) -> Iterator[Happened]:
    for step in through_the_foramen(record):
        beyond_mm = step.reach.tip_mm - record.shape.length_mm
        yield (
            step,
            f"{spoken(step.move)} went {beyond_mm:.1f} mm through the foramen of canal {step.canal}, "
            f"to {at_mm(step):.1f} mm.",
        )


def _brushing(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        if damage.BRUSHED_TOWARD in step.events:
            walls_mm = step.after.furcation_mm[: max(1, step.after.count_to(step.reach.tip_mm))]
            yield (
                step,
                f"{spoken(step.move)} was brushed towards the furcation in canal {step.canal}, "
                f"to {at_mm(step):.1f} mm; {max(0.0, float(walls_mm.min())):.2f} mm of wall are left there.",
            )


def _needle_bound(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        if damage.IRRIGANT_FORCED in step.events:
            limit_mm = step.before.reading_of(step.reach.needle_limit_mm)
            yield (
                step,
                f"{spoken(step.move)} stood at {at_mm(step):.1f} mm in canal {step.canal}; "
                f"it binds, or meets working length, at {limit_mm:.1f} mm.",
            )


def _needle_close(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        if not is_rinse(step) or damage.IRRIGANT_FORCED in step.events:
            continue
        limit_mm, tip_mm = step.reach.needle_limit_mm, step.reach.tip_mm
        if tip_mm > max(0.0, limit_mm - TEACHING.needle_back_mm) + NEEDLE_SLACK_MM:
            yield (
                step,
                f"{spoken(step.move)} stood at {at_mm(step):.1f} mm in canal {step.canal}, {limit_mm - tip_mm:.1f} mm "
                f"from where it binds or meets working length; {TEACHING.needle_back_mm:g} mm are asked.",
            )


def _mixed(record: Record) -> Iterator[Happened]:
    yield from _met(record.steps)


def _met(steps: Sequence[Step]) -> Iterator[Happened]:
    last: str | None = None
    for step in steps:
        now = _solution(step)
        if now is None:
            continue
        if {last, now} == CLASH:
            yield step, f"{now.capitalize()} came into canal {step.canal} after {last}, without water between them."
        last = now


def _solution(step: Step) -> str | None:
    """What a step brings in that can meet another solution; EDTA neither clashes nor rinses away."""
    if isinstance(step.move, Medicate) and entered(step):
        return "chlorhexidine" if step.move.agent == "chlorhexidine gel" else None
    if not isinstance(step.move, Irrigate) or not is_rinse(step) or step.move.solution == "EDTA":
        return None
    return step.move.solution


def _separated(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        if damage.SEPARATED in step.events:
            piece = step.after.fragment
            top_mm = step.before.reading_of(piece.top_mm if piece else step.reach.tip_mm)
            yield step, f"{spoken(step.move)} separated in canal {step.canal}; the piece begins at {top_mm:.1f} mm."


def _perforated(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        hole = next((event for event in step.events if event in damage.PERFORATIONS), None)
        if hole:
            inner = hole == damage.FURCATION_HOLED
            shape = step.after.shape
            watched = max(1, step.after.count_to(shape.length_mm - TEACHING.wall_watch_ends_mm))
            walls_mm = (step.after.furcation_mm if inner else step.after.outer_mm)[:watched]
            level_mm = float(shape.levels_mm[int(np.argmin(walls_mm))])
            side = "towards the furcation" if inner else "away from the furcation"
            yield (
                step,
                f"{spoken(step.move)} went through the wall {side} in canal {step.canal}, "
                f"at {step.before.reading_of(level_mm):.1f} mm.",
            )


def _overfilled(record: Record) -> Iterator[Happened]:
    for step in record.steps:
        filling = step.after.contents.fill
        if isinstance(step.move, FillCanal) and filling and filling is not step.before.contents.fill:
            beyond_mm = -filling.short_mm
            if beyond_mm > TEACHING.reading_mm:
                yield (
                    step,
                    f"{spoken(step.move)} ends {beyond_mm:.1f} mm beyond the foramen of canal {step.canal}.",
                )


LOOKS: Mapping[str, Callable[[Record], Iterator[Happened]]] = {
    "engine-before-path": _path,
    "dry-shaping": _dry,
    "forced": _forced,
    "length-never-read": _length,
    "large-through-foramen": _foramen,
    "brushed-toward-furcation": _brushing,
    "needle-bound": _needle_bound,
    "needle-close": _needle_close,
    MIXED: _mixed,
    "instrument-separated": _separated,
    "wall-perforated": _perforated,
    "fill-beyond-foramen": _overfilled,
}
"""By id of the table, what to look for in a canal's record. Rules about answers stand with the grading."""
