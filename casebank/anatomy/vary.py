"""A seeded, plausible variation of a handbook tooth, in its place among its neighbours.

Roots, canal types and curves are drawn by their published frequencies where there are any; sizes lie near the published
means. How near is a teaching choice and stands here by name. Nothing is ill and nothing restored: that is for whoever
invents a case.
"""

import math
from collections.abc import Mapping
from typing import Literal

from casebank.anatomy.canal import Canal
from casebank.anatomy.configurations import Path, parsed, usual_levels
from casebank.anatomy.drawn_canals import drawn_canals
from casebank.anatomy.draws import Draws
from casebank.anatomy.handbook import entry, length_range_mm
from casebank.anatomy.layout import Bend, RootPlan, root_from
from casebank.anatomy.mouth import Anatomy, Bone, Neighbour, Placement
from casebank.anatomy.root import Root
from casebank.anatomy.support import Crest, Support
from casebank.anatomy.tooth import Chamber, Crown, Tooth
from casebank.anatomy.tooth_type import ToothType, UsualRoot

Curve = Literal["by frequency", "straight", "one bend", "S"]

TURNS = 12  # about one drawing in 400 bends too far for its root, and is drawn anew
ROOT_TOP_MM = 0.4  # how far roots reach above the neck, so that they pass into the crown
LENGTH_SPREAD_MM = 1.1
LENGTH_KEPT_MM = 0.8  # at both ends of the range: a bent root ends less deep than it is long
SIZE_SPREAD = 0.045  # of crowns and roots, as a share
ROOT_SPREAD = 0.02  # of one root's length against the others'
STRAIGHT_PERCENT = (
    16.0  # the rest of the 84 percent of 1163 canals that were curved: Schafer et al., J Endod 2002;28:211
)
S_PERCENT = 4.0  # no published figure at hand
STRAIGHT_MOST_DEG, MOST_BENT_DEG = 3.0, 50.0
BEND_SPREAD_DEG, BEND_SPREAD_SHARE = 2.5, 0.35  # of a bend's turn: a fixed part and a share of the usual one
OFF_PLANE_DEG = 20.0  # spread of a bend's bearing
S_BEND_DEG = (14.0, 24.0)
LEVEL_SPREAD = 0.05  # of the shares of the way at which canals meet or part
NEIGHBOURS_WITHIN_MM = 21.0  # half a receptor
LAST_FRONT, LAST_PLACE = 3, 8
BEYOND_MIDLINE = {1: 2, 2: 1, 3: 4, 4: 3}


def vary(
    number: int,
    seed: int,
    *,
    roots: tuple[str, ...] = (),
    paths: Mapping[str, str] | None = None,
    levels: Mapping[str, tuple[float, ...]] | None = None,
    curve: Curve = "by frequency",
) -> Anatomy:
    """A plausible tooth of that number. What is not asked for is drawn; the same arguments give the same tooth.

    Parameters
    ----------
    number : int
        Two-digit designation of a permanent tooth (ISO 3950).
    seed : int
        0 or more.
    roots : tuple of str
        Names of its roots, from the handbook.
    paths : mapping of str to str or None
        By root: a type or a path of its canals, such as "II" or "3-2".
    levels : mapping of str to tuple of float or None
        By root: shares of the way at which its canals meet or part.
    curve : str
        Of every root.

    Raises
    ------
    ValueError
        If there is no such tooth, the seed is below 0, or a root, path or level is asked for that cannot be.

    Examples
    --------
    >>> molar = vary(16, 7, paths={"MB": "2-1"}).tooth
    >>> [canal.name for canal in molar.canals]
    ['MB1', 'MB2', 'DB', 'P']
    """
    last = ValueError(f"tooth {number} was never drawn")
    for turn in range(TURNS):
        draws = Draws(seed, f"tooth {number}" + (f", turn {turn + 1}" if turn else ""))
        try:
            return _drawn(number, seed, draws, roots, paths, levels, curve)
        except ValueError as unfit:
            last = unfit
    raise last


