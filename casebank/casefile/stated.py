"""The facts a case gives to the difficulty criteria: stated by findings, computed from the anatomy, read on films."""

from collections.abc import Sequence

from casebank.casefile.document import Document
from casebank.casefile.readings import Reading, plainest
from casebank.difficulty import Criteria, FactorLevel, Measured, Stated, measured_from, together


def facts_of(document: Document, readings: Sequence[Reading], criteria: Criteria) -> dict[str, Stated | Measured]:
    """All facts of a case by name, the bend by the set's construction.

    ValueError if a finding states what the anatomy decides.
    """
    measured = measured_from(document.anatomy)
    method = criteria.angle.method
    shown = plainest(readings, method)
    measured["seen_curvature_deg"] = Measured(
        value=method.of(shown.bend),
        unit="deg",
        method=method.said,
        source=f"canal {shown.canal}, film {shown.film} ({view_words(shown)})",
    )
    stated = {
        fact: Stated(value=value, finding=finding.letter)
        for finding in document.chart
        for fact, value in finding.states.items()
    }
    return together(measured, stated)


def pins_for(document: Document, criteria: Criteria, factor: FactorLevel, films: Sequence[int]) -> frozenset[str]:
    """The pins of which any one supports a factor's level: findings that state or show its facts, and films.

    A level that nothing states needs no pin.
    """
    letters = {finding.letter for finding in document.chart}
    pins = {source for source in factor.evidence if source in letters}
    if pins != set(factor.evidence):
        facts = {rule.fact for rule in criteria.factor(factor.factor_id).rules}
        pins |= {finding.letter for finding in document.chart if facts & set(finding.shows)}
        pins |= {f"film {number}" for number in films}
    return frozenset(pins)


def view_words(reading: Reading) -> str:
    """A view in words, with its angle."""
    angle = reading.view.horizontal_deg
    if angle == 0:
        return "tube straight"
    return f"tube moved {abs(angle):.0f}° {'mesially' if angle > 0 else 'distally'}"
