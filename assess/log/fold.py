"""From events to the state of an attempt. The order of events is checked here; nothing else may happen out of turn."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

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
from casebank.instruments import (
    CoronalSeal,
    Dry,
    FillCanal,
    FitCone,
    Irrigate,
    Medicate,
    Move,
    NextVisit,
    Patency,
    Provisional,
    Recapitulate,
    Seal,
    TrialFit,
)

Answer = Chose | Measured | Marked | Outlined | Wrote | Levelled
STAGES = tuple(Stage)
FILLING = (Seal, FillCanal, CoronalSeal)  # what closes canals and tooth for good: only once they are shaped
AFTER_SHAPING = (  # what is still done at the bench once the canals are shaped
    FitCone,
    TrialFit,
    Irrigate,
    Recapitulate,
    Patency,
    Dry,
    Medicate,
    Provisional,
    NextVisit,
)


class OutOfTurn(ValueError):
    """An event that cannot stand where it does; the message names the event and says what to do."""


@dataclass(frozen=True)
class State:
    """An attempt as its events have left it.

    Attributes
    ----------
    closed : tuple of Stage
        Committed stages, in order.
    asked : tuple of str
        Letters of findings asked for.
    films : tuple of FilmTaken
        Further films, in order; the films given at the start are not among them.
    volume : VolumeAsked or None
        The limited volume, asked for once at most.
    films_before_volume : int
        How many further films had been taken by then.
    answers : mapping of task to its last answer
    moves : tuple of (canal, move)
    self_grade : mapping of stage to percent
    own_marks : mapping of task to names of lines
        Which lines of each written reason its author found met.
    events : int
        How many events have been folded.
    """

    closed: tuple[Stage, ...] = ()
    asked: tuple[str, ...] = ()
    films: tuple[FilmTaken, ...] = ()
    volume: VolumeAsked | None = None
    films_before_volume: int = 0
    answers: Mapping[str, Answer] = field(default_factory=dict)
    moves: tuple[tuple[str, Move], ...] = ()
    self_grade: Mapping[Stage, int] = field(default_factory=dict)
    own_marks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    events: int = 0

    @property
    def open_stage(self) -> Stage | None:
        """The stage that is being worked on; none once everything is committed."""
        return STAGES[len(self.closed)] if len(self.closed) < len(STAGES) else None

    @property
    def written(self) -> tuple[str, ...]:
        """Tasks answered in the student's own words."""
        return tuple(task for task, answer in self.answers.items() if isinstance(answer, Wrote))

    @property
    def to_mark(self) -> tuple[str, ...]:
        """Written reasons that their author has still to mark."""
        return tuple(task for task in self.written if task not in self.own_marks)

    @property
    def is_worked_through(self) -> bool:
        """Whether every stage before Compare is committed."""
        return Stage.FILL in self.closed

    @property
    def is_settled(self) -> bool:
        """Whether the case is committed and self-graded, so that results may be shown."""
        return self.is_worked_through and bool(self.self_grade)


def fold(events: Iterable[AnyEvent], *, case: str) -> State:
    """State of an attempt at the named case. OutOfTurn if an event is out of order or of another case."""
    state = State()
    for event in events:
        state = step(state, event, case=case)
    return state


def step(state: State, event: AnyEvent, *, case: str) -> State:
    """State after one more event."""
    _require_next(state, event, case)
    _require_open(state, _stages_of(event), event)
    state = replace(state, events=event.seq)
    match event:
        case Asked() | FilmTaken() | VolumeAsked():
            return _learnt(state, event)
        case Chose() | Measured() | Marked() | Outlined() | Wrote() | Levelled():
            return replace(state, answers={**state.answers, event.task: event})
        case Moved():
            return replace(state, moves=(*state.moves, (event.canal, event.move)))
        case Committed():
            return replace(state, closed=(*state.closed, event.stage))
        case SelfGraded():
            return replace(state, self_grade=event.percents)
        case MarkedOwn():
            _require_written(state, event)
            return replace(state, own_marks={**state.own_marks, event.task: event.met})


def _stages_of(event: AnyEvent) -> tuple[Stage, ...]:
    """The stages an event may happen in."""
    match event:
        case Asked() | VolumeAsked():
            return (Stage.LOOK,)
        case Levelled():
            return (Stage.WEIGH,)
        case Moved() if isinstance(event.move, FILLING):
            return (Stage.FILL,)
        case Moved():
            return (Stage.SHAPE, Stage.FILL) if isinstance(event.move, AFTER_SHAPING) else (Stage.SHAPE,)
        case SelfGraded() | MarkedOwn():
            return (Stage.COMPARE,)
        case _:
            return (event.stage,)


def _learnt(state: State, event: Asked | FilmTaken | VolumeAsked) -> State:
    """State after something more was found out."""
    match event:
        case Asked():
            return replace(state, asked=(*state.asked, event.finding))
        case FilmTaken():
            return replace(state, films=(*state.films, event))
    if state.volume is not None:
        raise OutOfTurn(f"events[{event.seq - 1}]: the volume is asked for once, and it was: remove this event")
    return replace(state, volume=event, films_before_volume=len(state.films))


def _require_written(state: State, event: MarkedOwn) -> None:
    where = f"events[{event.seq - 1}]"
    if not state.self_grade:
        raise OutOfTurn(f"{where}: one's own reason is marked after the stages were estimated: estimate them first")
    if event.task not in state.to_mark:
        raise OutOfTurn(f"{where}: no reason written for {event.task} waits for its marks: remove this event")


def _require_next(state: State, event: AnyEvent, case: str) -> None:
    expected = state.events + 1
    where = f"events[{state.events}].seq"
    if event.case != case:
        raise OutOfTurn(
            f"events[{state.events}].case: this event is of {event.case}, the log is of {case}: "
            "remove it or take the right log"
        )
    if event.seq < expected:
        raise OutOfTurn(f"{where}: {event.seq} stands twice, {expected} was due: remove the repeated event")
    if event.seq > expected:
        raise OutOfTurn(f"{where}: {event.seq} follows {expected - 1}, so an event is missing: restore the whole log")


def _require_open(state: State, stages: tuple[Stage, ...], event: AnyEvent) -> None:
    if state.open_stage in stages:
        return
    where, last = f"events[{event.seq - 1}]", stages[-1]
    if last in state.closed:
        raise OutOfTurn(f"{where}: {last.label} is committed, so nothing more can happen in it: remove this event")
    now = state.open_stage
    raise OutOfTurn(
        f"{where}: {event.event} belongs to {stages[0].label}, but {now.label if now else 'nothing'} is open: "
        f"commit the stages before {stages[0].label} first"
    )
