"""What is usual in one kind of tooth, as values: each block says where its figures come from and how sure they are.

The blocks are read from a file, so each refuses keys it does not know and figures that cannot be. Means are means: a
tooth that differs from them is no fault.
"""

from typing import Annotated, Literal

from pydantic import AfterValidator, ConfigDict, Field
from pydantic.dataclasses import dataclass

from casebank.anatomy.configurations import canals_in, parsed

Status = Literal["verified", "from memory", "teaching choice"]

ROUNDING_PERCENT = 2.0  # published shares are rounded and need not add up to 100
STRICT = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


def _a_path(text: str) -> str:
    parsed(text)
    return text


def _growing(values: tuple[float, ...]) -> tuple[float, ...]:
    if sorted(values) != list(values):
        raise ValueError(f"{list(values)} falls away from the end: give the widths at 1, 2 and 5 mm in this order")
    return values


Text = Annotated[str, Field(min_length=1)]
Percent = Annotated[float, Field(ge=0, le=100)]
Bearing = Annotated[float, Field(ge=0, lt=360)]
CrownSize = Annotated[float, Field(gt=2, lt=14)]
RootWidths = Annotated[tuple[float, float, float], AfterValidator(_growing)]
CanalWidth = Annotated[float, Field(gt=0.05, lt=2.5)]
CanalWidths = tuple[CanalWidth, CanalWidth, CanalWidth]
TypeName = Annotated[str, AfterValidator(_a_path)]


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Sourced:
    """What every block has: where its values come from, how sure they are, and a note where one is due."""

    source: Text
    status: Status
    note: str = ""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Length(Sourced):
    """A mean length, mm, of the whole tooth, its crown or one root (then named)."""

    of: Literal["whole", "crown", "root"]
    root: str = ""
    mean_mm: Annotated[float, Field(gt=4, lt=32)]


@dataclass(frozen=True, kw_only=True, config=STRICT)
class CrownSizes(Sourced):
    """Mean sizes of a crown, mm: height, greatest widths, and widths at the neck."""

    height_mm: CrownSize
    mesiodistal_mm: CrownSize
    buccolingual_mm: CrownSize
    neck_mesiodistal_mm: CrownSize
    neck_buccolingual_mm: CrownSize


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Depths(Sourced):
    """Depths below the reference cusp or edge, mm; the furcation counts where the tooth has several roots."""

    roof_mm: Annotated[float, Field(gt=2, lt=10)]
    floor_mm: Annotated[float, Field(gt=4, lt=14)]
    furcation_mm: Annotated[float, Field(gt=7, lt=20)] | None = None


@dataclass(frozen=True, kw_only=True, config=STRICT)
class ChamberWidths(Sourced):
    """Widths of the chamber at its floor, mm."""

    mesiodistal_mm: Annotated[float, Field(gt=0.3, lt=8)]
    buccolingual_mm: Annotated[float, Field(gt=0.3, lt=8)]


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Access(Sourced):
    """The usual access outline, in words."""

    shape: Text
    outline: Text


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Frequency(Sourced):
    """How often something is found, percent of teeth or roots; lowest and highest where they are published."""

    what: Text
    percent: Percent
    low: Percent | None = None
    high: Percent | None = None
    sample: Annotated[int, Field(gt=0)] | None = None

    def __post_init__(self) -> None:
        low, high = (self.percent if end is None else end for end in (self.low, self.high))
        if not low <= self.percent <= high:
            raise ValueError(f"{self.percent} percent lies outside {self.low} to {self.high}: correct one of the three")


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Pattern(Sourced):
    """Roots that stand together in one tooth, and in how many percent of teeth."""

    roots: Annotated[tuple[Text, ...], Field(min_length=1)]
    percent: Percent


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Configuration(Sourced):
    """How many percent of roots have canals of one type, I to VIII, or of one path, such as 3-2."""

    type: TypeName
    percent: Percent


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Diameters(Sourced):
    """Diameters of a canal, mm, at 1, 2 and 5 mm from the root's end."""

    canal: Text
    buccolingual_mm: CanalWidths
    mesiodistal_mm: CanalWidths


@dataclass(frozen=True, kw_only=True, config=STRICT)
class RootShape(Sourced):
    """How a root is drawn.

    Attributes
    ----------
    place : tuple of two floats
        Centre of its coronal end, as shares of the neck's mesio-distal and bucco-lingual width: + distal, + lingual.
    neck_share : float
        Its coronal mesio-distal width over that of the neck.
    mesiodistal_mm : tuple of three floats
        Its width at 1, 2 and 5 mm from its end.
    flattening : float
        Bucco-lingual over mesio-distal width.
    lean_deg, lean_toward_deg, bend_deg, bend_toward_deg : float
        How it leaves the trunk, and its usual bend from tangent to tangent.
    """

    place: tuple[Annotated[float, Field(ge=-0.5, le=0.5)], Annotated[float, Field(ge=-0.5, le=0.5)]]
    neck_share: Annotated[float, Field(gt=0.15, le=1)]
    mesiodistal_mm: RootWidths
    flattening: Annotated[float, Field(ge=0.8, le=2.6)]
    lean_deg: Annotated[float, Field(ge=0, le=25)] = 0.0
    lean_toward_deg: Bearing = 0.0
    bend_deg: Annotated[float, Field(ge=0, le=45)]
    bend_toward_deg: Bearing = 0.0

    @property
    def buccolingual_mm(self) -> tuple[float, ...]:
        """Its other width at 1, 2 and 5 mm from its end."""
        return tuple(self.flattening * width for width in self.mesiodistal_mm)


