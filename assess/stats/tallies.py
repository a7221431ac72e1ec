"""What was counted of one item, and the share that agrees with the reference."""

from dataclasses import astuple, dataclass, fields

from assess.stats.intervals import wilson


@dataclass(frozen=True)
class Counts:
    """Attempts at one item by how they stand to the reference. Counts of other attempts can be added.

    Attributes
    ----------
    agree, over, under : int
        Attempts at the reference, above it and below it.
    other : int
        Attempts that differ from it without a direction.
    silent : int
        Attempts that say nothing.

    Raises
    ------
    ValueError
        If a count is no whole number or is negative.

    Examples
    --------
    >>> both = Counts(agree=3, over=1) + Counts(agree=2, silent=4)
    >>> both.n, both.answered
    (10, 6)
    """

    agree: int = 0
    over: int = 0
    under: int = 0
    other: int = 0
    silent: int = 0

    def __post_init__(self) -> None:
        for field in fields(self):
            count = getattr(self, field.name)
            if not isinstance(count, int) or isinstance(count, bool) or count < 0:
                raise ValueError(f"{field.name} = {count!r} is not a count: give a whole number of 0 or more")

    @property
    def n(self) -> int:
        """All attempts."""
        return self.answered + self.silent

    @property
    def answered(self) -> int:
        """The attempts that say something."""
        return self.agree + self.over + self.under + self.other

    def __add__(self, others: "Counts") -> "Counts":
        return Counts(*(here + there for here, there in zip(astuple(self), astuple(others), strict=True)))


@dataclass(frozen=True)
class Agreement:
    """The share of attempts that agree, 0 to 1, with the ends of its 95 % score interval and what it rests on."""

    share: float
    low: float
    high: float
    n: int


def agreement(counts: Counts) -> Agreement | None:
    """The share of all attempts that agree with the reference; None where there is none.

    A silent attempt counts as one that does not agree: whoever leaves a judgement out has not made it, and a share of
    those who answered would rise when the unsure fall silent. Over, under and silent stay counts, for the reader to
    see which way an item is missed.

    The interval is `wilson`'s. It takes attempts for independent, so it fits one item with one attempt a person; over
    several items or cases of the same persons the true interval is wider.

    Examples
    --------
    >>> found = agreement(Counts(agree=5, under=3, silent=2))
    >>> found.share, round(found.low, 4), round(found.high, 4), found.n
    (0.5, 0.2366, 0.7634, 10)
    """
    if counts.n == 0:
        return None
    low, high = wilson(counts.agree, counts.n)
    return Agreement(share=counts.agree / counts.n, low=low, high=high, n=counts.n)
