"""What a comparison comes to: a credit, a sentence, and which way the answer departs."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Verdict:
    """How well an answer agrees with its reference.

    Attributes
    ----------
    credit : float
        From 0 to 1.
    why : str
        One or two sentences.
    leaning : int or None
        Which way the answer departs: +1 over the reference, -1 under it, 0 where it agrees (a level also agrees when
        its evidence is missing), None where departing has no direction.
    """

    credit: float
    why: str
    leaning: int | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.credit <= 1:
            raise ValueError(f"a credit lies between 0 and 1, not at {self.credit}: correct the comparison")
        if self.leaning not in {None, -1, 0, 1}:
            raise ValueError(
                f"an answer leans by -1, 0, 1 or not at all, not by {self.leaning}: correct the comparison"
            )
