"""The record of a canal: its steps in order, and what each step was for."""

from dataclasses import dataclass

from casebank.instruments.felt import Felt, Reach, Why
from casebank.instruments.lumen import Lumen, Shape
from casebank.instruments.moves import (
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    ReadLength,
    Recapitulate,
)
from casebank.instruments.teaching import TEACHING

PATH_SIZE = 10  # a loose size 10 is the least path before an engine file: Ajina, Billis and Chong, Eur Endod J 2022
LARGEST_PATH_SIZE = 15


@dataclass(frozen=True)
class Step:
    """One move and what came of it. `felt` is for the student at work; the rest waits for the feedback.

    Attributes
    ----------
    number : int
        Place in the bench's record, from 1.
    canal : str
    move : Move
    felt : Felt
    why : tuple of Why
    events : tuple of str
        Harm done, in the words of `damage`.
    reach : Reach
        Where the move really ended.
    before, after : Lumen
    """

    number: int
    canal: str
    move: Move
    felt: Felt
    why: tuple[Why, ...]
    events: tuple[str, ...]
    reach: Reach
    before: Lumen
    after: Lumen


@dataclass(frozen=True)
class Record:
    """The steps made in one canal, with its state after the last of them."""

    lumen: Lumen
    steps: tuple[Step, ...]

    @property
    def shape(self) -> Shape:
        return self.lumen.shape


def entered(step: Step) -> bool:
    """Whether anything went into the canal."""
    return step.reach.hold not in ("not entered", "refused")


def is_rinse(step: Step) -> bool:
    return isinstance(step.move, Irrigate) and entered(step)


def cuts(step: Step) -> bool:
    """Whether the step worked an instrument against the walls."""
    return isinstance(step.move, HandFile | Recapitulate | EngineFile | CoronalFlare) and entered(step)


def shapes(step: Step) -> bool:
    """Whether the step shaped the canal beyond its path: any engine file, or a hand file above 15."""
    if not entered(step):
        return False
    return isinstance(step.move, EngineFile) or (isinstance(step.move, HandFile) and step.move.size > LARGEST_PATH_SIZE)


def size_of(move: Move) -> int | None:
    """Tip size of what a move puts down the canal; none for a rinse, and for the flare, which stays coronal."""
    return None if isinstance(move, Irrigate | CoronalFlare) else move.size


def instrument_of(move: Move) -> str:
    """A working instrument's name, so that a change of instrument can be told."""
    match move:
        case EngineFile():
            return f"engine file {move.size:02d}/.{round(move.taper * 100):02d}"
        case CoronalFlare():
            return "coronal flare"
        case HandFile() | Recapitulate():
            return f"hand file {move.size:02d}"
        case _:
            return move.kind


def reads_length(step: Step) -> bool:
    return isinstance(step.move, ReadLength) and step.reach.hold == "read"


def scouted_mm(steps: tuple[Step, ...]) -> float:
    """Greatest depth at which a hand file of 10 or larger has been loose."""
    depths = [
        step.reach.slides_mm
        for step in steps
        if isinstance(step.move, HandFile | Recapitulate | ReadLength) and step.move.size >= PATH_SIZE and entered(step)
    ]
    return max(depths, default=0.0)


def beyond_the_path(record: Record) -> Step | None:
    """The first engine file that went deeper than a loose size 10 had been."""
    for place, step in enumerate(record.steps):
        if isinstance(step.move, EngineFile) and entered(step):
            path_mm = scouted_mm(record.steps[:place])
            if step.reach.tip_mm > path_mm + TEACHING.reading_mm:
                return step
    return None


def through_the_foramen(record: Record, above_size: int = PATH_SIZE) -> tuple[Step, ...]:
    """Steps that took anything larger than a size through the foramen."""
    return tuple(
        step
        for step in record.steps
        if isinstance(step.move, HandFile | Recapitulate | EngineFile | Gauge | FitCone)
        and step.move.size > above_size
        and step.reach.tip_mm > record.shape.length_mm + 0.05
    )
