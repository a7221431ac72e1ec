"""Events of an attempt and the fold that gives its state."""

from assess.log.events import (
    AnyEvent,
    Asked,
    Chose,
    Committed,
    FilmTaken,
    Levelled,
    Marked,
    MarkedOwn,
    Measured,
    Moved,
    Outlined,
    SelfGraded,
    Stage,
    VolumeAsked,
    Wrote,
)
from assess.log.fold import Answer, OutOfTurn, State, fold, step
from assess.log.reading import Log, read_log

__all__ = [
    "Answer",
    "AnyEvent",
    "Asked",
    "Chose",
    "Committed",
    "FilmTaken",
    "Levelled",
    "Log",
    "Marked",
    "MarkedOwn",
    "Measured",
    "Moved",
    "OutOfTurn",
    "Outlined",
    "SelfGraded",
    "Stage",
    "State",
    "VolumeAsked",
    "Wrote",
    "fold",
    "read_log",
    "step",
]
