"""Moves that brought nothing: a small cost, and never a reason to leave out a rinse, a check or a recapitulation."""

from collections.abc import Iterator

from casebank.instruments.bench import Bench
from casebank.instruments.moves import FilmLength, Irrigate
from casebank.instruments.observation import Observation
from casebank.instruments.record import AT_A_LENGTH, Record, Step, at_mm, cuts, entered, spoken

FILMS_A_CANAL = (
    2  # a length is read before shaping and again after the flare: a teaching choice, see process.length_read
)
SPARED = (
    0.1  # this share of the moves may bring nothing before it is noted: nobody's hand is perfect, a teaching choice
)


def wasted(record: Record) -> tuple[tuple[Step, str], ...]:
    """Steps in one canal that brought nothing, each with a sentence."""
    return tuple(sorted(_wasted(record), key=lambda one: one[0].number))


def economy(bench: Bench, *, films: int = 0, extra_films: int = 0, volume_films: int = 0) -> Observation:
    """Moves and further films that brought something, of all that were made; a tenth may be wasted for nothing.

    `films` counts the further films taken, `extra_films` those among them that answered no question of the case,
    `volume_films` the dose of a volume that nothing justified, as so many films.
    """
    if not 0 <= extra_films <= films:
        raise ValueError(f"{extra_films} of {films} further films cannot be extra: count again")
    name, made = "economy", len(bench.record) + films + volume_films
    if not bench.record:
        return Observation(name, 0, 1, "Nothing was done at the bench.")
    lost = [said for canal in bench.canals for _, said in wasted(bench.record_of(canal))]
    lost += [f"Further films that answered no question of this case: {extra_films}."] if extra_films else []
    lost += [f"A volume that nothing justified: its dose counts as {volume_films} films."] if volume_films else []
    count = len(lost) + max(0, extra_films - 1) + max(0, volume_films - 1)
    met = made if count <= SPARED * made else made - count
    let_pass = ", and up to a tenth without use is let pass" if 0 < count <= SPARED * made else ""
    said = f"{made - count} of {made} moves and further films brought something{let_pass}."
    return Observation(name, met, made, said, tuple(lost) if met < made else ())


def _wasted(record: Record) -> Iterator[tuple[Step, str]]:
    films, last = 0, None
    for step in record.steps:
        if step.reach.hold == "refused":
            yield step, f"Move {step.number}: nothing more can be done in canal {step.canal}; go on with the others."
            continue
        if isinstance(step.move, FilmLength):
            films += 1
            if films > FILMS_A_CANAL:
                yield (
                    step,
                    f"Move {step.number}: film {films} of a file in canal {step.canal}, at {at_mm(step):.1f} mm.",
                )
                continue
        if _put_nothing_in(step):
            yield step, f"Move {step.number}: {_lower(spoken(step.move))} did not enter canal {step.canal}."
        elif last and _again_for_nothing(last, step):
            yield (
                step,
                f"Move {step.number}: {_lower(spoken(step.move))} once more to {at_mm(step):.1f} mm in canal "
                f"{step.canal}, with nothing done in between.",
            )
        last = step


def _put_nothing_in(step: Step) -> bool:
    """Whether a move puts an instrument or a rinse into the canal, so that one that did not enter was for nothing."""
    return not entered(step) and (hasattr(step.move, "to_mm") or isinstance(step.move, Irrigate | AT_A_LENGTH))


def _again_for_nothing(last: Step, step: Step) -> bool:
    """The same move twice running: the first had already gone where it was to go, or the second went no deeper."""
    if step.move != last.move or isinstance(step.move, Irrigate):
        return False
    return last.reach.at_length or (not cuts(step) and step.reach.tip_mm <= last.reach.tip_mm)


def _lower(words: str) -> str:
    return words[0].lower() + words[1:]
