"""Numbers in the options of a choice: ranges that share values, and sizes that stand out of order."""

import itertools
import math
import re
from collections.abc import Sequence

WORDS = {
    word: number
    for number, word in enumerate(
        ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"], start=1
    )
} | {"a": 1, "an": 1}  # fmt: skip
DAYS = {"hour": 1 / 24, "day": 1, "week": 7, "month": 30.4, "year": 365.25}
UNITS = {**DAYS, "mm": 1, "cm": 10, "minute": 1 / 1440}
KIND = {unit: "time" if unit in DAYS or unit == "minute" else "length" for unit in UNITS}

NUMBER = r"\d+(?:\.\d+)?"
RANGE = re.compile(rf"({NUMBER})\s*(?:to|-|\u2013|and)\s*({NUMBER})")
BELOW = re.compile(rf"\b(?:under|below|less than|up to|at most|fewer than|no more than)\s+({NUMBER})")
ABOVE = re.compile(rf"\b(?:over|above|more than|at least|from)\s+({NUMBER})")
LEADING = re.compile(NUMBER)
SIZED = re.compile(rf"\b({NUMBER}|{'|'.join(WORDS)})\s+({'|'.join(UNITS)})s?\b", re.IGNORECASE)


def share_values(wordings: Sequence[str]) -> bool:
    """Whether two ranges share more than an end.

    >>> share_values(["17 to 20 mm", "19 to 22 mm"]), share_values(["under 20 mm", "20 mm", "over 20 mm"])
    (True, False)
    """
    ranges = [found for wording in wordings if (found := _range(wording)) is not None]
    return any(a[0] < b[1] and b[0] < a[1] for a, b in itertools.combinations(ranges, 2))


def out_of_order(wordings: Sequence[str]) -> bool:
    """Whether three options or more are sizes of one sort that neither rise nor fall.

    >>> out_of_order(["3", "1", "2"]), out_of_order(["a day", "six weeks", "a year"])
    (True, False)
    """
    if len(wordings) < 3:
        return False
    leading = [float(match[0]) for match in map(LEADING.match, wordings) if match]
    sized = [found for found in map(_size, wordings) if found is not None]
    if len(leading) < len(wordings) or len(sized) == len(wordings):
        if len(sized) < len(wordings) or len({kind for kind, _ in sized}) > 1:
            return False
        leading = [size for _, size in sized]
    return leading not in (sorted(leading), sorted(leading, reverse=True))


def _range(wording: str) -> tuple[float, float] | None:
    if match := RANGE.search(wording):
        return float(match[1]), float(match[2])
    if match := BELOW.search(wording.lower()):
        return -math.inf, float(match[1])
    if match := ABOVE.search(wording.lower()):
        return float(match[1]), math.inf
    return None


def _size(wording: str) -> tuple[str, float] | None:
    match = SIZED.search(wording)
    if match is None:
        return None
    number, unit = match[1].lower(), match[2].lower()
    return KIND[unit], (WORDS[number] if number in WORDS else float(number)) * UNITS[unit]
