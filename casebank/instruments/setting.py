"""What a tooth brings to the bench beside its canals: metal, an inflamed pulp, and canals nothing is done in.

A canal with a post, an earlier root filling, a fragment, an open end or a hole is worked to the plan or to the decision
to refer; the bench says so in one sentence and leaves it as it is.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from casebank.anatomy import Anatomy, Filling
from casebank.instruments.damage import perforation_mm
from casebank.instruments.lumen import shape_of, untouched
from casebank.instruments.teaching import TEACHING

METALS = ("amalgam", "metal", "metal-ceramic")
LARGE_SURFACES = 2  # a filling that opens on so many surfaces is near enough to touch: a teaching choice


@dataclass(frozen=True)
class Setting:
    """What stands round the canals.

    Attributes
    ----------
    metal : bool
        Whether a crown or a large filling of metal leads the locator's current away while the chamber is wet.
    inflamed : bool
        Whether the pulp bleeds until it is out.
    closed : mapping of canal to sentence
        Canals in which nothing is done, and why.
    """

    metal: bool = False
    inflamed: bool = False
    closed: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


PLAIN = Setting()


def setting_of(anatomy: Anatomy, *, inflamed: bool = False) -> Setting:
    """The setting an anatomy makes; whether the pulp is inflamed is not the anatomy's to say."""
    closed = {canal: _sentence(canal, found) for canal, found in reversed(tuple(_in_the_way(anatomy)))}
    return Setting(_has_metal(anatomy), inflamed, MappingProxyType(closed))


def _in_the_way(anatomy: Anatomy) -> Iterator[tuple[str, str]]:
    """Canals with what stands in the way of working them, the plainest first."""
    placed = anatomy.restorations
    yield from ((post.canal, "holds a post") for post in placed.posts)
    yield from ((fragment.canal, "holds the end of an instrument") for fragment in placed.fragments)
    yield from ((filling.canal, "holds an earlier root filling") for filling in placed.root_fillings)
    for canal in anatomy.tooth.canals:
        shape = shape_of(anatomy.tooth, canal.name)
        if float(shape.width_mm[-1]) >= TEACHING.open_apex_mm:
            yield canal.name, "has an open end"
        if perforation_mm(untouched(shape)) is not None:
            yield canal.name, "has a hole in its wall"


def _sentence(canal: str, found: str) -> str:
    return (
        f"Canal {canal} {found}, so nothing is done in it at the bench: "
        "such a case is worked to the plan, or to the decision to refer."
    )


def _has_metal(anatomy: Anatomy) -> bool:
    crowned = anatomy.prosthesis is not None and anatomy.prosthesis.material in METALS
    return crowned or anatomy.restorations.chamber in METALS or any(map(_is_large, anatomy.restorations.fillings))


def _is_large(filling: Filling) -> bool:
    return filling.material in METALS and len(filling.surfaces) >= LARGE_SURFACES
