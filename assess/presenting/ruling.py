"""Two readings on one graduated rule: the student's a pointer above, the reference a bracket below."""

import math
from dataclasses import dataclass

from django.utils.translation import gettext as _

from casebank.rubric import MeasureRule

SPAN = 300.0  # the rule's length in the drawing
BRACKET = 6.0  # half a bracket's width


@dataclass(frozen=True)
class Tick:
    x: float
    long: bool
    text: str


@dataclass(frozen=True)
class Reading:
    """A figure with its unit, and where it stands; a bracket stands from one place to another."""

    text: str
    x: float
    from_x: float
    to_x: float


@dataclass(frozen=True)
class Ruler:
    label: str
    ticks: tuple[Tick, ...]
    said: Reading | None
    reference: Reading
    gap: str


def percent_ruler(label: str, expected: float | None, came_to: float) -> Ruler:
    """What was expected of a stage and what it came to, in percent.

    >>> ruler = percent_ruler("Look", 80, 60)
    >>> ruler.said.x, ruler.reference.from_x, ruler.gap
    (240.0, 174.0, 'Expected: 20 more.')
    """
    ticks = tuple(Tick(SPAN * n / 10, n % 5 == 0, f"{10 * n} %" if n % 5 == 0 else "") for n in range(11))
    said = _reading(f"{expected:.0f} %", expected / 100) if expected is not None else None
    gap = round(expected - came_to) if expected is not None else 0
    words = ""
    if expected is not None:
        words = (
            _("Expected: as much.")
            if gap == 0
            else (_("Expected: %(gap)d more.") if gap > 0 else _("Expected: %(gap)d less.")) % {"gap": abs(gap)}
        )
    return Ruler(label, ticks, said, _reading(f"{came_to:.0f} %", came_to / 100), words)


def measure_ruler(label: str, said: float, reference: float, rule: MeasureRule) -> Ruler:
    """A reading and its reference on a rule that holds both with room on either side."""
    step = 1.0 if rule.unit == "mm" else 5.0
    low = max(0.0, step * (math.floor(min(said, reference) / step) - 1))
    high = step * (math.ceil(max(said, reference) / step) + 1)
    count = round((high - low) / step)
    every = max(1, math.ceil(count / 6))
    ticks = tuple(
        Tick(round(SPAN * n / count, 1), n % every == 0, _figure(low + n * step, rule) if n % every == 0 else "")
        for n in range(count + 1)
    )
    gap = round(said - reference, 1)
    words = (
        _("The two agree.")
        if gap == 0
        else (_("%(gap)s above") if gap > 0 else _("%(gap)s below")) % {"gap": _figure(abs(gap), rule)}
    )
    return Ruler(
        label,
        ticks,
        _reading(_figure(said, rule), (said - low) / (high - low)),
        _reading(_figure(reference, rule), (reference - low) / (high - low)),
        words,
    )


def _reading(text: str, share: float) -> Reading:
    x = round(SPAN * min(1.0, max(0.0, share)), 1)
    return Reading(text, x, round(x - BRACKET, 1), round(x + BRACKET, 1))


def _figure(value: float, rule: MeasureRule) -> str:
    number = f"{value:.1f}".removesuffix(".0").replace("-", "−")
    return f"{number}°" if rule.unit == "deg" else f"{number} mm"
