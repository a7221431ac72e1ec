"""An opening in words, and as the object that a case file holds. Never to be shown before release."""

from typing import Any

from casebank.anatomy import AccessPlan, AccessVerdict
from casebank.anatomy.access_findings import IN_WORDS


def opening_record(plan: AccessPlan) -> dict[str, Any]:
    """A plan as the `opening` of a case file, to 0.01 mm and 0.01 degrees.

    >>> from casebank.anatomy import BurAxis
    >>> opening_record(AccessPlan(((0.0, 0.0), (2.004, 0.0), (0.0, 2.0)), 7.5, BurAxis(-0.0, 4.0)))["outline_mm"]
    [[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]]
    """
    return {
        "outline_mm": [[_short(right), _short(down)] for right, down in plan.outline],
        "depth_mm": _short(plan.depth_mm),
        "distal_deg": _short(plan.axis.distal_deg),
        "lingual_deg": _short(plan.axis.lingual_deg),
    }


def verdict_words(verdict: AccessVerdict) -> tuple[str, ...]:
    """A verdict in sentences: what it comes to in short, then each finding, the gravest first."""
    findings = [f"{IN_WORDS[one.level].capitalize()}: {one.reason}" for one in verdict.findings]
    return (f"In short: {verdict.in_short}.", *findings)


def _short(number: float) -> float:
    return round(number, 2) + 0.0  # + 0.0: no minus before a nought
