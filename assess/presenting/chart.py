"""The chart of findings as the student has it: what was shown, what can be asked for and what it costs."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from assess.log import State
from casebank.casefile import Document


@dataclass(frozen=True)
class Entry:
    """One finding; the result is empty until the student has it."""

    letter: str
    item: str
    minutes: float
    result: str


@dataclass(frozen=True)
class Pin:
    """What a judgement can hang on: a finding or a film, in words."""

    value: str
    label: str
    words: str


def shown(document: Document, state: State) -> tuple[Entry, ...]:
    """Findings the student has: those of the start, then those asked for, in the order they came."""
    start = [finding for finding in document.chart if finding.when == "start"]
    asked = [document.finding(letter) for letter in state.asked]
    return tuple(Entry(one.letter, one.item, one.minutes, one.result) for one in (*start, *asked))


def askable(document: Document, state: State) -> tuple[Entry, ...]:
    """Findings that can still be asked for; their results stay here."""
    return tuple(
        Entry(one.letter, one.item, one.minutes, "")
        for one in document.chart
        if one.when == "asked" and one.letter not in state.asked
    )


def minutes_used(document: Document, state: State) -> float:
    return sum(document.finding(letter).minutes for letter in state.asked)


def pins(document: Document, state: State) -> tuple[Pin, ...]:
    """Everything a judgement can cite now, findings by letter and then films by number."""
    findings = sorted(shown(document, state), key=lambda entry: entry.letter)
    count = len(document.films) + len(state.films)
    return (
        *(Pin(entry.letter, entry.letter, f"{entry.item}: {entry.result}") for entry in findings),
        *(Pin(f"film {number}", _("film %(number)d") % {"number": number}, "") for number in range(1, count + 1)),
    )
