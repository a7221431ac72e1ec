"""What a limited cone-beam volume costs beside films, and the reasons it may be asked for with."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

Justified = Literal["yes", "after films", "no"]
Need = Literal["", "author", "further canal", "closed canal", "resorption", "earlier filling"]

ANGLES_FIRST = 2
"""From how many horizontal angles films come first, where films come first."""


@dataclass(frozen=True)
class Dose:
    """A typical effective dose, microsievert, its published range, and where it comes from."""

    what: str
    microsievert: float
    range_microsievert: tuple[float, float]
    note: str
    source: str
    basis: str


@dataclass(frozen=True)
class Reason:
    """A reason a volume may be asked for with.

    Attributes
    ----------
    justified : str
        "yes"; "after films", if films from two angles were looked at first; or "no".
    because : str
        One sentence for the feedback.
    sources : tuple of str
    needs : str
        What has to hold in the case; "author" where only its author can say so, empty where nothing has to.
    """

    slug: str
    words: str
    justified: Justified
    because: str
    sources: tuple[str, ...]
    needs: Need = ""


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((files("casebank.radiograph") / "cone_beam.toml").read_text(encoding="utf-8"))


@cache
def doses() -> tuple[Dose, ...]:
    """A film's dose and a limited volume's, in this order."""
    return tuple(Dose(**{**row, "range_microsievert": tuple(row["range_microsievert"])}) for row in _table()["dose"])


@cache
def reasons() -> tuple[Reason, ...]:
    """All reasons on offer, in the file's order: a page shuffles them."""
    names = _table()["sources"]
    return tuple(
        Reason(**{**row, "sources": tuple(names[source] for source in row["sources"])}) for row in _table()["reason"]
    )


def in_films() -> int:
    """How many periapical films give the dose of one limited volume, typically."""
    film, volume = doses()
    return round(volume.microsievert / film.microsievert)


def is_justified(slug: str, angles_seen: int) -> bool:
    """Whether a request with this reason is justified by then.

    Parameters
    ----------
    angles_seen : int
        From how many horizontal angles films of the tooth were looked at before.

    Raises
    ------
    KeyError
        If there is no such reason.
    """
    justified = reason_of(slug).justified
    return justified == "yes" or (justified == "after films" and angles_seen >= ANGLES_FIRST)


def reason_of(slug: str) -> Reason:
    """The reason of that name. KeyError with the names there are, if there is none."""
    for reason in reasons():
        if reason.slug == slug:
            return reason
    raise KeyError(f"no reason {slug}: there are {', '.join(reason.slug for reason in reasons())}")
