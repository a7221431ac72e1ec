"""What a finding says in words that a program can read: one test on one tooth, and signs seen or told.

A finding's sentence is for the student; these words are for the checks that set findings beside a diagnosis.
"""

from collections.abc import Mapping
from typing import Literal, Self

from pydantic import model_validator

from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.casefile.part import Part

TestKind = Literal[
    "cold",
    "heat",
    "electric",
    "laser Doppler",
    "pulse oximetry",
    "percussion",
    "palpation",
    "bite",
    "probing",
    "mobility",
]
Sign = Literal["swelling", "sinus tract", "spontaneous pain"]
Presence = Literal["present", "absent"]

NOT_DONE = "cannot be done"
SILENT = "none"
DOUBTFUL = "doubtful"
ANSWERING = frozenset({"normal", "heightened", "lingering"})
"""Responses of a pulp that answers."""

PULP_TESTS = frozenset({"cold", "heat", "electric", "laser Doppler", "pulse oximetry"})
"""Tests that ask whether the pulp lives."""
TENDERNESS_TESTS = frozenset({"percussion", "palpation", "bite"})
"""Tests that ask whether the tissues round the root are sore."""

_STIMULUS = (SILENT, "normal", "heightened", "lingering", DOUBTFUL, NOT_DONE)
_BLOOD_FLOW = (SILENT, "normal", DOUBTFUL, NOT_DONE)
_TENDERNESS = ("tender", "not tender", NOT_DONE)
RESPONSES: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(("cold", "heat", "electric"), _STIMULUS),
    **dict.fromkeys(("laser Doppler", "pulse oximetry"), _BLOOD_FLOW),
    **dict.fromkeys(("percussion", "palpation", "bite"), _TENDERNESS),
    "probing": ("as usual", "deep", "narrow and deep", NOT_DONE),
    "mobility": ("as usual", "increased", NOT_DONE),
}
"""The responses each test can have. "doubtful": it was done, and what it says cannot be relied on."""


class ToothTest(Part):
    """One test made on one tooth, and its response."""

    kind: TestKind
    tooth: int
    """Tooth it was made on, ISO 3950: the case's own, or a control."""
    response: str
    """One of the words that belong to the kind."""

    @model_validator(mode="after")
    def _can_be(self) -> Self:
        if self.tooth not in FDI_NUMBERS:
            raise ValueError(f"tooth {self.tooth} is no permanent tooth: give its two digits after ISO 3950")
        if self.response not in RESPONSES[self.kind]:
            raise ValueError(
                f"{self.kind} cannot answer {self.response!r}: give one of {', '.join(RESPONSES[self.kind])}"
            )
        return self

    @property
    def of_the_pulp(self) -> bool:
        """Whether it asks if the pulp lives."""
        return self.kind in PULP_TESTS

    @property
    def of_tenderness(self) -> bool:
        """Whether it asks if the tissues round the root are sore."""
        return self.kind in TENDERNESS_TESTS

    @property
    def done(self) -> bool:
        return self.response != NOT_DONE
