"""What a hand can do at the bench, as plain values; a document validates them as a union told apart by `kind`.

`to_mm` is the length on the instrument from the reference cusp to its tip, set with a stop. A move of no strokes, no
passes, no length or no volume is allowed and changes nothing.
"""

import math
from dataclasses import dataclass
from typing import Literal

from casebank.instruments import iso3630
from casebank.instruments.teaching import TEACHING

Push = Literal["light", "firm"]
Side = Literal["away", "toward"]
Solution = Literal["sodium hypochlorite", "EDTA", "chlorhexidine", "water"]

MOST_STROKES = 12
MOST_BRUSH_STROKES = 30
MOST_PASSES = 3
MOST_PRECURVE_PER_MM = 0.3
MOST_ML = 20.0
NEEDLES_MM = (0.25, 0.5)  # outer diameters in use: 30 G is 0.31 mm, 27 G is 0.42 mm (ISO 9626, from memory)
RECAPITULATION_SIZES = (6, 8, 10, 15)
LENGTH_SIZES = (8, 10, 15, 20, 25)
GAUGE_SIZES = tuple(size for size in iso3630.SIZES if size >= 15)


@dataclass(frozen=True)
class HandFile:
    """A hand file worked to a length; the pre-curve is its own curvature, 1/mm, over the last millimetres."""

    size: int
    to_mm: float
    strokes: int = 4
    push: Push = "light"
    precurve_per_mm: float = 0.0
    kind: Literal["hand_file"] = "hand_file"

    def __post_init__(self) -> None:
        iso3630.hand_file(self.size)
        _require_length(self.to_mm)
        _require_within("strokes", self.strokes, 0, MOST_STROKES)
        _require_within("a pre-curve (1/mm)", self.precurve_per_mm, 0, MOST_PRECURVE_PER_MM)
        _require_one_of("push", self.push, ("light", "firm"))


@dataclass(frozen=True)
class CoronalFlare:
    """The short coronal instrument brushed to a depth below the orifice."""

    depth_mm: float
    strokes: int = 4
    brush: Side = "away"
    kind: Literal["coronal_flare"] = "coronal_flare"

    def __post_init__(self) -> None:
        _require_within("a flare's depth below the orifice (mm)", self.depth_mm, 0, iso3630.FLARE_WORKING_PART_MM)
        _require_within("strokes", self.strokes, 0, MOST_BRUSH_STROKES)
        _require_one_of("brush", self.brush, ("away", "toward"))


@dataclass(frozen=True)
class EngineFile:
    """An engine file taken in and out; no irrigation between its passes."""

    size: int
    taper: float
    to_mm: float
    passes: int = 1
    push: Push = "light"
    brush: Side | None = None
    kind: Literal["engine_file"] = "engine_file"

    def __post_init__(self) -> None:
        iso3630.engine_file(self.size, self.taper)
        _require_length(self.to_mm)
        _require_within("passes", self.passes, 0, MOST_PASSES)
        _require_one_of("push", self.push, ("light", "firm"))
        _require_one_of("brush", self.brush, (None, "away", "toward"))


@dataclass(frozen=True)
class Irrigate:
    """A rinse. Without a depth the needle goes as deep as is safe; the depth is from the reference cusp."""

    ml: float = 2.0
    solution: Solution = "sodium hypochlorite"
    needle_mm: float = 0.31
    depth_mm: float | None = None
    kind: Literal["irrigate"] = "irrigate"

    def __post_init__(self) -> None:
        _require_within("a rinse (mL)", self.ml, 0, MOST_ML)
        _require_within("a needle's outer diameter (mm)", self.needle_mm, *NEEDLES_MM)
        _require_one_of("solution", self.solution, ("sodium hypochlorite", "EDTA", "chlorhexidine", "water"))
        if self.depth_mm is not None:
            _require_length(self.depth_mm)


@dataclass(frozen=True)
class Recapitulate:
    """A small file back to length between larger ones, to keep the way open."""

    to_mm: float
    size: int = 10
    kind: Literal["recapitulate"] = "recapitulate"

    def __post_init__(self) -> None:
        _require_length(self.to_mm)
        if self.size not in RECAPITULATION_SIZES:
            raise ValueError(f"recapitulation needs a small file, 06 to 15, not {self.size:02d}")


@dataclass(frozen=True)
class ReadLength:
    """Length of the canal by locator and film, with a file at its end."""

    size: int = 10
    kind: Literal["read_length"] = "read_length"

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        if self.size not in LENGTH_SIZES:
            raise ValueError(f"a length is read with a hand file of 08 to 25, not {self.size:02d}")


@dataclass(frozen=True)
class Gauge:
    """A hand file laid in without force, to feel how wide the canal is at a length."""

    size: int
    to_mm: float
    kind: Literal["gauge"] = "gauge"

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        _require_length(self.to_mm)
        if self.size not in GAUGE_SIZES:
            raise ValueError(f"a gauge is a hand file of 15 or larger, not {self.size:02d}")


@dataclass(frozen=True)
class FitCone:
    """A master cone tried in at a length."""

    size: int
    taper: float
    to_mm: float
    kind: Literal["fit_cone"] = "fit_cone"

    def __post_init__(self) -> None:
        iso3630.cone(self.size, self.taper)
        _require_length(self.to_mm)


Move = HandFile | CoronalFlare | EngineFile | Irrigate | Recapitulate | ReadLength | Gauge | FitCone


def _require_length(to_mm: float) -> None:
    if not (math.isfinite(to_mm) and to_mm >= 0):
        raise ValueError(f"a length of {to_mm} mm cannot be set: give millimetres from the reference cusp, 0 or more")
    if to_mm > TEACHING.longest_mm:
        raise ValueError(
            f"a length of {to_mm:g} mm is beyond the longest instrument, {TEACHING.longest_mm:g} mm: shorten it"
        )


def _require_within(what: str, value: float, least: float, most: float) -> None:
    if not least <= value <= most:  # NaN and infinity do not; a whole number may be too large to be told either of them
        raise ValueError(f"{what} must lie from {least:g} to {most:g}, not {value}")


def _require_one_of(what: str, value: str | None, choices: tuple[str | None, ...]) -> None:
    if value not in choices:
        named = ", ".join(str(choice) for choice in choices)
        raise ValueError(f"{what} is one of {named}, not {value!r}")
