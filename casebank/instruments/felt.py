"""What a move tells the hand, and, kept apart from it, why it happened.

Felt words are what a clinician could know: the handle's colour and size, where the tip stopped to half a millimetre and
how it held. `Why` holds the level, the law and its numbers, for the feedback after the case.
"""

from dataclasses import dataclass
from typing import Literal

from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import Binding, Cause

Hold = Literal[
    "not entered",
    "loose",
    "snug",
    "short",
    "rinsed",
    "read",
    "unsteady",
    "filmed",
    "brushed",
    "dry",
    "moist",
    "bloody",
    "placed",
    "closed",
    "refused",
]

HAND_WORDS: dict[Cause, str] = {
    "tip": "firm stop at the tip",
    "body": "grips higher up, the tip is free",
    "curve": "springs back in the curve",
    "buckle": "firm stop, the thin file bows",
    "mud": "soft, muddy stop",
    "chips": "soft, muddy stop",
    "ledge": "hard, dead stop on a ledge",
    "fragment": "metal on metal",
}
ENGINE_WORDS: dict[Cause, str] = {
    "tip": "the tip will not follow",
    "body": "grips the walls",
    "curve": "springs in the curve",
    "buckle": "bows and will not follow",
    "mud": "blocked by mud",
    "chips": "bogs down, flutes full",
    "ledge": "knocks on a ledge",
    "fragment": "metal on metal",
}


@dataclass(frozen=True)
class Felt:
    """One sensation in words; `at_mm` is the length at the reference cusp, to half a millimetre."""

    words: str
    at_mm: float | None = None


@dataclass(frozen=True)
class Number:
    """A symbol of an equation with its value and unit."""

    symbol: str
    value: float
    unit: str


@dataclass(frozen=True)
class Why:
    """One cause of a consequence: the level below the orifice where it arose, the law, its numbers."""

    level_mm: float
    cause: str
    equation: str
    numbers: tuple[Number, ...]


@dataclass(frozen=True)
class Reach:
    """Where a move really ended: for feedback and grading, never for the student at work.

    Attributes
    ----------
    tip_mm : float
        Depth of the tip below the orifice; 0 if nothing entered.
    short_mm : float
        Distance left to the depth aimed at.
    slides_mm : float
        Depth to which the same instrument now goes without force.
    hold : Hold
    needle_limit_mm : float
        Depth a needle must stay away from; infinite for other moves.
    """

    tip_mm: float
    short_mm: float
    slides_mm: float
    hold: Hold
    needle_limit_mm: float = float("inf")

    @property
    def at_length(self) -> bool:
        return self.hold in ("loose", "snug")


@dataclass(frozen=True)
class Outcome:
    """A move's whole consequence."""

    lumen: Lumen
    felt: Felt
    reach: Reach
    why: tuple[Why, ...] = ()
    events: tuple[str, ...] = ()


def half_mm(length_mm: float) -> float:
    """A length as a ruler with half-millimetre marks shows it.

    >>> half_mm(19.76), half_mm(18.2)
    (20.0, 18.0)
    """
    return int(length_mm * 2 + 0.5) / 2


def read_off(lumen: Lumen, tip_mm: float) -> float:
    """Length of a tip's depth on an instrument's own ruler."""
    return half_mm(max(0.0, lumen.reading_of(tip_mm)))


def not_entered(lumen: Lumen, instrument: Instrument, aim_mm: float = 0.0) -> Outcome:
    """Nothing was put into the canal."""
    return Outcome(lumen, Felt(f"{instrument.spoken}: not entered"), Reach(0.0, max(0.0, aim_mm), 0.0, "not entered"))


def stopped_words(words: str, at_mm: float, short_mm: float) -> str:
    """How an instrument holds short of its stop."""
    return f"{words} at {at_mm:.1f} mm, {max(0.5, half_mm(short_mm)):.1f} mm short of its stop"


def because(held: Binding, instrument: Instrument) -> Why:
    """The law of interference with the numbers that met."""
    return Why(
        level_mm=held.level_mm,
        cause=held.cause,
        equation="stops where D0 + T·x > c + a",
        numbers=(
            Number("D0", instrument.tip_mm, "mm"),
            Number("T", instrument.taper, "mm/mm"),
            Number("D0 + T·x", held.instrument_mm, "mm"),
            Number("c", held.lumen_mm, "mm"),
            Number("a", held.allowed_mm, "mm"),
        ),
    )


def because_it_bows(held: Binding, push_n: float, borne_n: float) -> Why:
    """A thin file takes no more of a push than the load that buckles it."""
    numbers = (Number("F", push_n, "N"), Number("F borne", borne_n, "N"))
    return Why(held.level_mm, "buckle", "bows where F > π² E I / l²", numbers)


def because_of_chips(level_mm: float, chips_mm3: float, room_mm3: float) -> Why:
    return Why(
        level_mm,
        "chips",
        "bogs down when V > R",
        (Number("V", chips_mm3, "mm³"), Number("R", room_mm3, "mm³")),
    )


def because_barred(cause: Cause, level_mm: float) -> Why:
    """A ledge or a fragment lies across the way."""
    return Why(level_mm, cause, "stops at s", (Number("s", level_mm, "mm"),))


def because_of_strain(level_mm: float, strain: float, turns: float, used: float) -> Why:
    return Why(
        level_mm,
        "fatigue",
        "life used = n·ε² / C, ε = d / 2R",
        (Number("ε", strain, "none"), Number("n", turns, "turns"), Number("life", used, "share")),
    )


def because_of_torsion(level_mm: float, share: float) -> Why:
    return Why(level_mm, "torsion", "u = 8F / (π τ k³ D0²)", (Number("u", share, "share"),))
