"""Acts at the bench that would endanger a patient, computed from the record and reported apart from any score."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from casebank.instruments import damage
from casebank.instruments.bench import Bench
from casebank.instruments.moves import CoronalFlare, EngineFile, HandFile, Irrigate
from casebank.instruments.record import (
    Record,
    Step,
    beyond_the_path,
    entered,
    is_rinse,
    reads_length,
    shapes,
    through_the_foramen,
)
from casebank.instruments.teaching import TEACHING

COMMON = "common practice, no source"
CHOICE = "teaching choice"
MIXED = "solutions-mixed"
SAME_STOP_MM = 0.3
NEEDLE_SLACK_MM = 0.05


@dataclass(frozen=True)
class UnsafeStep:
    """One unsafe act: the rule it broke, in words, at the first step that broke it, and how often in all."""

    rule: str
    sentence: str
    step_number: int
    basis: str
    times: int = 1


def unsafe_steps(record: Record) -> tuple[UnsafeStep, ...]:
    """Unsafe acts in one canal, in order; each rule once, with the number of times it was broken."""
    return _once_each([act for rule in RULES for act in rule(record)])


def unsafe_in(bench: Bench) -> tuple[UnsafeStep, ...]:
    """Unsafe acts in a whole tooth. Its canals share one chamber, so solutions mix across canals too."""
    records = [bench.record_of(canal) for canal in bench.canals]
    found = [act for record in records for act in unsafe_steps(record) if act.rule != MIXED]
    seen_from = (bench.record, *(record.steps for record in records))
    mixings = {act.step_number: act for steps in seen_from for act in _met(steps)}
    found += _once_each(sorted(mixings.values(), key=lambda act: act.step_number))
    return tuple(sorted(found, key=lambda act: act.step_number))


def _path(record: Record) -> Iterator[UnsafeStep]:
    step = beyond_the_path(record)
    if step:
        yield UnsafeStep(
            "engine-before-path",
            "An engine file went deeper than a loose size 10 had been.",
            step.number,
            "Ajina, Billis and Chong, Eur Endod J 2022: a loose size 10 at least",
        )


def _dry(record: Record) -> Iterator[UnsafeStep]:
    for step in record.steps:
        if (shapes(step) or (isinstance(step.move, CoronalFlare) and entered(step))) and step.before.wet <= 0:
            yield UnsafeStep("dry-shaping", "The canal was shaped dry.", step.number, COMMON)


def _forced(record: Record) -> Iterator[UnsafeStep]:
    stops: list[tuple[str, int, float]] = []
    for step in record.steps:
        if not isinstance(step.move, HandFile | EngineFile) or step.move.push != "firm" or step.reach.hold != "short":
            continue
        here = (step.move.kind, step.move.size, step.reach.tip_mm)
        if any(here[:2] == old[:2] and abs(here[2] - old[2]) <= SAME_STOP_MM for old in stops):
            yield UnsafeStep("forced", "A file was forced again at the stop that had held it.", step.number, COMMON)
        stops.append(here)


def _length(record: Record) -> Iterator[UnsafeStep]:
    for step in record.steps:
        if reads_length(step):
            return
        if shapes(step):
            yield UnsafeStep(
                "length-never-read", "The canal was shaped before any length was read.", step.number, COMMON
            )
            return


def _foramen(record: Record) -> Iterator[UnsafeStep]:
    for step in through_the_foramen(record):
        yield UnsafeStep(
            "large-through-foramen", "Something larger than a size 10 went through the foramen.", step.number, CHOICE
        )


def _brushing(record: Record) -> Iterator[UnsafeStep]:
    for step in record.steps:
        if damage.BRUSHED_TOWARD in step.events:
            yield UnsafeStep(
                "brushed-toward-furcation",
                "The thin wall at the furcation was brushed.",
                step.number,
                f"{COMMON}; the wall's thickness: De-Deus et al., IEJ 2019;52:1501",
            )


def _needle(record: Record) -> Iterator[UnsafeStep]:
    for step in record.steps:
        if not is_rinse(step):
            continue
        limit_mm, tip_mm = step.reach.needle_limit_mm, step.reach.tip_mm
        if damage.IRRIGANT_FORCED in step.events:
            yield UnsafeStep("needle-bound", "The needle was bound, or stood at working length.", step.number, COMMON)
        elif tip_mm > max(0.0, limit_mm - TEACHING.needle_back_mm) + NEEDLE_SLACK_MM:
            yield UnsafeStep(
                "needle-close",
                f"The needle stood less than {TEACHING.needle_back_mm:g} mm from where it binds.",
                step.number,
                CHOICE,
            )


def _mixed(record: Record) -> Iterator[UnsafeStep]:
    yield from _met(record.steps)


def _met(steps: Sequence[Step]) -> Iterator[UnsafeStep]:
    last: str | None = None
    clash = {"sodium hypochlorite", "chlorhexidine"}
    for step in steps:
        if not is_rinse(step) or not isinstance(step.move, Irrigate) or step.move.solution == "EDTA":
            continue
        now = step.move.solution
        if {last, now} == clash:
            yield UnsafeStep(
                MIXED,
                "Sodium hypochlorite and chlorhexidine met without water between them.",
                step.number,
                "textbooks, from memory: the two form a precipitate",
            )
        last = now


def _harm(record: Record) -> Iterator[UnsafeStep]:
    for step in record.steps:
        if damage.SEPARATED in step.events:
            yield UnsafeStep("instrument-separated", "An instrument separated in the canal.", step.number, COMMON)
        if any(event in damage.PERFORATIONS for event in step.events):
            yield UnsafeStep("wall-perforated", "A wall of the root was perforated.", step.number, COMMON)


RULES: tuple[Callable[[Record], Iterator[UnsafeStep]], ...] = (
    _path,
    _dry,
    _forced,
    _length,
    _foramen,
    _brushing,
    _needle,
    _mixed,
    _harm,
)


def _once_each(acts: Sequence[UnsafeStep]) -> tuple[UnsafeStep, ...]:
    first: dict[str, UnsafeStep] = {}
    for act in acts:
        seen = first.get(act.rule)
        first[act.rule] = act if seen is None else replace(seen, times=seen.times + 1)
    return tuple(sorted(first.values(), key=lambda act: act.step_number))
