"""What can happen in an attempt. Each event is one fact, numbered in order, never changed."""

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from casebank.instruments import Move
from casebank.radiograph.cone_beam import reasons
from casebank.rubric import Licence

Name = Annotated[str, Field(min_length=1, max_length=80)]
Letter = Annotated[str, Field(pattern=r"^[a-z]$")]
Evidence = Annotated[str, Field(pattern=r"^([a-z]|film [1-9][0-9]?)$")]
"""A pin: the letter of a finding or "film" and its number."""
Angle = Annotated[float, Field(ge=-45, le=45, allow_inf_nan=False)]
Finite = Annotated[float, Field(allow_inf_nan=False)]
Coordinate = Annotated[float, Field(ge=-12, le=12, allow_inf_nan=False)]
Pixel = Annotated[float, Field(ge=0, le=4096)]
Side = Annotated[int, Field(ge=64, le=4096)]
Confidence = Literal["unsure", "fairly sure", "sure"]


class Stage(StrEnum):
    """The stages of a case, in their order."""

    LOOK = "look"
    WEIGH = "weigh"
    OPEN = "open"
    SHAPE = "shape"
    FILL = "fill"
    COMPARE = "compare"

    @property
    def label(self) -> str:
        return self.value.capitalize()


class Event(BaseModel):
    """Base of every event: its number in the attempt and the case it belongs to."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    seq: Annotated[int, Field(ge=1)]
    case: Name


class Asked(Event):
    """A finding was asked for."""

    event: Literal["asked"] = "asked"
    finding: Letter


class FilmTaken(Event):
    """A further film was taken, for a stated reason; + = tube moved mesially, + = tube raised."""

    event: Literal["film"] = "film"
    stage: Stage
    horizontal_deg: Angle = 0.0
    vertical_deg: Angle = 0.0
    reason: Annotated[str, Field(min_length=3, max_length=500)]


class VolumeAsked(Event):
    """A limited cone-beam volume was asked for, with one of the reasons on offer and what it is hoped to show."""

    event: Literal["volume"] = "volume"
    reason: Name
    hoped: Annotated[str, Field(min_length=3, max_length=500)]

    @field_validator("reason")
    @classmethod
    def _exists(cls, reason: str) -> str:
        names = [one.slug for one in reasons()]
        if reason not in names:
            raise ValueError(f"there is no reason {reason}: use one of {', '.join(names)}")
        return reason


class Chose(Event):
    """One or several options were chosen for a task.

    `licence` is what the school let this student plan at that moment, where the task asks that; no page sends it.
    """

    event: Literal["chose"] = "chose"
    stage: Stage
    task: Name
    values: Annotated[tuple[Name, ...], Field(min_length=1, max_length=12)]
    confidence: Confidence | None = None
    licence: Licence | None = None


class Measured(Event):
    """A number was given for a task; `of` names the canal, `film` the film it was read on, `points_px` where.

    Or it was said that the films cannot tell: then there is nothing else.
    """

    event: Literal["measured"] = "measured"
    stage: Stage
    task: Name
    value: Finite | None = None
    of: Name | None = None
    film: Annotated[int, Field(ge=1)] | None = None
    points_px: tuple[tuple[Pixel, Pixel], ...] = ()
    cannot_tell: bool = False
    confidence: Confidence | None = None

    @model_validator(mode="after")
    def _says_one_thing(self) -> Self:
        if self.cannot_tell and (self.value is not None or self.of or self.film or self.points_px):
            raise ValueError("a reading stands beside cannot_tell: give the one or the other")
        if not self.cannot_tell and self.value is None:
            raise ValueError("value is missing: add it, or set cannot_tell")
        return self


class Marked(Event):
    """Points were marked on a film, in the pixels of an image of the given size, from its top left.

    Or it was said that the films cannot tell: then there is no film, no size and no point.
    """

    event: Literal["marked"] = "marked"
    stage: Stage
    task: Name
    film: Annotated[int, Field(ge=1)] | None = None
    size_px: tuple[Side, Side] | None = None
    points_px: Annotated[tuple[tuple[Pixel, Pixel], ...], Field(max_length=20)] = ()
    cannot_tell: bool = False
    confidence: Confidence | None = None

    @model_validator(mode="after")
    def _says_one_thing(self) -> Self:
        given = {"film": self.film, "size_px": self.size_px, "points_px": self.points_px}
        if self.cannot_tell and any(given.values()):
            raise ValueError("a mark stands beside cannot_tell: give the one or the other")
        if not self.cannot_tell and not all(given.values()):
            missing = next(name for name, value in given.items() if not value)
            raise ValueError(f"{missing} is missing: add it, or set cannot_tell")
        return self


Place = tuple[Coordinate, Coordinate]
"""A place on the crown's map, right and down, millimetres."""


class Outlined(Event):
    """An access outline was drawn on the crown's map, and where the orifices are expected."""

    event: Literal["outlined"] = "outlined"
    stage: Stage
    task: Name
    outline_mm: Annotated[tuple[Place, ...], Field(min_length=3, max_length=200)]
    orifices_mm: Annotated[tuple[Place, ...], Field(max_length=12)] = ()
    confidence: Confidence | None = None


class Wrote(Event):
    """A reason was given in the student's own words."""

    event: Literal["wrote"] = "wrote"
    stage: Stage
    task: Name
    text: Annotated[str, Field(min_length=3, max_length=2000)]
    confidence: None = None


class Levelled(Event):
    """A difficulty level was given, with the pins that made the student say so."""

    event: Literal["levelled"] = "levelled"
    task: Name
    level: int
    evidence: tuple[Evidence, ...] = ()
    confidence: Confidence | None = None

    @field_validator("level")
    @classmethod
    def _exists(cls, level: int) -> int:
        if level not in (1, 2, 3):
            raise ValueError(f"level {level} does not exist: give 1 (low), 2 (moderate) or 3 (high)")
        return level


class Moved(Event):
    """One act at the bench."""

    event: Literal["moved"] = "moved"
    canal: Name
    move: Annotated[Move, Field(discriminator="kind")]


class Committed(Event):
    """A stage was closed for good."""

    event: Literal["committed"] = "committed"
    stage: Stage


class SelfGraded(Event):
    """What the student expects of each stage, in percent, given before any result is shown."""

    event: Literal["self-graded"] = "self-graded"
    percents: dict[Stage, Annotated[int, Field(ge=0, le=100)]]


class MarkedOwn(Event):
    """Which lines the student found met in their own written reason, once the whole case was committed."""

    event: Literal["marked-own"] = "marked-own"
    task: Name
    met: tuple[Name, ...] = ()


AnyEvent = Annotated[
    Asked
    | FilmTaken
    | VolumeAsked
    | Chose
    | Measured
    | Marked
    | Outlined
    | Wrote
    | Levelled
    | Moved
    | Committed
    | SelfGraded
    | MarkedOwn,
    Field(discriminator="event"),
]
