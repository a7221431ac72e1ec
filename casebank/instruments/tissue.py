"""Whether tissue beyond the canal's end was wounded, so that blood comes into the canal until the next visit."""

from dataclasses import replace

from casebank.instruments import damage
from casebank.instruments.felt import Outcome
from casebank.instruments.lumen import Lumen
from casebank.instruments.moves import MOST_BEYOND_MM, EngineFile, HandFile, Move, Recapitulate

THROUGH_MM = 0.05
SMALL_SIZE = 10  # so thin a file may pass the foramen by as much as one that keeps it open: a teaching choice


def bled(outcome: Outcome, move: Move) -> Lumen:
    """The lumen after a move, bleeding if a working file tore the foramen or stood in the tissue beyond it."""
    lumen = outcome.lumen
    if not isinstance(move, HandFile | Recapitulate | EngineFile) or outcome.reach.hold == "not entered":
        return lumen
    may_mm = MOST_BEYOND_MM if move.size <= SMALL_SIZE else 0.0
    beyond = outcome.reach.tip_mm > lumen.shape.length_mm + may_mm + THROUGH_MM
    if not beyond and damage.FORAMEN_TORN not in outcome.events:
        return lumen
    return replace(lumen, contents=replace(lumen.contents, bleeding="beyond"))
