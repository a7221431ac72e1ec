"""A rubric: what a case asks, with weights and worked examples.

A published version never changes: whoever alters a weight, a tolerance or a sentence raises the version.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from casebank.rubric.criterion import AXES, Criterion, Per
from casebank.rubric.kinds import compare
from casebank.rubric.rules import LevelRule


@dataclass(frozen=True)
class Task:
    """One instance of a criterion in a case: `id` is the criterion's, with the canal or factor after a dot."""

    id: str
    criterion: Criterion
    of: str | None
    weight: float


@dataclass(frozen=True)
class Rubric:
    """What a case asks.

    `framework` names the competencies its criteria refer to; `sha256` is that of the file's text, so that a grade can
    name the very rules it used.
    """

    id: str
    version: int
    title: str
    framework: str
    criteria: tuple[Criterion, ...]
    sha256: str

    @property
    def axes(self) -> tuple[str, ...]:
        """The axes that occur, the path first."""
        return tuple(axis for axis in AXES if any(criterion.axis == axis for criterion in self.criteria))

    def criterion(self, name: str) -> Criterion:
        """The criterion of that id; the id of a task ("gauge.MB") finds its criterion too.

        Raises KeyError, with the ids there are, if none has it.
        """
        wanted = name.partition(".")[0]
        for criterion in self.criteria:
            if criterion.id == wanted:
                return criterion
        known = ", ".join(criterion.id for criterion in self.criteria)
        raise KeyError(f"rubric {self.id} has no criterion {wanted}: it has {known}")

    def tasks(
        self,
        *,
        canals: Sequence[str],
        factors: Sequence[str],
        level_words: Mapping[str | None, tuple[str, ...]] | None = None,
    ) -> tuple[Task, ...]:
        """Every task of a case with these canals and difficulty factors, in the order they are asked.

        A criterion per canal or factor is divided equally, so the weights of a case's tasks sum to 100 on each axis
        as well.
        `level_words` holds what the case's criteria call the levels, by factor, and by None for the whole case; where
        it says nothing the rubric's words stand. ValueError if no canal or factor is named or one is named twice.
        """
        names: dict[Per, Sequence[str | None]] = {"case": (None,), "canal": canals, "factor": factors}
        for per, given in names.items():
            if not given or len(set(given)) != len(given):
                raise ValueError(f"name each {per} once, and at least one: got {', '.join(map(str, given)) or 'none'}")
        return tuple(
            Task(
                id=criterion.id if name is None else f"{criterion.id}.{name}",
                criterion=_worded(criterion, (level_words or {}).get(name)),
                of=name,
                weight=criterion.weight / len(given),
            )
            for criterion in self.criteria
            for given in (names[criterion.per],)
            for name in given
        )


def _worded(criterion: Criterion, words: tuple[str, ...] | None) -> Criterion:
    """A criterion of levels in the words of a case's criteria; any other as it is."""
    rule = criterion.rule
    if not isinstance(rule, LevelRule) or words is None or words == rule.words:
        return criterion
    return replace(criterion, rule=replace(rule, words=words))


def disagreements(rubric: Rubric) -> tuple[str, ...]:
    """One sentence for each worked example whose comparison does not give the credit written beside it."""
    return tuple(
        f"{rubric.id}, criterion {criterion.id}, example {number}: the comparison gives {credit:g}, "
        f"the example says {example.credit:g}: correct one of the two"
        for criterion in rubric.criteria
        for number, example in enumerate(criterion.examples, 1)
        if abs((credit := compare(criterion, example.said, example.reference).credit) - example.credit) > 1e-9
    )