@dataclass(frozen=True, kw_only=True, config=STRICT)
class UsualRoot:
    """One root a tooth of this kind may have.

    Attributes
    ----------
    name : str
    length : Length
    shape : RootShape
    canals : tuple of tuple of str
        Names of its canals, buccal ones first, where it has one, where it has two, and so on.
    diameters : tuple of Diameters
        The first serves every canal that has none of its own.
    configurations : tuple of Configuration
        Shares that add up to 100.
    several : Frequency or None
        How often the root has more than one canal, where that is better known than the shares; these are then fitted.
    """

    name: Text
    length: Length
    shape: RootShape
    canals: Annotated[tuple[Annotated[tuple[Text, ...], Field(min_length=1)], ...], Field(min_length=1)]
    diameters: Annotated[tuple[Diameters, ...], Field(min_length=1)]
    configurations: Annotated[tuple[Configuration, ...], Field(min_length=1)]
    several: Frequency | None = None

    def __post_init__(self) -> None:
        for number, names in enumerate(self.canals, start=1):
            if len(set(names)) != number:
                raise ValueError(f"canals {list(names)} of root {self.name}: give {number} different names there")
        for share in self.configurations:
            if (count := canals_in(parsed(share.type))) > len(self.canals):
                raise ValueError(f"root {self.name}: type {share.type} has {count} canals, name them under canals")
        _require_whole("configurations", [share.percent for share in self.configurations])

    def shares(self) -> dict[str, float]:
        """Percent of roots by type, adding up to 100; fitted to `several` where that is given."""
        given = {share.type: share.percent for share in self.configurations}
        whole = sum(given.values())
        if self.several is None or given.get("I", 0.0) >= whole:
            return {name: 100 * percent / whole for name, percent in given.items()}
        rest = whole - given.get("I", 0.0)
        fitted = {name: self.several.percent * percent / rest for name, percent in given.items() if name != "I"}
        return {"I": 100 - self.several.percent, **fitted}

    def diameters_of(self, canal: str) -> Diameters:
        """The diameters of a canal, the root's first ones where it has none of its own."""
        return next((found for found in self.diameters if found.canal == canal), self.diameters[0])


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Law(Sourced):
    """A rule by which chamber and orifices are found, in our words, and whether it holds in upper molars."""

    name: Text
    says: Text
    upper_molars: bool = True


@dataclass(frozen=True, kw_only=True, config=STRICT)
class ToothType:
    """What is usual in one kind of tooth. `lengths` hold one mean or two for the whole tooth: two series differ."""

    name: Text
    lengths: Annotated[tuple[Length, ...], Field(min_length=1)]
    crown: CrownSizes
    depths: Depths
    chamber: ChamberWidths
    access: Access
    frequencies: tuple[Frequency, ...] = ()
    patterns: Annotated[tuple[Pattern, ...], Field(min_length=1)]
    roots: Annotated[tuple[UsualRoot, ...], Field(min_length=1)]

    def __post_init__(self) -> None:
        names = [root.name for root in self.roots]
        if len(set(names)) != len(names):
            raise ValueError(f"roots {names}: each root needs its own name")
        for pattern in self.patterns:
            if unknown := sorted(set(pattern.roots) - set(names)):
                raise ValueError(f"a pattern names root {unknown[0]}, which is not described: there are {names}")
        _require_whole("patterns", [pattern.percent for pattern in self.patterns])
        if not any(length.of == "whole" for length in self.lengths):
            raise ValueError("lengths give no mean of the whole tooth: add one")
        if self.depths.roof_mm >= self.depths.floor_mm:
            raise ValueError("depths put the roof below the floor: both are depths below the cusp")

    def root(self, name: str) -> UsualRoot:
        """The root of that name. KeyError with the names there are, if none is described."""
        for root in self.roots:
            if root.name == name:
                return root
        raise KeyError(f"no root {name} in the {self.name}: there are {', '.join(root.name for root in self.roots)}")

    def frequency(self, what: str) -> Frequency:
        """The first frequency of that name. KeyError with those there are, if there is none."""
        for found in self.frequencies:
            if found.what == what:
                return found
        raise KeyError(f"no frequency {what!r}: there are {', '.join(found.what for found in self.frequencies)}")

    @property
    def whole_means_mm(self) -> tuple[float, ...]:
        """Mean lengths of the whole tooth, one a series, mm."""
        return tuple(length.mean_mm for length in self.lengths if length.of == "whole")


def _require_whole(what: str, percents: list[float]) -> None:
    if not abs(sum(percents) - 100) <= ROUNDING_PERCENT:
        raise ValueError(f"{what} add up to {sum(percents):g} percent: let them make 100")
