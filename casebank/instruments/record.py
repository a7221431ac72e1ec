"""The record of a canal: its steps in order, and what each step was for."""

from dataclasses import dataclass

from casebank.instruments.cavity import OPEN, Cavity
from casebank.instruments.closing_moves import FillCanal, TrialFit
from casebank.instruments.felt import Felt, Reach, Why
from casebank.instruments.lumen import Lumen, Shape
from casebank.instruments.moves import (
    CoronalFlare,
    EngineFile,
    FilmLength,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    Patency,
    ReadElectronically,
    ReadLength,
    Recapitulate,
)
from casebank.instruments.teaching import TEACHING

PATH_SIZE = 10  # a loose size 10 is the least path before an engine file: Ajina, Billis and Chong, Eur Endod J 2022
LARGEST_PATH_SIZE = 15
LARGEST_PATH_TAPER = 0.04

AT_A_LENGTH = ReadLength | ReadElectronically | FilmLength  # moves that leave a hand file standing to read a length
TO_THE_END = HandFile | Recapitulate | Patency | AT_A_LENGTH | EngineFile | Gauge | FitCone | TrialFit

NOUNS = {  # what each kind of move puts into a canal
    "hand_file": "A hand file",
    "recapitulate": "A hand file",
    "patency": "A hand file",
    "read_length": "A hand file",
    "read_electronically": "A hand file",
    "film_length": "A hand file",
    "coronal_flare": "The coronal flare",
    "engine_file": "An engine file",
    "irrigate": "A needle of",
    "gauge": "A gauge",
    "fit_cone": "A cone",
    "trial_fit": "A trial instrument",
    "fill_canal": "A filling with cone",
}


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
    cavity : Cavity
        How the tooth stood closed after the step, and which visit it was.
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
    cavity: Cavity = OPEN


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
    """Whether the step shaped the canal beyond a hand's path: any engine file, or a hand file above 15."""
    if not entered(step):
        return False
    return isinstance(step.move, EngineFile) or (isinstance(step.move, HandFile) and step.move.size > LARGEST_PATH_SIZE)


def widens_past_the_path(step: Step) -> bool:
    """Whether the step shaped more than a path, which a small engine file of little taper may widen.

    Common practice, no source; largest size and taper of a path are teaching choices.
    """
    if isinstance(step.move, EngineFile) and step.move.size <= LARGEST_PATH_SIZE:
        return shapes(step) and step.move.taper > LARGEST_PATH_TAPER
    return shapes(step)


def size_of(move: Move) -> int | None:
    """Tip size of what a move puts down the canal; none for what has no tip, and for the flare, which stays coronal."""
    return move.size if isinstance(move, TO_THE_END | FillCanal) else None


def taper_of(move: Move) -> float | None:
    """Taper of what a move puts down the canal, where it is not that of a hand file."""
    return move.taper if isinstance(move, EngineFile | FitCone | TrialFit | FillCanal) else None


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


def spoken(move: Move) -> str:
    """What a move put into the canal, with its article and label, so that a sentence can begin with it."""
    noun, size, taper = NOUNS.get(move.kind, "What was brought in"), size_of(move), taper_of(move)
    if isinstance(move, Irrigate):
        return f"{noun} {move.needle_mm:.2f} mm"
    if size is None:
        return noun
    return f"{noun} {size:02d}" if taper is None else f"{noun} {size:02d}/.{round(taper * 100):02d}"


def at_mm(step: Step) -> float:
    """Length from the reference cusp at which a step's tip stood."""
    return step.before.reading_of(step.reach.tip_mm)


def reads_length(step: Step) -> bool:
    """Whether a length was read: by locator, by both, or on a film with a file in place, however far it stood."""
    return isinstance(step.move, AT_A_LENGTH) and step.reach.hold in ("read", "filmed")


def scouted_mm(steps: tuple[Step, ...]) -> float:
    """Greatest depth at which a hand file of 10 or larger has been loose."""
    depths = [
        step.reach.slides_mm
        for step in steps
        if isinstance(step.move, HandFile | Recapitulate | Patency | AT_A_LENGTH)
        and step.move.size >= PATH_SIZE
        and entered(step)
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
        if isinstance(step.move, TO_THE_END)
        and step.move.size > above_size
        and step.reach.tip_mm > record.shape.length_mm + 0.05
    )
