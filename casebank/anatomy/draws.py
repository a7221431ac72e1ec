"""Numbers drawn from one seed: the same ones for the same seed, on every machine and in every version of Python."""

import random
from collections.abc import Mapping


class Draws:
    """A stream of drawn numbers that belongs to one seed and one subject.

    Parameters
    ----------
    seed : int
        0 or more.
    subject : str
        What is drawn; two subjects of one seed do not repeat each other's numbers.

    Raises
    ------
    ValueError
        If the seed is below 0 or not a whole number.
    """

    def __init__(self, seed: int, subject: str) -> None:
        if not isinstance(seed, int) or isinstance(seed, bool) or seed < 0:
            raise ValueError(f"a seed of {seed!r} cannot be: give a whole number of 0 or more")
        self._random = random.Random(f"{subject}/{seed}")

    def between(self, low: float, high: float) -> float:
        """Anywhere from low to high, evenly."""
        return low + (high - low) * self._random.random()

    def near(self, mean: float, spread: float, *, most: float = 2.0) -> float:
        """Near a mean, more often close to it than far; never further off than `most` spreads."""
        # the sum of twelve even draws less six is near enough to a normal one, and the same everywhere
        off = sum(self._random.random() for _ in range(12)) - 6.0
        return mean + spread * max(-most, min(most, off))

    def happens(self, percent: float) -> bool:
        """Whether something that happens in so many percent happens now."""
        return 100 * self._random.random() < percent

    def one_of(self, percents: Mapping[str, float]) -> str:
        """One of the names, each as often as its percent says; they need not add up to 100.

        ValueError if nothing has a percent above 0.
        """
        whole = sum(percents.values())
        if whole <= 0:
            raise ValueError("there is nothing to draw from: give at least one share above 0")
        left = whole * self._random.random()
        for name, percent in percents.items():
            left -= percent
            if left < 0:
                return name
        return [name for name, percent in percents.items() if percent > 0][-1]  # rounding left nothing over