def _drawn(
    number: int,
    seed: int,
    draws: Draws,
    roots: tuple[str, ...],
    paths: Mapping[str, str] | None,
    levels: Mapping[str, tuple[float, ...]] | None,
    curve: Curve,
) -> Anatomy:
    """One drawing; ValueError if it is asked for what cannot be, or if its parts do not fit each other."""
    kind = entry(number)
    names = _root_names(number, kind, roots, draws)
    for asked in (*(paths or {}), *(levels or {})):
        if asked not in names:
            raise ValueError(f"root {asked} is asked for, but this {kind.name} has {', '.join(names)}: ask for those")
    whole_mm = _length_mm(number, kind, draws)
    crown, chamber = _crown(number, kind, draws), kind.depths
    taller = crown.height_mm / kind.crown.height_mm
    floor_mm = taller * chamber.floor_mm
    longest_mm = max(kind.root(name).length.mean_mm for name in names)
    grown: list[Root] = []
    canals: list[Canal] = []
    for usual in map(kind.root, names):
        path = _path(usual, (paths or {}).get(usual.name), draws)
        share = usual.length.mean_mm / longest_mm
        bends = _bends(usual, curve, draws)
        root_mm = share * (whole_mm - crown.height_mm + ROOT_TOP_MM) * draws.near(1.0, ROOT_SPREAD, most=1.0)
        root = _root(usual, crown, root_mm, bends, draws)
        where = (levels or {}).get(usual.name) or _levels(path, draws)
        grown.append(root)
        canals += drawn_canals(number, usual, root, path, where, crown.height_mm, floor_mm, draws)
    furcation_mm = None
    if len(names) > 1 and chamber.furcation_mm is not None:
        furcation_mm = floor_mm + (chamber.furcation_mm - chamber.floor_mm) * whole_mm / _mean_length_mm(kind)
    wider = crown.neck_mesiodistal_mm / kind.crown.neck_mesiodistal_mm
    return Anatomy(
        tooth=Tooth(
            number=number,
            crown=crown,
            chamber=Chamber(
                roof_mm=taller * chamber.roof_mm,
                floor_mm=floor_mm,
                mesiodistal_mm=wider * kind.chamber.mesiodistal_mm,
                buccolingual_mm=wider * kind.chamber.buccolingual_mm,
            ),
            roots=tuple(grown),
            canals=tuple(canals),
            furcation_mm=furcation_mm,
        ),
        placement=Placement(tilt_deg=draws.near(5.0, 2.5), rotation_deg=draws.near(0.0, 4.0)),
        support=Support(
            ligament_mm=draws.near(0.20, 0.02),
            crest=Crest(*(draws.near(mean_mm, 0.25) for mean_mm in (1.5, 1.5, 2.0, 1.5))),
        ),
        bone=Bone(seed=seed),
        neighbours=_neighbours(number, crown.mesiodistal_mm),
    )


def _root_names(number: int, kind: ToothType, asked: tuple[str, ...], draws: Draws) -> tuple[str, ...]:
    drawn = draws.one_of({" ".join(pattern.roots): pattern.percent for pattern in kind.patterns})
    names = asked or tuple(drawn.split())
    known = [root.name for root in kind.roots]
    if unknown := [name for name in names if name not in known]:
        raise ValueError(f"root {unknown[0]} of tooth {number}: the handbook's {kind.name} has {', '.join(known)}")
    if len(set(names)) != len(names):
        raise ValueError(f"roots {', '.join(names)} of tooth {number}: ask for each root once")
    if len(names) > 1 and kind.depths.furcation_mm is None:
        raise ValueError(f"the handbook gives no furcation for the {kind.name}: ask for one root")
    return names


def _mean_length_mm(kind: ToothType) -> float:
    return sum(kind.whole_means_mm) / len(kind.whole_means_mm)


def _length_mm(number: int, kind: ToothType, draws: Draws) -> float:
    low, high = length_range_mm(number)
    drawn = draws.near(_mean_length_mm(kind), LENGTH_SPREAD_MM)
    return min(max(drawn, low + LENGTH_KEPT_MM), high - LENGTH_KEPT_MM)


