"""From the factors' levels to the case's: by counting, by points, or by components that modifiers raise.

Every rule is monotone: no case is called easier because one of its factors is harder.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casebank.difficulty.bands import Band, require_whole_line

COUNT_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
Levels = Mapping[str, int]


@dataclass(frozen=True)
class Ruling:
    """The case's level and, as a clause, what gives it; `notes` are sentences on what the source leaves open."""

    level: int
    why: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class CaseStep:
    """The case has level `gives` when at least so many factors stand at `at_or_above` or higher."""

    gives: int
    at_least: int
    at_or_above: int
    boundary: str | None = None


@dataclass(frozen=True)
class CountRule:
    """The highest step met, or the lowest level."""

    steps: tuple[CaseStep, ...]
    source: str
    status: str

    def level_of(self, levels: Sequence[int]) -> int:
        """The case's level.

        >>> rule = CountRule((CaseStep(3, 1, 3), CaseStep(3, 3, 2), CaseStep(2, 1, 2)), "a source", "verified")
        >>> rule.level_of([1, 1, 1]), rule.level_of([2, 2, 1]), rule.level_of([2, 2, 2])
        (1, 2, 3)
        """
        return max((step.gives for step in self._met(levels)), default=1)

    def rule_on(self, levels: Levels, words: Sequence[str], labels: Mapping[str, str]) -> Ruling:
        """The level of a case whose factors stand at these levels; `words` are the set's, `labels` the factors'."""
        counts = list(levels.values())
        level = self.level_of(counts)
        deciding = [step for step in self._met(counts) if step.gives == level]
        return Ruling(level, counted(counts, words), _open([step.boundary for step in deciding]))

    def _met(self, levels: Sequence[int]) -> list[CaseStep]:
        return [step for step in self.steps if sum(level >= step.at_or_above for level in levels) >= step.at_least]


@dataclass(frozen=True)
class PointsBand(Band):
    """A stretch of totals, who may then treat, and whether it gives the case a level (`gives`)."""

    says: str = ""
    gives: int | None = None


@dataclass(frozen=True)
class Points:
    """Points of a set: `each` for a factor at levels 1, 2 …; their total falls into one of the bands."""

    each: tuple[int, ...]
    bands: tuple[PointsBand, ...]
    source: str
    status: str

    def __post_init__(self) -> None:
        if list(self.each) != sorted(self.each):
            raise ValueError("a harder level gives fewer points than an easier one: let them rise with the level")
        require_whole_line(self.bands)
        given = [band.gives for band in self.bands if band.gives is not None]
        if given != sorted(given):
            raise ValueError("more points give an easier level than fewer: let the levels rise with the total")

    def total(self, levels: Sequence[int]) -> int:
        return sum(self.each[level - 1] for level in levels)

    def band_of(self, total: int) -> PointsBand:
        return next(band for band in self.bands if band.holds(total))


@dataclass(frozen=True)
class PointsRule:
    """The level that the band of the total gives."""

    points: Points
    source: str
    status: str

    def __post_init__(self) -> None:
        if any(band.gives is None for band in self.points.bands):
            raise ValueError("a band of points gives no level: add gives to each")

    def rule_on(self, levels: Levels, words: Sequence[str], labels: Mapping[str, str]) -> Ruling:
        total = self.points.total(list(levels.values()))
        band = self.points.band_of(total)
        return Ruling(band.gives or 1, f"{total} points, {band.in_words('points')}")


@dataclass(frozen=True)
class Component:
    """A part of the treatment: the worst of its factors, one step up if any modifier stands above its lowest level."""

    name: str
    factors: tuple[str, ...]
    modifiers: tuple[str, ...]

    def core(self, levels: Levels) -> int:
        return max(levels[factor] for factor in self.factors)

    def raising(self, levels: Levels) -> list[str]:
        return [factor for factor in self.modifiers if levels[factor] > 1]

    def level(self, levels: Levels, highest: int) -> int:
        """One step up however many modifiers there are, and never above the highest level."""
        return min(highest, self.core(levels) + bool(self.raising(levels)))


@dataclass(frozen=True)
class ComponentsRule:
    """The highest component gives the level."""

    components: tuple[Component, ...]
    source: str
    status: str

    def rule_on(self, levels: Levels, words: Sequence[str], labels: Mapping[str, str]) -> Ruling:
        """The level of a case whose factors stand at these levels.

        >>> roots = Component("root canals", ("bend",), ("gagging", "opening"))
        >>> rule = ComponentsRule((roots,), "a source", "verified")
        >>> labels = {"bend": "Bend", "gagging": "Gagging", "opening": "Opening"}
        >>> rule.rule_on({"bend": 1, "gagging": 2, "opening": 1}, ("low", "moderate", "high"), labels).why
        'root canals moderate (low by itself; one step up for gagging)'
        """
        said = [_component_words(part, levels, words, labels) for part in self.components]
        return Ruling(max(part.level(levels, len(words)) for part in self.components), ", ".join(said))


CaseRule = CountRule | PointsRule | ComponentsRule


def counted(levels: Sequence[int], words: Sequence[str]) -> str:
    """How many factors stand at each level above the lowest.

    >>> counted([1, 2, 3, 3], ("low", "moderate", "high")), counted([1, 1], ("low", "moderate", "high"))
    ('one moderate, two high', 'no moderate, no high')
    """
    pairs = [(list(levels).count(number), word) for number, word in enumerate(words, 1) if number > 1]
    shown = [pair for pair in pairs if pair[0]] or pairs
    return ", ".join(f"{COUNT_WORDS[n] if n < len(COUNT_WORDS) else n} {word}" for n, word in shown)


def _component_words(part: Component, levels: Levels, words: Sequence[str], labels: Mapping[str, str]) -> str:
    code, core = part.level(levels, len(words)), part.core(levels)
    raising = [f"{labels[factor][:1].lower()}{labels[factor][1:]}" for factor in part.raising(levels)]
    if not raising:
        return f"{part.name} {words[code - 1]}"
    step = "one step up" if code > core else "no higher level to step up to"
    several = ", and several step up only once" if len(raising) > 1 else ""
    return f"{part.name} {words[code - 1]} ({words[core - 1]} by itself; {step} for {' and '.join(raising)}{several})"


def _open(boundaries: Sequence[str | None]) -> tuple[str, ...]:
    """The reading of what a source leaves open, if every step that decides rests on such a reading."""
    return tuple(f"{text}." for text in boundaries if text) if all(boundaries) else ()
