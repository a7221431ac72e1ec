"""The tooth as a student left it, as shapes a film can show: opened, shaped, filled and closed.

The way in follows from the chamber and the crown, the shaped canals from the bench, the fillings from `fills`. Where
two shapes overlap the later one is there, as everywhere on a film.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, Canal, Tooth, facing_furcation
from casebank.casefile.access_shapes import SEAL_MATERIAL, cavity, closure
from casebank.casefile.fills import ASSUMED_KIND, CanalFill, FillKind, fills_of
from casebank.instruments import Bench, Lumen
from casebank.instruments.record import entered
from casebank.instruments.teaching import TEACHING
from casebank.radiograph import Material, Rod
from casebank.radiograph.rod import along_canal

Array = NDArray[np.float64]
Seal = Literal["over the orifices", "soft filling", "open"]

SEALS: dict[str, Seal] = {"same-day": "over the orifices", "cotton": "soft filling", "crown-later": "open"}
STEP_MM = 0.35


@dataclass(frozen=True)
class EndState:
    """What was left in a tooth.

    Attributes
    ----------
    touched : tuple of str
        Canals that were widened or filled.
    fills : tuple of CanalFill
    fragments : tuple of str
        Canals in which a piece of an instrument was left.
    seal : Seal
    rods : tuple of Rod
        All of it as a film takes it; nothing for a tooth that was never entered.
    """

    touched: tuple[str, ...]
    fills: tuple[CanalFill, ...]
    fragments: tuple[str, ...]
    seal: Seal
    rods: tuple[Rod, ...]


def end_state(
    anatomy: Anatomy,
    bench: Bench,
    lengths_mm: Mapping[str, float],
    seal: str = "",
    *,
    kind: FillKind = ASSUMED_KIND,
) -> EndState:
    """The end state of a bench with what was answered beside it.

    Parameters
    ----------
    lengths_mm : mapping of canal to mm
        Working lengths that were answered, from the reference cusp.
    seal : str
        The option that was chosen for the coronal seal, where the bench itself closed nothing; anything else leaves the
        tooth open.
    """
    closed = _closed(bench, seal)
    fills = fills_of(bench, lengths_mm, sealed=closed == "over the orifices", kind=kind)
    filled = {fill.canal: fill for fill in fills}
    touched = tuple(name for name in bench.canals if name in filled or _is_widened(bench.lumen(name)))
    fragments = tuple(name for name in bench.canals if bench.lumen(name).fragment)
    if not touched and not any(entered(step) for step in bench.record):
        return EndState((), (), (), closed, ())
    rods = [*cavity(anatomy), *(_lumen(anatomy, bench.lumen(name)) for name in touched)]
    for fill in fills:
        lumen = bench.lumen(fill.canal)
        if closed != "open" and fill.top_mm > 0:
            rods.append(_plug(anatomy, lumen, fill.top_mm))
        rods += [*_side_branches(anatomy, fill), _filling(anatomy, lumen, fill)]
    rods += [_fragment(anatomy, bench.lumen(name)) for name in fragments]
    if closed != "open":
        rods += closure(anatomy, soft=closed == "soft filling")
    return EndState(touched, fills, fragments, closed, tuple(rods))


def _closed(bench: Bench, answered: str) -> Seal:
    """How the tooth was closed: as at the bench, else as it was answered."""
    if bench.cavity.closure:
        return "over the orifices" if bench.cavity.seal else "soft filling"
    return SEALS.get(answered, "open")


def _is_widened(lumen: Lumen) -> bool:
    return bool((lumen.width_mm > lumen.shape.width_mm + 1e-6).any())


def _lumen(anatomy: Anatomy, lumen: Lumen) -> Rod:
    """A shaped canal, dried: air from its orifice to its foramen."""
    end_mm = lumen.shape.length_mm - float(lumen.width_mm[-1]) / 2  # rods end in a half ball
    return _laid(anatomy, lumen, _spaced(0.0, end_mm), lumen.width_mm, Material.AIR)


def _filling(anatomy: Anatomy, lumen: Lumen, fill: CanalFill) -> Rod:
    top_mm, end_mm = fill.top_mm + float(fill.width_mm[0]) / 2, fill.end_mm - float(fill.width_mm[-1]) / 2
    depths = _spaced(top_mm, end_mm)
    width = np.interp(depths, fill.depths_mm, fill.width_mm)
    packed = np.interp(depths, fill.depths_mm, fill.lumen_mm) - width < 1e-6
    oval = np.where(packed, _flattening(anatomy.tooth.canal(fill.canal), depths, width), 1.0)
    return _rod(anatomy, lumen, depths, width, oval, Material.ROOT_FILLING)


def _side_branches(anatomy: Anatomy, fill: CanalFill) -> list[Rod]:
    """Sealer in the lateral canals of a filled canal, from the canal outwards."""
    tooth, canal = anatomy.tooth, anatomy.tooth.canal(fill.canal)
    rods = []
    for branch in canal.lateral_canals:
        share = fill.sideways_share(branch.at_mm)
        if share > 0:
            begin, end = tooth.branch_line(canal, branch)
            line = anatomy.placement.to_jaw(np.array([begin, begin + share * (end - begin)]))
            rods.append(Rod(line, np.full(2, branch.diameter_mm / 2), Material.ROOT_FILLING))
    return rods


def _plug(anatomy: Anatomy, lumen: Lumen, top_mm: float) -> Rod:
    """The seal below the orifice, down to where the filling was cut back."""
    return _laid(anatomy, lumen, _spaced(0.0, top_mm), lumen.width_mm, SEAL_MATERIAL)


def _fragment(anatomy: Anatomy, lumen: Lumen) -> Rod:
    """A separated piece; engine files are of nickel-titanium, and they are what breaks."""
    piece = lumen.fragment
    if piece is None:
        raise ValueError(f"no piece was left in canal {lumen.shape.name}")
    end_mm = min(piece.top_mm + TEACHING.fragment_mm, lumen.shape.length_mm)
    depths = _spaced(piece.top_mm, end_mm)
    width = 0.9 * np.interp(depths, lumen.shape.levels_mm, lumen.width_mm)
    return _rod(anatomy, lumen, depths, width, np.ones_like(depths), Material.NICKEL_TITANIUM)


def _spaced(from_mm: float, to_mm: float) -> Array:
    return np.linspace(from_mm, to_mm, max(2, int(np.ceil((to_mm - from_mm) / STEP_MM)) + 1))


def _laid(anatomy: Anatomy, lumen: Lumen, depths: Array, width_mm: Array, material: Material) -> Rod:
    """A stretch of the canal's whole section, as wide as it is at each level."""
    width = np.interp(depths, lumen.shape.levels_mm, width_mm)
    oval = _flattening(anatomy.tooth.canal(lumen.shape.name), depths, width)
    return _rod(anatomy, lumen, depths, width, oval, material)