def _crown(number: int, kind: ToothType, draws: Draws) -> Crown:
    usual, front = kind.crown, number % 10 <= LAST_FRONT
    taller, wider, deeper = (draws.near(1.0, SIZE_SPREAD) for _ in range(3))
    return Crown(
        height_mm=taller * usual.height_mm,
        mesiodistal_mm=wider * usual.mesiodistal_mm,
        buccolingual_mm=deeper * usual.buccolingual_mm,
        neck_mesiodistal_mm=wider * usual.neck_mesiodistal_mm,
        neck_buccolingual_mm=deeper * usual.neck_buccolingual_mm,
        off_root_mesiodistal_deg=draws.near(2.0, 1.5),
        off_root_buccolingual_deg=draws.near(6.0, 1.5) if front else draws.near(3.0, 1.5),
    )


def _path(usual: UsualRoot, asked: str | None, draws: Draws) -> Path:
    drawn = draws.one_of(usual.shares())
    path = parsed(asked if asked is not None else drawn)
    if max(path) > len(usual.canals):
        raise ValueError(f"root {usual.name}: the handbook names {len(usual.canals)} canals at most, {asked} has more")
    return path


def _levels(path: Path, draws: Draws) -> tuple[float, ...]:
    return tuple(level + draws.between(-2 * LEVEL_SPREAD, 2 * LEVEL_SPREAD) for level in usual_levels(path))


def _bends(usual: UsualRoot, curve: Curve, draws: Draws) -> tuple[Bend, ...]:
    shape = usual.shape
    straight, s_shaped = draws.happens(STRAIGHT_PERCENT), draws.happens(S_PERCENT)
    drawn: Curve = "straight" if straight else "S" if s_shaped else "one bend"
    wanted = drawn if curve == "by frequency" else curve
    toward_deg = draws.near(shape.bend_toward_deg, OFF_PLANE_DEG)
    if wanted == "S":
        first, second = draws.between(*S_BEND_DEG), draws.between(*S_BEND_DEG)
        return Bend(first, toward_deg % 360, 0.30), Bend(second, (toward_deg + 180) % 360, 0.30)
    turn_deg = draws.near(shape.bend_deg, BEND_SPREAD_DEG + BEND_SPREAD_SHARE * shape.bend_deg)
    share = draws.between(0.35, 0.55)
    if wanted == "straight":
        turn_deg = draws.between(0.0, STRAIGHT_MOST_DEG)
    else:
        turn_deg = min(max(turn_deg, STRAIGHT_MOST_DEG), MOST_BENT_DEG)
    return (Bend(turn_deg, toward_deg % 360, share),)


def _root(usual: UsualRoot, crown: Crown, length_mm: float, bends: tuple[Bend, ...], draws: Draws) -> Root:
    shape, thicker = usual.shape, draws.near(1.0, SIZE_SPREAD)
    low, middle, high = (thicker * width_mm for width_mm in shape.mesiodistal_mm)
    distal, lingual = shape.place
    start_mm = (distal * crown.neck_mesiodistal_mm, lingual * crown.neck_buccolingual_mm, ROOT_TOP_MM)
    return root_from(
        RootPlan(
            name=usual.name,
            start_mm=start_mm,
            length_mm=length_mm,
            neck_mm=shape.neck_share * crown.neck_mesiodistal_mm,
            widths_mm=(low, middle, high),
            flattening=shape.flattening,
            lean_deg=max(0.0, draws.near(shape.lean_deg, 1.0)) if shape.lean_deg else 0.0,
            lean_toward_deg=shape.lean_toward_deg,
            bends=bends,
        )
    )


def _neighbours(number: int, own_mesiodistal_mm: float) -> tuple[Neighbour, ...]:
    """The teeth on both sides, in contact, as far as a film reaches; the nearer ones first."""
    found = []
    for side in (-1, 1):
        quadrant, place = divmod(number, 10)
        edge_mm = own_mesiodistal_mm / 2
        while True:
            place += side if quadrant == number // 10 else 1
            if place == 0:
                quadrant, place = BEYOND_MIDLINE[quadrant], 1
            if place > LAST_PLACE:
                break
            width_mm = entry(10 * quadrant + place).crown.mesiodistal_mm
            centre_mm = side * (edge_mm + width_mm / 2)
            if abs(centre_mm) > NEIGHBOURS_WITHIN_MM:
                break
            found.append(Neighbour(10 * quadrant + place, centre_mm))
            edge_mm += width_mm
    return tuple(sorted(found, key=lambda neighbour: math.fabs(neighbour.centre_mm)))
