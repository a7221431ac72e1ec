"""Rules for the bench that a case's author adds: what would be unsafe in this tooth, with the author's reason.

A document holds them as a union told apart by `when`. Without a canal a rule holds in every canal of the tooth.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casebank.instruments import iso3630
from casebank.instruments.bench import Bench
from casebank.instruments.bounds import require_length, require_one_of
from casebank.instruments.moves import Irrigate
from casebank.instruments.record import Step, at_mm, cuts, entered, is_rinse, size_of, spoken, taper_of
from casebank.instruments.teaching import TEACHING
from casebank.instruments.unsafe import UnsafeStep, once_each

AUTHOR = "the case's author"
AUTHOR_RULE = "author-"
MOST_WORDS = 300
MoveKind = Literal[
    "hand_file",
    "coronal_flare",
    "engine_file",
    "irrigate",
    "lubricate",
    "recapitulate",
    "patency",
    "medicate",
    "fit_cone",
    "seal_canal",
    "fill_canal",
]


@dataclass(frozen=True)
class SizeAbove:
    """An instrument larger than a size worked in the canal."""

    when: Literal["size_above"]
    size: int
    words: str
    reason: str
    canal: str | None = None

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        _require_words(self.words, self.reason)

    def broken_by(self, step: Step) -> bool:
        return cuts(step) and (size_of(step.move) or 0) > self.size


@dataclass(frozen=True)
class TaperAbove:
    """An instrument of a greater taper worked in the canal."""

    when: Literal["taper_above"]
    taper: float
    words: str
    reason: str
    canal: str | None = None

    def __post_init__(self) -> None:
        if not 0 < self.taper < 1:
            raise ValueError(f"a taper of {self.taper} is none: give millimetres a millimetre, such as 0.04")
        _require_words(self.words, self.reason)

    def broken_by(self, step: Step) -> bool:
        return cuts(step) and (taper_of(step.move) or 0.0) > self.taper + 1e-9


@dataclass(frozen=True)
class DeeperThan:
    """Anything went deeper than a length from the reference cusp."""

    when: Literal["deeper_than"]
    to_mm: float
    words: str
    reason: str
    canal: str | None = None

    def __post_init__(self) -> None:
        require_length(self.to_mm)
        _require_words(self.words, self.reason)

    def broken_by(self, step: Step) -> bool:
        in_canal = size_of(step.move) is not None or cuts(step) or is_rinse(step)
        return in_canal and entered(step) and at_mm(step) > self.to_mm + TEACHING.reading_mm


@dataclass(frozen=True)
class KindUsed:
    """A kind of move that has no place in this canal."""

    when: Literal["kind_used"]
    kind: MoveKind
    words: str
    reason: str
    canal: str | None = None

    def __post_init__(self) -> None:
        _require_words(self.words, self.reason)

    def broken_by(self, step: Step) -> bool:
        return step.move.kind == self.kind and entered(step)


@dataclass(frozen=True)
class SolutionUsed:
    """A solution that this patient or this canal must not meet."""

    when: Literal["solution_used"]
    solution: str
    words: str
    reason: str
    canal: str | None = None

    def __post_init__(self) -> None:
        require_one_of("a solution", self.solution, ("sodium hypochlorite", "EDTA", "chlorhexidine", "water"))
        _require_words(self.words, self.reason)

    def broken_by(self, step: Step) -> bool:
        return isinstance(step.move, Irrigate) and is_rinse(step) and step.move.solution == self.solution


BenchRule = SizeAbove | TaperAbove | DeeperThan | KindUsed | SolutionUsed


def broken_rules(bench: Bench, rules: Sequence[BenchRule]) -> tuple[UnsafeStep, ...]:
    """Acts that broke an author's rules, each rule once with its count; named author-1, author-2 … in their order."""
    acts = [
        UnsafeStep(
            f"{AUTHOR_RULE}{number}",
            f"{rule.words.rstrip('.')}: {_lower(spoken(step.move))} at {at_mm(step):.1f} mm in canal {step.canal}.",
            step.number,
            AUTHOR,
            reason=rule.reason,
        )
        for number, rule in enumerate(rules, 1)
        for step in bench.record
        if rule.canal in (None, step.canal) and rule.broken_by(step)
    ]
    return once_each(acts)


def _lower(words: str) -> str:
    return words[0].lower() + words[1:]


def _require_words(words: str, reason: str) -> None:
    for what, text in (("words", words), ("reason", reason)):
        if not text.strip() or len(text) > MOST_WORDS:
            raise ValueError(f"a rule at the bench needs {what} of 1 to {MOST_WORDS} characters: write them")
