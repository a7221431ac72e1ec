"""What a hand can do at the bench, as plain values; a document validates them as a union told apart by `kind`.

`to_mm` is the length on the instrument from the reference cusp to its tip, set with a stop. A move of no strokes, no
passes, no length or no volume is allowed and changes nothing.
"""

from dataclasses import dataclass
from typing import Literal, get_args

from casebank.instruments import iso3630
from casebank.instruments.bounds import require_length, require_one_of, require_within
from casebank.instruments.closing_moves import ClosingMove

Push = Literal["light", "firm"]
Side = Literal["away", "toward"]
Solution = Literal["sodium hypochlorite", "EDTA", "chlorhexidine", "water"]
Lubricant = Literal["EDTA gel", "water-soluble gel"]
PatencySize = Literal[6, 8, 10]

MOST_STROKES = 12
MOST_BRUSH_STROKES = 30
MOST_PASSES = 3
MOST_PRECURVE_PER_MM = 0.3
MOST_ML = 20.0
NEEDLES_MM = (0.25, 0.5)  # outer diameters in use: 30 G is 0.31 mm, 27 G is 0.42 mm (ISO 9626, from memory)
RECAPITULATION_SIZES = (6, 8, 10, 15)
LENGTH_SIZES = (8, 10, 15, 20, 25)
PATENCY_SIZES: tuple[PatencySize, ...] = get_args(PatencySize)  # nothing above a 10 through the foramen
LUBRICANTS: tuple[Lubricant, ...] = get_args(Lubricant)
MOST_BEYOND_MM = 1.0
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
        require_length(self.to_mm)
        require_within("strokes", self.strokes, 0, MOST_STROKES)
        require_within("a pre-curve (1/mm)", self.precurve_per_mm, 0, MOST_PRECURVE_PER_MM)
        require_one_of("push", self.push, ("light", "firm"))


@dataclass(frozen=True)
class CoronalFlare:
    """The short coronal instrument brushed to a depth below the orifice."""

    depth_mm: float
    strokes: int = 4
    brush: Side = "away"
    kind: Literal["coronal_flare"] = "coronal_flare"

    def __post_init__(self) -> None:
        require_within("a flare's depth below the orifice (mm)", self.depth_mm, 0, iso3630.FLARE_WORKING_PART_MM)
        require_within("strokes", self.strokes, 0, MOST_BRUSH_STROKES)
        require_one_of("brush", self.brush, ("away", "toward"))


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
        require_length(self.to_mm)
        require_within("passes", self.passes, 0, MOST_PASSES)
        require_one_of("push", self.push, ("light", "firm"))
        require_one_of("brush", self.brush, (None, "away", "toward"))


@dataclass(frozen=True)
class Irrigate:
    """A rinse. Without a depth the needle goes as deep as is safe; the depth is from the reference cusp."""

    ml: float = 2.0
    solution: Solution = "sodium hypochlorite"
    needle_mm: float = 0.31
    depth_mm: float | None = None
    kind: Literal["irrigate"] = "irrigate"

    def __post_init__(self) -> None:
        require_within("a rinse (mL)", self.ml, 0, MOST_ML)
        require_within("a needle's outer diameter (mm)", self.needle_mm, *NEEDLES_MM)
        require_one_of("solution", self.solution, ("sodium hypochlorite", "EDTA", "chlorhexidine", "water"))
        if self.depth_mm is not None:
            require_length(self.depth_mm)


@dataclass(frozen=True)
class Recapitulate:
    """A small file back to length between larger ones, to keep the way open."""

    to_mm: float
    size: int = 10
    kind: Literal["recapitulate"] = "recapitulate"

    def __post_init__(self) -> None:
        require_length(self.to_mm)
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
        require_length(self.to_mm)
        if self.size not in GAUGE_SIZES:
            raise ValueError(f"a gauge is a hand file of 15 or larger, not {self.size:02d}")


@dataclass(frozen=True)
class FitCone:
    """A master cone tried in at a length.

    Gauged, its tip was checked and trimmed to its label; straight from the box it is as wide as it happens to be.
    """

    size: int
    taper: float
    to_mm: float
    gauged: bool = True
    kind: Literal["fit_cone"] = "fit_cone"

    def __post_init__(self) -> None:
        iso3630.cone(self.size, self.taper)
        require_length(self.to_mm)


@dataclass(frozen=True)
class Lubricate:
    """A gel carried in on a hand file; one of EDTA is a chelator as well."""

    agent: Lubricant = "EDTA gel"
    kind: Literal["lubricate"] = "lubricate"

    def __post_init__(self) -> None:
        require_one_of("a lubricant", self.agent, LUBRICANTS)

    @property
    def chelates(self) -> bool:
        return self.agent == "EDTA gel"


@dataclass(frozen=True)
class Patency:
    """A small file passed just through the foramen, without force and without cutting."""

    size: PatencySize = 10
    beyond_mm: float = 0.5
    kind: Literal["patency"] = "patency"

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        if self.size not in PATENCY_SIZES:
            raise ValueError(f"patency is kept with a file of 06, 08 or 10, not {self.size:02d}")
        require_within("the way beyond the foramen (mm)", self.beyond_mm, 0, MOST_BEYOND_MM)


@dataclass(frozen=True)
class ReadElectronically:
    """Length of the canal by the electronic locator, with a hand file at its end."""

    size: int = 10
    kind: Literal["read_electronically"] = "read_electronically"

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        if self.size not in LENGTH_SIZES:
            raise ValueError(f"a length is read with a hand file of 08 to 25, not {self.size:02d}")


@dataclass(frozen=True)
class FilmLength:
    """A working-length film with a hand file standing at a length; it costs an exposure."""

    size: int
    to_mm: float
    kind: Literal["film_length"] = "film_length"

    def __post_init__(self) -> None:
        iso3630.require_size(self.size)
        require_length(self.to_mm)
        if self.size not in LENGTH_SIZES:
            raise ValueError(f"a length is filmed with a hand file of 08 to 25, not {self.size:02d}")


ShapingMove = (
    HandFile
    | CoronalFlare
    | EngineFile
    | Irrigate
    | Lubricate
    | Recapitulate
    | Patency
    | ReadLength
    | ReadElectronically
    | FilmLength
    | Gauge
    | FitCone
)
Move = ShapingMove | ClosingMove
