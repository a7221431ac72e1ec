"""Flaws of a choice as it is written: what lets somebody guess who knows nothing, or trips somebody who knows.

The list follows item-writing guides (NBME item-writing guide, 2020; adapted list, doi 10.1186/s12909-016-0559-7), in
our own words. A flaw is a question to the author, never a verdict: it can be overruled with a reason.
"""

import itertools
import re
from collections.abc import Mapping
from dataclasses import dataclass

ABSOLUTE = frozenset({"always", "never", "every", "completely", "impossible", "invariably", "entirely"})
VAGUE = frozenset({"often", "usually", "sometimes", "frequently", "rarely", "occasionally", "generally", "commonly"})
NEGATIVE = re.compile(r"\b(not|except|least likely|incorrect|false)\b", re.IGNORECASE)
CATCH_ALL = re.compile(r"\b(all|none|both|any) of (the|these) (above|others?|options|answers)\b", re.IGNORECASE)
HINGED = re.compile(
    r"\b(previous|last|earlier|preceding) (question|answer|task|step)\b|\byou answered\b", re.IGNORECASE
)
NUMBER = re.compile(r"\d+(?:\.\d+)?")
RANGE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:to|-|\u2013)\s*(\d+(?:\.\d+)?)")

LONGER = 1.3
"""A best option this many times as long as the longest other one stands out."""

TELLING_WORD = 6
"""Letters from which a word shared by the question and the best option alone gives it away."""


@dataclass(frozen=True)
class Flaw:
    """Which flaw, and one sentence that names the place and what to do."""

    name: str
    words: str


def flaws(ask: str, options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    """Flaws of a question with its options (value to wording); `best` names the values that are keyed.

    Examples
    --------
    >>> options = {"a": "Swelling", "b": "All of the above"}
    >>> [flaw.name for flaw in flaws("Which is not a sign?", options, frozenset("a"))]
    ['negative question', 'catch-all option']
    """
    found = []
    if match := NEGATIVE.search(ask):
        found.append(Flaw("negative question", f"'{match[0]}' turns the question round: ask for what holds"))
    if match := HINGED.search(ask):
        found.append(Flaw("hinged question", f"'{match[0]}' hangs this task on another: state what is given"))
    for wording in options.values():
        words = set(re.findall(r"[a-z]+", wording.lower()))
        if match := CATCH_ALL.search(wording):
            found.append(Flaw("catch-all option", f"'{match[0]}' tests logic: replace it by an option of its own"))
        if strong := sorted(words & ABSOLUTE):
            found.append(Flaw("absolute term", f"'{strong[0]}' in '{wording}' is seldom true: say when it holds"))
        if weak := sorted(words & VAGUE):
            found.append(Flaw("vague frequency", f"'{weak[0]}' in '{wording}' means many things: give a number"))
    return (*found, *_longest(options, best), *_echo(ask, options, best), *_numbers(options))


def _longest(options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    keyed = [len(wording) for value, wording in options.items() if value in best]
    others = [len(wording) for value, wording in options.items() if value not in best]
    if keyed and others and min(keyed) > LONGER * max(others):
        return (Flaw("longest is best", f"the best option has {min(keyed)} letters, the others at most {max(others)}"),)
    return ()


def _echo(ask: str, options: Mapping[str, str], best: frozenset[str]) -> tuple[Flaw, ...]:
    def telling(text: str) -> set[str]:
        return {word for word in re.findall(r"[a-z]+", text.lower()) if len(word) >= TELLING_WORD}

    elsewhere = set[str]().union(*(telling(wording) for value, wording in options.items() if value not in best))
    keyed = set[str]().union(*(telling(wording) for value, wording in options.items() if value in best))
    if echoed := sorted(telling(ask) & keyed - elsewhere):
        return (Flaw("echoed word", f"'{echoed[0]}' stands in the question and in the best option alone: reword one"),)
    return ()


def _numbers(options: Mapping[str, str]) -> tuple[Flaw, ...]:
    found = []
    ranges = [(float(match[1]), float(match[2])) for match in map(RANGE.search, options.values()) if match]
    if any(a[0] < b[1] and b[0] < a[1] for a, b in itertools.combinations(ranges, 2)):
        found.append(
            Flaw("overlapping options", "two ranges share values: part them so that one reading fits one option")
        )
    if len({wording.strip().lower() for wording in options.values()}) < len(options):
        found.append(Flaw("overlapping options", "two options read alike: keep one"))
    firsts = [NUMBER.match(wording) for wording in options.values()]
    values = [float(match[0]) for match in firsts if match]
    if len(values) == len(options) > 2 and values != sorted(values) and values != sorted(values, reverse=True):
        found.append(Flaw("unordered numbers", "the options are numbers out of order: sort them"))
    return tuple(found)
