"""What a stored grade says of the bench beside its tasks: minutes in the chair, and what was seen but not weighed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Seen:
    """One observation that no task of the rubric asks for: where, what was found, and what missed it."""

    where: str
    said: str
    full: bool
    notes: tuple[str, ...]


def chair_words(result: Mapping[str, Any]) -> str:
    """Minutes in the chair in one sentence; nothing for a grade made before they were counted.

    >>> chair_words({"chair": {"minutes": 12.5, "findings": 4, "films": 3, "moves": {"gauge": 5.5}}})
    'About 13 minutes in the chair: 4 for findings, 3 for further films, 6 at the bench.'
    """
    chair = result.get("chair")
    if not chair:
        return ""
    return _(
        "About %(all)d minutes in the chair: %(findings)d for findings, %(films)d for further films, "
        "%(bench)d at the bench."
    ) % {
        "all": _whole(chair["minutes"]),
        "findings": _whole(chair["findings"]),
        "films": _whole(chair["films"]),
        "bench": _whole(sum(chair["moves"].values())),
    }


def unweighed(result: Mapping[str, Any]) -> tuple[Seen, ...]:
    """Observations of the bench that the rubric of this grade does not weigh, in the order they were made."""
    asked = {one["id"] for one in result["criteria"]}
    return tuple(
        Seen(
            _("canal %(canal)s") % {"canal": one["canal"]} if one["canal"] else "",
            one["said"],
            one["met"] == one["of"],
            tuple(one["notes"]),
        )
        for one in result.get("bench", ())
        if one["task"] not in asked
    )


def _whole(minutes: float) -> int:
    return int(minutes + 0.5)
