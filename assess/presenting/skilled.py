"""Skill above guessing in words, from a stored grade."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Skilled:
    """The figure, or the words that stand for it, and a sentence that says what it means."""

    figure: str
    meaning: str


def skilled(result: Mapping[str, Any]) -> Skilled | None:
    """Skill of a stored grade; none for a grade made before it was worked out.

    Examples
    --------
    >>> skilled({"skill": {"skill": -0.2, "baseline": 60.0, "whole": 100.0, "table": "some 2, edition 1"}}).figure
    'no better than guessing'
    >>> skilled({"percent": 80.0}) is None
    True
    """
    held = result.get("skill")
    if not held:
        return None
    guessed = {"percent": round(100 * held["baseline"] / held["whole"]) if held["whole"] else 0}
    if held["table"].endswith("edition 0"):
        guessing = _("Guessing here means answering at random, which would earn %(percent)d %%.")
    else:
        guessing = _(
            "Guessing here means always giving the answers that fit most cases of the bank, or answering at random, "
            "with moves at random at the bench: the better of the two would earn %(percent)d %%."
        )
    return Skilled(_figure(held["skill"]), f"{guessing % guessed} {_('1 is every point, 0 what guessing earns.')}")


def _figure(skill: float | None) -> str:
    if skill is None:
        return _("cannot be told: too little of this case lies above guessing")
    return f"{skill:.2f}" if round(skill, 2) > 0 else _("no better than guessing")
