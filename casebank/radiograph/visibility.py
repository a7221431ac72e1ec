"""What can be seen in a view: each canal, and each other thing a film may be asked for."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.spatial import cKDTree

from casebank.anatomy import Anatomy
from casebank.radiograph.features import Feature
from casebank.radiograph.rod import Rod
from casebank.radiograph.sight import CORE_SHARE, Sight, judged, lost, outside
from casebank.radiograph.sight_pair import exposed_pair
from casebank.radiograph.superimposed import parting
from casebank.radiograph.view import Receptor, View, aim

Array = NDArray[np.float64]

AS_ONE_MM = 0.1  # canals whose centre lines lie closer in the tooth run as one: teaching choice


def visible(
    anatomy: Anatomy,
    view: View,
    feature: Feature,
    *,
    receptor: Receptor | None = None,
    rods: tuple[Rod, ...] = (),
) -> Sight:
    """Whether a feature can be seen in a view; canals as `canals_in` says.

    Raises
    ------
    KeyError
        If the tooth has no such canal.
    ValueError
        If the receptor would stand in tooth or bone.
    """
    if feature.kind == "canal":
        return canals_in(anatomy, view, receptor=receptor, rods=rods)[feature.name]
    return _seen(anatomy, view, feature, receptor or Receptor(), rods)


def canals_in(
    anatomy: Anatomy, view: View, *, receptor: Receptor | None = None, rods: tuple[Rod, ...] = ()
) -> dict[str, Sight]:
    """Each canal by name: whether a reader would count it in this view.

    A canal counts if two of its thirds stand out. Of several in one line of view the plainest counts, with the shadow
    they throw together; the others do not, however dark that shadow is.
    """
    own = {canal.name: _middling(thirds(anatomy, view, canal.name, receptor=receptor, rods=rods))
           for canal in anatomy.tooth.canals}  # fmt: skip
    counted: dict[str, Sight] = {}
    for name in sorted(own, key=lambda name: -own[name].figure):
        before = [other for other in counted if not parting(anatomy, view, name, other).apart]
        if before:
            why = "lies in line with another canal in this view"
            counted[name] = replace(own[name], seen=False, why=why, apart=False)
            continue
        behind = [other for other in own if other != name and not parting(anatomy, view, name, other).apart]
        together = thirds(anatomy, view, name, with_them=tuple(behind), receptor=receptor, rods=rods)
        counted[name] = max(own[name], _middling(together), key=lambda sight: sight.figure)
    return {name: counted[name] for name in own}


def thirds(
    anatomy: Anatomy,
    view: View,
    canal: str,
    *,
    with_them: tuple[str, ...] = (),
    receptor: Receptor | None = None,
    rods: tuple[Rod, ...] = (),
) -> tuple[Sight, Sight, Sight]:
    """How well a canal is seen in its coronal, middle and apical third, alone or with others in its line of view.

    KeyError if the tooth has no such canal.
    """
    anatomy.tooth.canal(canal)
    return _thirds(anatomy, view, canal, with_them, receptor or Receptor(), rods)


def _middling(parts: tuple[Sight, Sight, Sight]) -> Sight:
    return sorted(parts, key=lambda sight: sight.figure)[1]


@lru_cache(maxsize=512)
def _thirds(
    anatomy: Anatomy, view: View, canal: str, with_them: tuple[str, ...], receptor: Receptor, rods: tuple[Rod, ...]
) -> tuple[Sight, Sight, Sight]:
    tooth = anatomy.tooth
    line = tooth.centre_line(tooth.canal(canal))
    on_film = aim(view, receptor, anatomy).to_film_mm(anatomy.placement.to_jaw(line))
    sights = []
    for part in np.array_split(np.arange(len(line)), 3):
        as_one = {*joined_in(anatomy, canal, part), *with_them}
        named = tuple(one.name for one in tooth.canals if one.name in as_one)
        sights.append(_stretch(anatomy, view, named, on_film, part, receptor, rods))
    return sights[0], sights[1], sights[2]


def joined_in(anatomy: Anatomy, canal: str, part: NDArray[np.int64]) -> tuple[str, ...]:
    """A canal and those that run as one with it over most of a part of its centre line, given by its points."""
    tooth = anatomy.tooth
    line = tooth.centre_line(tooth.canal(canal))[part]
    as_one = [canal]
    for other in tooth.canals:
        if other.name != canal and other.root == tooth.canal(canal).root:
            away = cKDTree(tooth.centre_line(other)).query(line)[0]
            if np.median(away) < AS_ONE_MM:
                as_one.append(other.name)
    return tuple(as_one)


def _stretch(
    anatomy: Anatomy,
    view: View,
    as_one: tuple[str, ...],
    on_film_mm: Array,
    part: NDArray[np.int64],
    receptor: Receptor,
    rods: tuple[Rod, ...],
) -> Sight:
    """Part of a canal, seen against the film without it and those it runs as one with."""
    pair = exposed_pair(anatomy, view, Feature("canal", "+".join(as_one)), receptor, rods)
    if pair is None:
        return outside()
    where = pair.to_px(on_film_mm)
    usual = float(np.median(ndimage.map_coordinates(pair.change, where[part][:, ::-1].T - 0.5, order=1)))
    if usual <= 0:
        return lost()
    zone = pair.change >= CORE_SHARE * usual
    nearest = cKDTree(where).query(np.argwhere(zone)[:, ::-1] + 0.5)[1]
    zone[zone] = (nearest >= part[0]) & (nearest <= part[-1])
    return judged(pair, zone)


@lru_cache(maxsize=512)
def _seen(anatomy: Anatomy, view: View, feature: Feature, receptor: Receptor, rods: tuple[Rod, ...]) -> Sight:
    pair = exposed_pair(anatomy, view, feature, receptor, rods)
    if pair is None:
        return outside()
    size = np.abs(pair.change)
    peak = np.unravel_index(int(size.argmax()), size.shape)
    side = np.sign(pair.change[peak])
    return judged(pair, pair.change * side >= CORE_SHARE * float(size[peak]))
