"""What is seen when a canal's record is looked over: a count met of a count asked, in words."""

from dataclasses import dataclass

NOTHING_SHAPED = "Nothing was shaped in this canal."


@dataclass(frozen=True)
class Observation:
    """One thing looked for: how often it was met, of how often it could be, in words, with the steps that missed it."""

    name: str
    met: int
    of: int
    said: str
    notes: tuple[str, ...] = ()

    @property
    def is_full(self) -> bool:
        return self.met == self.of
