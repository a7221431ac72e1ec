"""In which stage each move at the bench may be made."""

import pytest

from assess.log import Committed, Moved, OutOfTurn, Stage, fold
from casebank.instruments import (
    CoronalSeal,
    Dry,
    EngineFile,
    FillCanal,
    FilmLength,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Lubricate,
    Medicate,
    NextVisit,
    Patency,
    Provisional,
    ReadElectronically,
    Seal,
    TrialFit,
)

CASE = "leaning-abutment"
IN_SHAPE = (HandFile(10, 19.0), EngineFile(25, 0.04, 19.0), Lubricate(), ReadElectronically(), FilmLength(15, 19.0))
IN_BOTH = (
    *(Irrigate(), Patency(), FitCone(35, 0.04, 19.0), TrialFit(35, 0.04, 19.0)),
    *(Dry(), Medicate(), Provisional(), NextVisit()),
)
IN_FILL = (Seal(19.0), FillCanal("cold lateral", 35, 0.04, 19.0), CoronalSeal())


def moved_in(stage, move):
    """A log that has come to a stage and makes one move there."""
    before = list(Stage)[: list(Stage).index(stage)]
    events = [Committed(seq=number, case=CASE, stage=each) for number, each in enumerate(before, 1)]
    return [*events, Moved(seq=len(events) + 1, case=CASE, canal="MB", move=move)]


@pytest.mark.parametrize("move", [*IN_SHAPE, Gauge(25, 19.0), *IN_BOTH], ids=lambda move: move.kind)
def test_canals_are_found_shaped_and_dressed_in_shape(move):
    assert fold(moved_in(Stage.SHAPE, move), case=CASE).moves == (("MB", move),)


@pytest.mark.parametrize("move", [*IN_BOTH, *IN_FILL], ids=lambda move: move.kind)
def test_canals_are_tried_dried_dressed_and_filled_in_fill(move):
    assert fold(moved_in(Stage.FILL, move), case=CASE).moves == (("MB", move),)


@pytest.mark.parametrize(
    ("stage", "move"),
    [*((Stage.FILL, move) for move in IN_SHAPE), *((Stage.SHAPE, move) for move in IN_FILL)],
    ids=lambda part: getattr(part, "kind", str(part)),
)
def test_nothing_is_filled_before_shaping_is_committed_and_nothing_shaped_after(stage, move):
    with pytest.raises(OutOfTurn):
        fold(moved_in(stage, move), case=CASE)


@pytest.mark.parametrize("stage", [Stage.LOOK, Stage.OPEN])
def test_no_move_is_made_before_the_tooth_is_open(stage):
    with pytest.raises(OutOfTurn, match="belongs to Shape"):
        fold(moved_in(stage, Dry()), case=CASE)