def _flattening(canal: Canal, depths: Array, width: Array) -> Array:
    """How oval a canal of a width is: files widen the narrow way first and leave the wide one."""
    return np.maximum(1.0, canal.wide_mm(np.minimum(depths, canal.length_mm)) / width)


def _rod(anatomy: Anatomy, lumen: Lumen, depths: Array, width: Array, flattening: Array, material: Material) -> Rod:
    tooth, place = anatomy.tooth, anatomy.placement
    line = shaped_line(tooth, lumen, depths)
    return Rod(place.to_jaw(line), width / 2, material, flattening, place.to_jaw(np.eye(3)).T)


def shaped_line(tooth: Tooth, lumen: Lumen, depths: Array) -> Array:
    """The middle of a canal as it is now, shape (n, 3), tooth frame: moved where more was cut from one wall."""
    canal, shape = tooth.canal(lumen.shape.name), lumen.shape
    towards = facing_furcation(tooth.root(canal.root), tooth.roots)
    along = canal.course.directions(np.minimum(depths, canal.length_mm))
    across = towards - (along @ towards)[:, None] * along
    across /= np.linalg.norm(across, axis=1)[:, None]
    lost = (shape.furcation_mm - lumen.furcation_mm) - (shape.outer_mm - lumen.outer_mm)
    moved = np.interp(depths, shape.levels_mm, lost / 2)
    return along_canal(tooth, canal, depths) + moved[:, None] * across
