"""How canals of one root meet and part on their way: types as paths from orifice to apex.

A path names how many canals run side by side, level after level: 2-1 are two orifices whose canals meet and end in one
foramen. Every canal has a full course of its own; where a path counts fewer canals than there are, some run as one.
"""

import re
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Path = tuple[int, ...]
Shares = NDArray[np.float64]

MOST_CANALS = 4  # side by side in one root: a limit of ours
USUAL_LEVELS: dict[int, tuple[float, ...]] = {
    1: (),
    2: (0.65,),
    3: (0.30, 0.70),
    4: (0.25, 0.50, 0.75),
}  # teaching choice
VERTUCCI_SOURCE = "Vertucci, Oral Surg 1984;58:589-599, 2400 cleared teeth"
VERTUCCI_STATUS = "from memory"  # the paper is verified, the path strings are recalled
VERTUCCI: MappingProxyType[str, Path] = MappingProxyType(
    {
        "I": (1,),
        "II": (2, 1),
        "III": (1, 2, 1),
        "IV": (2,),
        "V": (1, 2),
        "VI": (2, 1, 2),
        "VII": (1, 2, 1, 2),
        "VIII": (3,),
    }
)


def parsed(text: str) -> Path:
    """A path written as counts, such as "2-1", or as the name of a type, such as "II".

    Raises
    ------
    ValueError
        If it is neither, a count repeats the one before it, or more than four canals run side by side.

    Examples
    --------
    >>> parsed("II"), parsed("2-1-2"), parsed("3-2")
    ((2, 1), (2, 1, 2), (3, 2))
    """
    if text in VERTUCCI:
        return VERTUCCI[text]
    if not re.fullmatch(r"[1-9](-[1-9])*", text):
        raise ValueError(f"{text!r} is no path: give a type from I to VIII, or counts from orifice to apex such as 2-1")
    path = tuple(int(count) for count in text.split("-"))
    if max(path) > MOST_CANALS:
        raise ValueError(f"{text!r} has more than {MOST_CANALS} canals side by side: give fewer")
    if any(above == below for above, below in pairwise(path)):
        raise ValueError(f"{text!r} repeats a count: name a level only where canals meet or part")
    return path


def written(path: Path) -> str:
    """A path as text.

    >>> written((1, 2, 1))
    '1-2-1'
    """
    return "-".join(map(str, path))


def type_of(path: Path) -> str | None:
    """The name of Vertucci's type with that path; none if he has none, as for 3-2.

    >>> type_of((1, 2)), type_of((3, 2))
    ('V', None)
    """
    return next((name for name, known in VERTUCCI.items() if known == path), None)


def canals_in(path: Path) -> int:
    """How many canals a path has: as many as run side by side at its busiest level."""
    return max(path)


@dataclass(frozen=True)
class Strand:
    """One canal's place among those of its root, level by level.

    Attributes
    ----------
    path : tuple of int
        The root's path.
    places : tuple of float
        One for each count of the path: -1 the most buccal place, +1 the most lingual, 0 the middle.
    levels : tuple of float
        Shares of the way from orifice to foramen at which canals meet or part; one fewer than places.
    """

    path: Path
    places: tuple[float, ...]
    levels: tuple[float, ...]

    def at(self, shares: Shares) -> Shares:
        """The place, -1 to 1, shape (n,), at shares of the way: without a kink, and at rest where canals run as one.

        Canals that meet close in over the whole stretch above, in one bend; canals that part do so over the whole
        stretch below. Between parting and meeting a canal swings out and back.
        """
        ends = (0.0, *self.levels, 1.0)
        place = np.full(np.shape(shares), self.places[-1], dtype=np.float64)
        for number, own in enumerate(self.places):
            low, high = ends[number], ends[number + 1]
            here = (shares >= low) & (shares < high if number < len(self.places) - 1 else shares <= np.inf)
            x = np.clip((shares[here] - low) / (high - low), 0.0, 1.0)
            place[here] = self._within(number, own, x)
        return place

    def _within(self, number: int, own: float, x: Shares) -> Shares:
        first, last = number == 0, number == len(self.places) - 1
        # canals that part below a level start from one place there; those that meet at one have come to it above
        before = own if first or self.path[number - 1] > self.path[number] else self.places[number - 1]
        after = own if last or self.path[number + 1] > self.path[number] else self.places[number + 1]
        if own not in (before, after):
            out, back = _smooth(np.minimum(1.0, 2 * x)), _smooth(np.clip(2 * x - 1, 0.0, 1.0))
            return before + (own - before) * out + (after - own) * back
        if after != own:
            return after + (own - after) * ((1 - x) ** 2 if first else 1 - _smooth(x))
        return before + (own - before) * (x**2 if last else _smooth(x))


def strands(path: Path, levels: tuple[float, ...] | None = None) -> tuple[Strand, ...]:
    """One strand a canal, the most buccal first.

    Parameters
    ----------
    path : tuple of int
    levels : tuple of float or None
        Shares of the way, ascending, at which the count changes; usual ones if left out.

    Raises
    ------
    ValueError
        If the levels are not one fewer than the counts, or do not rise inside 0 to 1.

    Examples
    --------
    >>> [strand.places for strand in strands((2, 1))]
    [(-1.0, 0.0), (1.0, 0.0)]
    """
    chosen = levels if levels is not None else usual_levels(path)
    ends = (0.0, *chosen, 1.0)
    if len(chosen) != len(path) - 1 or not all(low < high for low, high in pairwise(ends)):
        raise ValueError(
            f"the path {written(path)} changes its count {len(path) - 1} times, at shares that rise between 0 and 1: "
            f"{chosen} does not say where"
        )
    canals = canals_in(path)
    return tuple(
        Strand(path, tuple(_place(canal * count // canals, count) for count in path), chosen) for canal in range(canals)
    )


def usual_levels(path: Path) -> tuple[float, ...]:
    """Shares of the way at which the count changes, if nothing else is asked for: a teaching choice."""
    return USUAL_LEVELS.get(len(path)) or tuple(float(x) for x in np.linspace(0, 1, len(path) + 1)[1:-1])


def _place(group: int, count: int) -> float:
    return 0.0 if count == 1 else 2.0 * group / (count - 1) - 1.0


def _smooth(x: Shares) -> Shares:
    return np.asarray(x * x * (3 - 2 * x))
