"""Teeth with something added, and what a film reads with and without it: for the tests of everything within a tooth."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, Bone, Canal, Chamber, Crown, Placement, Root, Support, Tooth
from casebank.radiograph import Receptor, View, aim, exposure
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar

SMALL = Receptor.of_pixels(290, 220)
STRAIGHT = View()


def upright() -> Anatomy:
    """The lower molar square to the beam, unrestored, in even bone, with nothing beside it."""
    base = lower_molar()
    tooth = replace(base.tooth, crown=Crown(7.0, 10.6, 10.0, 9.6, 9.0), chamber=Chamber(5.0, 8.3, 5.6, 4.2))
    return Anatomy(tooth=tooth, bone=Bone(seed=18, contrast=0.0), placement=Placement(), support=Support())


def with_canal(anatomy: Anatomy, name: str, **changes: object) -> Anatomy:
    """The anatomy with one canal changed."""
    return replace(anatomy, tooth=_changed(anatomy.tooth, "canals", name, changes))


def with_root(anatomy: Anatomy, name: str, **changes: object) -> Anatomy:
    """The anatomy with one root changed."""
    return replace(anatomy, tooth=_changed(anatomy.tooth, "roots", name, changes))


def _changed(tooth: Tooth, where: str, name: str, changes: dict[str, object]) -> Tooth:
    old: tuple[Canal | Root, ...] = getattr(tooth, where)
    assert name in [one.name for one in old]
    return replace(tooth, **{where: tuple(replace(one, **changes) if one.name == name else one for one in old)})


@lru_cache(maxsize=128)
def signal(anatomy: Anatomy, bare: Anatomy, view: View = STRAIGHT) -> NDArray[np.float32]:
    """What a small receptor aimed at `bare` reads, as shares of the open beam, without scatter and noise."""
    paths = path_lengths(pieces_of(anatomy), aim(view, SMALL, bare), even())
    return exposure.transmission(paths)


def lighter_at(anatomy: Anatomy, bare: Anatomy, point_mm: tuple[float, float, float], view: View = STRAIGHT) -> float:
    """How much more is absorbed over a point of the tooth than without the addition, as a share; below 0 is darker."""
    projection = aim(view, SMALL, bare)
    x, y = projection.project_px(bare.placement.to_jaw(np.array([point_mm])))[0].astype(int)
    here = (slice(y - 1, y + 2), slice(x - 1, x + 2))
    before, after = float(signal(bare, bare, view)[here].mean()), float(signal(anatomy, bare, view)[here].mean())
    return 1 - after / before
