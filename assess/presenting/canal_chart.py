"""The chart of one canal after the case: as it was, as it stood after a move, and how deep each move went."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from assess.presenting.chart_marks import Mark, marks, watched
from assess.presenting.chart_paper import Paper
from assess.presenting.chart_sides import Sides, sides_of
from assess.presenting.move_words import move_words
from casebank.anatomy import Tooth
from casebank.instruments import Bench, CoronalFlare, EngineFile, Instrument, Irrigate, Lumen, Move, Record, Step
from casebank.instruments.iso3630 import cone, coronal_flare, engine_file, hand_file
from casebank.instruments.record import entered, size_of, taper_of

Manner = Literal["hand", "engine", "measure", "rinse", "other"]

EVERY_MM = 1.0
MANNERS: dict[str, Manner] = {
    "hand_file": "hand",
    "recapitulate": "hand",
    "patency": "hand",
    "engine_file": "engine",
    "coronal_flare": "engine",
    "irrigate": "rinse",
    "read_length": "measure",
    "read_electronically": "measure",
    "film_length": "measure",
    "gauge": "measure",
    "trial_fit": "measure",
    "fit_cone": "measure",
}


@dataclass(frozen=True)
class Width:
    """Narrow diameter and walls at one depth, before and after, as figures in mm."""

    at: str
    was: str
    now: str
    furcation: str
    outer: str


@dataclass(frozen=True)
class Column:
    """One move: where its tip came to stand below the orifice, and the thinnest walls after it, mm."""

    step: Step
    manner: Manner
    furcation_mm: float
    outer_mm: float

    @property
    def number(self) -> int:
        return self.step.number

    @property
    def move(self) -> str:
        return move_words(self.step.move)

    @property
    def felt(self) -> str:
        return self.step.felt.words

    @property
    def entered(self) -> bool:
        return entered(self.step)

    @property
    def reached(self) -> bool:
        return self.step.reach.hold != "short"

    @property
    def tip_mm(self) -> float:
        return self.step.reach.tip_mm

    @property
    def tip(self) -> str:
        """Length of the tip from the cusp, as a figure; nothing if nothing went in."""
        return f"{self.tip_mm + self.step.after.shape.cusp_to_orifice_mm:.1f}" if self.entered else ""

    @property
    def harm(self) -> str:
        return "; ".join(self.step.events)


@dataclass(frozen=True)
class Tool:
    """What stands in the canal after a move: an instrument, or a needle of one width."""

    tip_mm: float
    instrument: Instrument | None
    needle_mm: float = 0.0


@dataclass(frozen=True)
class CanalChart:
    """One canal after the first `place` of its moves; 0 is the canal before any."""

    canal: str
    place: int
    now: Lumen
    paper: Paper
    sides: Sides
    columns: tuple[Column, ...]
    marks: tuple[Mark, ...]
    tool: Tool | None
    thinnest_mm: tuple[float, float]
    said_mm: float | None

    @property
    def widths(self) -> tuple[Width, ...]:
        shape, now = self.now.shape, self.now

        def at(depth_mm: float, values: np.ndarray) -> str:
            return f"{max(0.0, float(np.interp(depth_mm, shape.levels_mm, values))):.2f}"

        return tuple(
            Width(
                f"{self.paper.at(depth):.1f}",
                at(depth, shape.width_mm),
                at(depth, now.width_mm),
                at(depth, now.furcation_mm),
                at(depth, now.outer_mm),
            )
            for depth in (*np.arange(0, shape.length_mm - 0.05, EVERY_MM).tolist(), shape.length_mm)
        )


def canal_chart(
    bench: Bench, tooth: Tooth, canal: str, place: int | None = None, said_mm: float | None = None
) -> CanalChart:
    """The chart of a canal of a replayed bench.

    Parameters
    ----------
    place : int, optional
        After how many of this canal's moves; all of them if not given.
    said_mm : float, optional
        The working length that was answered, from the reference cusp.

    Raises
    ------
    ValueError
        If the tooth has no such canal, or fewer moves were made in it.
    """
    record = bench.record_of(canal)
    place = len(record.steps) if place is None else place
    if not 0 <= place <= len(record.steps):
        raise ValueError(f"canal {canal} has {len(record.steps)} moves: there is no place {place} among them")
    done, shape = record.steps[:place], record.shape
    now = _standing(record, place)
    sides = sides_of(tooth, canal)
    deepest = max([step.reach.tip_mm for step in record.steps], default=0.0)
    return CanalChart(
        canal=canal,
        place=place,
        now=now,
        paper=Paper(shape.length_mm, shape.cusp_to_orifice_mm, deepest),
        sides=sides,
        columns=_columns(record),
        marks=marks(now, done, sides),
        tool=_tool(done[-1]) if done else None,
        thinnest_mm=_thinnest_mm(_standing(record, 0)),
        said_mm=said_mm,
    )


def _standing(record: Record, place: int) -> Lumen:
    """The canal after some of its moves. What is done to the whole tooth changes it without a move of its own."""
    if place == len(record.steps):
        return record.lumen
    return record.steps[place].before


def _columns(record: Record) -> tuple[Column, ...]:
    if not record.steps:
        return ()
    seen = watched(record.lumen)
    furcation_mm = np.array([step.after.furcation_mm[seen] for step in record.steps]).min(axis=1)
    outer_mm = np.array([step.after.outer_mm[seen] for step in record.steps]).min(axis=1)
    return tuple(
        Column(step, MANNERS.get(step.move.kind, "other"), max(0.0, furcation), max(0.0, outer))
        for step, furcation, outer in zip(record.steps, furcation_mm.tolist(), outer_mm.tolist(), strict=True)
    )


def _thinnest_mm(lumen: Lumen) -> tuple[float, float]:
    seen = watched(lumen)
    return max(0.0, float(lumen.furcation_mm[seen].min())), max(0.0, float(lumen.outer_mm[seen].min()))


def _tool(step: Step) -> Tool | None:
    if not entered(step) or step.reach.tip_mm <= 0:
        return None
    if isinstance(step.move, Irrigate):
        return Tool(step.reach.tip_mm, None, step.move.needle_mm)
    instrument = instrument_in(step.move)
    return Tool(step.reach.tip_mm, instrument) if instrument else None


def instrument_in(move: Move) -> Instrument | None:
    """What a move puts down a canal; none where nothing tapered goes in."""
    if isinstance(move, CoronalFlare):
        return coronal_flare()
    size, taper = size_of(move), taper_of(move)
    if size is None:
        return None
    if taper is None:
        return hand_file(size)
    return engine_file(size, taper) if isinstance(move, EngineFile) else cone(size, taper)
