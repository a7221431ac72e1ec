"""How sure somebody was beside how right they were, from a stored grade: points, steps, and what stands out."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.grading.confidence import STEPS, step_points
from assess.stats import wilson

LEAST_TOLD = 20
"""With fewer answers at a step its share says little: the interval would be wider than the step."""
PAYS = {"unsure": (0.0, 2 / 3), "fairly sure": (2 / 3, 0.8), "sure": (0.8, 1.0)}
"""Shares right between which a step is the one that brings most."""
NAMES = {"unsure": gettext_lazy("Unsure"), "fairly sure": gettext_lazy("Fairly sure"), "sure": gettext_lazy("Sure")}
WHERE = {
    "unsure": gettext_lazy("below 67 % right"),
    "fairly sure": gettext_lazy("from 67 to 80 % right"),
    "sure": gettext_lazy("from 80 % right on"),
}


@dataclass(frozen=True)
class StepRule:
    """What a step brings where an answer is right and where it is wrong, signed, and where it is the best one."""

    name: str
    right: str
    wrong: str
    pays: str


@dataclass(frozen=True)
class StepTaken:
    """Answers given with one step: how many, how many right, and what that says."""

    name: str
    rated: int
    right: int
    pays: str
    says: str


@dataclass(frozen=True)
class Pointed:
    """A task that stands out, and where it is on the page."""

    label: str
    anchor: str


@dataclass(frozen=True)
class Sureness:
    """The confidences of one attempt. Means are worded, with their sign."""

    rated: int
    right: int
    points: str
    mean: str
    honest: str
    right_from: int
    steps: tuple[StepTaken, ...]
    sure_and_wrong: tuple[Pointed, ...]
    unsure_and_right: tuple[Pointed, ...]


def step_rules() -> tuple[StepRule, ...]:
    """The rule as it is printed before an attempt is begun."""
    return tuple(
        StepRule(
            name=str(NAMES[step]),
            right=signed(step_points(step, right=True)),
            wrong=signed(step_points(step, right=False)),
            pays=str(WHERE[step]),
        )
        for step in STEPS
    )


def sureness(result: Mapping[str, Any], pointed: Mapping[str, Pointed]) -> Sureness | None:
    """Confidences of a stored grade; none for a grade made before they were worked out.

    Parameters
    ----------
    result : mapping
        The stored grade.
    pointed : mapping of task to Pointed
        What the page calls a task; one that is not on the page is left out of the lists.
    """
    held = result.get("confidence")
    if not held:
        return None
    return Sureness(
        rated=held["rated"],
        right=held["right"],
        points=signed(held["points"]),
        mean=_mean(held["mean"]),
        honest=_mean(held["honest"]),
        right_from=round(100 * held["right_from"]),
        steps=tuple(_step(name, held["steps"][name]["rated"], held["steps"][name]["right"]) for name in STEPS),
        sure_and_wrong=tuple(pointed[task] for task in held["sure_and_wrong"] if task in pointed),
        unsure_and_right=tuple(pointed[task] for task in held["unsure_and_right"] if task in pointed),
    )


def signed(points: float) -> str:
    """Points with their sign, a true minus before those taken off.

    >>> signed(3), signed(0), signed(-6)
    ('+3', '0', '−6')
    """
    return f"{points:+g}".replace("-", "−") if points else "0"


def _mean(value: float | None) -> str:
    return "" if value is None else f"{value:+.2f}".replace("-", "−")


def _step(name: str, rated: int, right: int) -> StepTaken:
    return StepTaken(str(NAMES[name]), rated, right, str(WHERE[name]), _says(name, rated, right))


def _says(name: str, rated: int, right: int) -> str:
    """What the share right says of a step: only what its interval leaves no doubt about."""
    if not rated:
        return _("not used")
    if rated < LEAST_TOLD:
        return _("too few to tell")
    (low, high), (least, most) = wilson(right, rated), PAYS[name]
    if high < least:
        return _("surer than right")
    if low > most:
        return _("right more often than said")
    return _("in keeping with what was right")
