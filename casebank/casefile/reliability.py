"""How far a pulp test can be trusted, loaded once from `reliability.toml` with source and status."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from casebank.casefile.document import Finding
from casebank.casefile.tests_made import PULP_TESTS

STATUSES = ("verified", "from memory")


@dataclass(frozen=True)
class Reliability:
    """Pooled figures of one test; it is positive when it says that the pulp is dead.

    Attributes
    ----------
    sensitivity : float
        Share of dead pulps that the test calls dead, above 0 and below 1.
    specificity : float
        Share of living pulps that the test calls living, above 0 and below 1.
    studies : int
        How many studies were pooled.
    source, status : str
        Where the figures stand, and whether they were read there or are recalled.
    """

    sensitivity: float
    specificity: float
    studies: int
    source: str
    status: str

    def __post_init__(self) -> None:
        if not (0 < self.sensitivity < 1 and 0 < self.specificity < 1):
            raise ValueError("sensitivity and specificity lie above 0 and below 1: correct them")
        if self.status not in STATUSES:
            raise ValueError(f"a status of {self.status!r} is none of {', '.join(STATUSES)}")


@cache
def reliability() -> Mapping[str, Reliability]:
    """The figures of every pulp test, by the test's kind."""
    return read_figures((resources.files("casebank.casefile") / "reliability.toml").read_text(encoding="utf-8"))


def read_figures(text: str) -> dict[str, Reliability]:
    """Figures by kind of test, from TOML. ValueError, naming what is wrong, if a test is missing, unknown or odd."""
    content: dict[str, Any] = tomllib.loads(text)
    tests = content.get("test", {})
    if set(tests) != PULP_TESTS:
        raise ValueError(f"the figures must name each pulp test once: {', '.join(sorted(PULP_TESTS))}")
    try:
        return {kind: Reliability(**figures, **content["pooled"]) for kind, figures in tests.items()}
    except (KeyError, TypeError) as trouble:
        raise ValueError(f"the figures cannot be read ({trouble}): give each test the same two numbers") from trouble


def trust_in(finding: Finding) -> str | None:
    """One sentence on how far a finding's pulp test can be trusted; none if it reports no pulp test that was done.

    Examples
    --------
    >>> from casebank.casefile.tests_made import ToothTest
    >>> made = ToothTest(kind="cold", tooth=37, response="none")
    >>> trust_in(Finding(letter="c", item="cold 37", when="asked", minutes=1.0, result="no response", test=made))[:72]
    'Finding c, cold on 37: of 100 dead pulps cold finds 87 (sensitivity .87)'
    """
    test = finding.test
    if test is None or not (test.of_the_pulp and test.done):
        return None
    figures = reliability()[test.kind]
    recalled = "" if figures.status == "verified" else ", from memory"
    return (
        f"Finding {finding.letter}, {test.kind} on {test.tooth}: of 100 dead pulps {test.kind} finds "
        f"{100 * figures.sensitivity:.0f} (sensitivity {_share(figures.sensitivity)}), of 100 living ones it clears "
        f"{100 * figures.specificity:.0f} (specificity {_share(figures.specificity)}); {figures.studies} studies "
        f"pooled: {figures.source}{recalled}."
    )


def _share(share: float) -> str:
    return f"{share:.2f}".removeprefix("0")
