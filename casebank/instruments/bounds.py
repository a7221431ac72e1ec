"""What a move's numbers and words may be; each check refuses in one sentence that says what to give instead."""

import math

from casebank.instruments.teaching import TEACHING


def require_length(to_mm: float) -> None:
    """ValueError unless a length can be set on an instrument: 0 to the longest, from the reference cusp."""
    if not (math.isfinite(to_mm) and to_mm >= 0):
        raise ValueError(f"a length of {to_mm} mm cannot be set: give millimetres from the reference cusp, 0 or more")
    if to_mm > TEACHING.longest_mm:
        raise ValueError(
            f"a length of {to_mm:g} mm is beyond the longest instrument, {TEACHING.longest_mm:g} mm: shorten it"
        )


def require_within(what: str, value: float, least: float, most: float) -> None:
    """ValueError unless a number lies from `least` to `most`."""
    if not least <= value <= most:  # NaN and infinity do not; a whole number may be too large to be told either of them
        raise ValueError(f"{what} must lie from {least:g} to {most:g}, not {value}")


def require_one_of(what: str, value: str | None, choices: tuple[str | None, ...]) -> None:
    """ValueError unless a word is one of the choices."""
    if value not in choices:
        named = ", ".join(str(choice) for choice in choices)
        raise ValueError(f"{what} is one of {named}, not {value!r}")
