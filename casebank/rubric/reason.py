"""A reason in the student's own words: lines to look for, which of them a person found, and never a machine's verdict.

The text is read by its author first and by an instructor later; the same lines serve both.
"""

from dataclasses import dataclass
from typing import Literal, get_args

from casebank.rubric.phrases import counted, joined, percent
from casebank.rubric.verdict import Verdict

FEWEST_LINES, MOST_LINES = 2, 8
MOST_POINTS = 10

Marker = Literal["author", "instructor"]
MARKERS: tuple[str, ...] = get_args(Marker)
BY = {"author": "You marked your own words", "instructor": "An instructor marked your words"}


@dataclass(frozen=True)
class Line:
    """One thing to look for in a text: its id, its label, what counts as met, and what it is worth."""

    id: str
    label: str
    counts: str
    points: int

    def __post_init__(self) -> None:
        if not self.label.strip() or not self.counts.strip():
            raise ValueError(f"line {self.id}: say in label and counts what to look for and when it is met")
        if not 1 <= self.points <= MOST_POINTS:
            raise ValueError(f"line {self.id}: {self.points} points: give 1 to {MOST_POINTS}")


@dataclass(frozen=True)
class WrittenRule:
    """The lines to look for, and how long the text may be, in letters."""

    lines: tuple[Line, ...]
    most_letters: int

    def __post_init__(self) -> None:
        if not FEWEST_LINES <= len(self.lines) <= MOST_LINES:
            raise ValueError(f"line: {len(self.lines)} lines to look for: give {FEWEST_LINES} to {MOST_LINES}")
        if len({line.id for line in self.lines}) < len(self.lines):
            raise ValueError("line: an id stands twice: give each line its own")
        if not 100 <= self.most_letters <= 10_000:
            raise ValueError(f"most_letters: {self.most_letters}: give 100 to 10000, enough for a reason and no essay")

    @property
    def points(self) -> int:
        """What all lines are worth together."""
        return sum(line.points for line in self.lines)


@dataclass(frozen=True)
class WrittenSaid:
    """A text, and the lines that were found met in it.

    Attributes
    ----------
    text : str
    met : frozenset of str
        Ids of lines.
    by : "author", "instructor" or None
        Who marked it; None as long as nobody has.
    """

    text: str
    met: frozenset[str] = frozenset()
    by: Marker | None = None

    def __post_init__(self) -> None:
        if self.by is not None and self.by not in MARKERS:
            raise ValueError(f"{self.by!r} marks no text: write one of {', '.join(MARKERS)}")
        if self.met and self.by is None:
            raise ValueError("lines were met, but nobody marked them: say who did")
        if self.met and not self.text.strip():
            raise ValueError("an empty text meets no line: leave the lines out or give the text")


@dataclass(frozen=True)
class WrittenReference:
    """A text that meets the lines, to lay beside the student's."""

    model: str

    def __post_init__(self) -> None:
        if not self.model.strip():
            raise ValueError("a written reason is laid beside a model: fill it in")


def written(rule: WrittenRule, said: WrittenSaid, reference: WrittenReference) -> Verdict:
    """Points of the lines met / points of all lines; nothing as long as nobody has marked the text."""
    require_lines(rule, said, "the answer")
    model = f"Beside it: {reference.model.rstrip('.')}."
    if not said.text.strip():
        return Verdict(0.0, f"You wrote nothing. {model}")
    if said.by is None:
        return Verdict(0.0, f"Nobody has marked your words yet: no machine does. {model}")
    met = sum(line.points for line in rule.lines if line.id in said.met)
    credit = met / rule.points
    missed = [f"'{line.label}'" for line in rule.lines if line.id not in said.met]
    sentences = [f"{BY[said.by]}: {met} of {counted(rule.points, 'point')}, {percent(credit)} of the credit."]
    if missed:
        sentences.append(f"Not found: {joined(missed)}.")
    return Verdict(credit, " ".join([*sentences, model]), leaning=None if missed else 0)


def require_lines(rule: WrittenRule, said: WrittenSaid, who: str) -> None:
    """ValueError for a text that is too long, or a met line that the rule does not have."""
    if len(said.text) > rule.most_letters:
        raise ValueError(f"{who} has {len(said.text)} letters, at most {rule.most_letters} may be: shorten it")
    known = [line.id for line in rule.lines]
    for line in sorted(said.met.difference(known)):
        raise ValueError(f"{who} meets {line!r}, which is no line here: use {', '.join(known)}")
