"""A film in words, for whoever cannot use the picture: what can be seen in that view, and nothing that cannot.

No sentence holds a number, a level or a name the anatomy gives to roots or canals: roots are called by their order on
this film. Every text stands in `film_words.toml`.
"""

import tomllib
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.anatomy import Anatomy, measure
from casebank.radiograph.features import Feature, features_of, lesion_names
from casebank.radiograph.materials import Material
from casebank.radiograph.rod import Rod
from casebank.radiograph.superimposed import parting
from casebank.radiograph.surroundings import crests, neighbours, structures
from casebank.radiograph.tell import Tell
from casebank.radiograph.view import Projection, Receptor, View, aim
from casebank.radiograph.visibility import canals_in, thirds, visible

Array = NDArray[np.float64]
Detail = Literal["brief", "full"]

ONE_OVER_MM = 1.0  # root ends closer than this on the film lie one over the other: teaching choice
BENDS_DEG = 8.0  # a root that turns less is told as straight: teaching choice
LEAVES_MM = 0.3  # off its first direction, where a root is told to turn: teaching choice
FLAT = 0.3  # height over width of a chamber told as flat: teaching choice
ABOUT_MM = 0.6  # a file that ends nearer to a root's tip is told to end with it: teaching choice


@cache
def texts() -> dict[str, dict[str, str]]:
    """All texts, by group and key."""
    return tomllib.loads((files("casebank.radiograph") / "film_words.toml").read_text(encoding="utf-8"))


def describe(
    anatomy: Anatomy,
    view: View,
    *,
    detail: Detail = "full",
    receptor: Receptor | None = None,
    rods: tuple[Rod, ...] = (),
    translate: Callable[[str], str] = str,
) -> tuple[str, ...]:
    """Sentences about one film; "full" holds all that "brief" does, in the same order.

    Parameters
    ----------
    detail : "brief" or "full"
        View, crown, ends of roots and dark areas; or also canals, chamber, crest, neighbours and jaw.
    translate : callable
        From an English text with its {names} to another language's.

    Raises
    ------
    ValueError
        If the receptor would stand in tooth or bone, or there is no such detail.
    """
    if detail not in ("brief", "full"):
        raise ValueError(f"a film is told brief or full, not {detail!r}")
    receptor = receptor or Receptor()
    tell = Tell(texts(), translate)
    projection = aim(view, receptor, anatomy)
    names = roots_in_order(anatomy, projection)
    full = detail == "full"
    said = [*_taken(anatomy, view, tell), _crown(anatomy, tell)]
    if full:
        said.append(_chamber(anatomy, tell))
    said += _ends(anatomy, view, receptor, projection, names, tell)
    if full:
        for root in names:
            said.append(_course(anatomy, view, projection, root, names, tell))
            said += _lines(anatomy, view, receptor, root, names, tell)
    said += _dark_areas(anatomy, view, receptor, names, tell)
    if full:
        kinds = {one.kind for one in features_of(anatomy) if one.kind in texts()["other"] and _seen(anatomy, view, one)}
        said += [tell("other", kind) for kind in sorted(kinds)]
        said += _rods(anatomy, view, receptor, rods, projection, names, tell)
        said += crests(anatomy, tell) + neighbours(anatomy, projection, tell)
        said += structures(anatomy, projection, tell)
    return tuple(said)


def roots_in_order(anatomy: Anatomy, projection: Projection) -> dict[str, str]:
    """Each root's name in the anatomy and the key of its name on this film, from mesial to distal."""
    tips = {root.name: _mesiodistal(anatomy, projection, root.apex_mm) for root in anatomy.tooth.roots}
    order = sorted(tips, key=lambda name: tips[name])
    keys = {1: ("one",), 2: ("mesial", "distal"), 3: ("mesial", "middle", "distal")}
    called = keys.get(len(order), ("mesial", "middle", *("another",) * (len(order) - 3), "distal"))
    return dict(zip(order, called, strict=True))


def _mesiodistal(anatomy: Anatomy, projection: Projection, point_mm: Array) -> float:
    """How far distally a point of the tooth lies on the film, mm."""
    where = projection.to_film_mm(anatomy.placement.to_jaw(np.atleast_2d(point_mm)))[0]
    return float(where[0]) * (1.0 if anatomy.tooth.number // 10 in (2, 3) else -1.0)


def _taken(anatomy: Anatomy, view: View, tell: Tell) -> list[str]:
    moves = [
        tell("view", key)
        for key, moved in (
            ("mesial", view.horizontal_deg > 0),
            ("distal", view.horizontal_deg < 0),
            ("raised", view.vertical_deg > 0),
            ("lowered", view.vertical_deg < 0),
        )
        if moved
    ]
    tube = tell("view", "both", first=moves[0], second=moves[1]) if len(moves) == 2 else (moves or [""])[0]
    quadrant, place = divmod(anatomy.tooth.number, 10)
    jaw, kind = tell("jaw", str(quadrant)), tell("place", str(place))
    said = [tell("view", "taken", jaw=jaw, place=kind, tube=tube or tell("view", "straight"))]
    return said + ([tell("view", "turned")] if view.roll_deg else [])


def _crown(anatomy: Anatomy, tell: Tell) -> str:
    if anatomy.prosthesis is None:
        return tell("crown", "natural")
    return tell("crown", anatomy.prosthesis.kind, material=tell("crown", anatomy.prosthesis.material))


def _chamber(anatomy: Anatomy, tell: Tell) -> str:
    tooth, prosthesis = anatomy.tooth, anatomy.prosthesis
    margin_mm = tooth.crown.height_mm - (prosthesis.margin_above_neck_mm if prosthesis else 0.0)
    if prosthesis and prosthesis.material != "ceramic" and tooth.chamber.roof_mm < margin_mm - 1.0:
        return tell("crown", "chamber-covered")
    flat = tooth.chamber.height_mm < FLAT * tooth.chamber.mesiodistal_mm
    return tell("crown", "chamber-flat" if flat else "chamber")


def _ends(
    anatomy: Anatomy, view: View, receptor: Receptor, projection: Projection, names: dict[str, str], tell: Tell
) -> list[str]:
    said = []
    tips = {name: anatomy.placement.to_jaw(anatomy.tooth.root(name).apex_mm[np.newaxis]) for name in names}
    for name, called in names.items():
        if not projection.holds(tips[name])[0]:
            said.append(tell("root", "outside", root=tell("root", called)))
            continue
        sight = visible(anatomy, view, Feature("apex", name), receptor=receptor)
        key = "told" if sight.seen else "untold"
        said.append(tell("root", key, root=tell("root", called), why=tell.plain(sight.why)))
    places = list(tips)
    for place, name in enumerate(places):
        for other in places[place + 1 :]:
            gap = projection.to_film_mm(tips[name]) - projection.to_film_mm(tips[other])
            if np.linalg.norm(gap) < ONE_OVER_MM:
                pair = (tell("root", names[name]), tell("root", names[other]))
                said.append(tell("root", "over", root=pair[0], other=pair[1]))
    return said


def _course(anatomy: Anatomy, view: View, projection: Projection, root: str, names: dict[str, str], tell: Tell) -> str:
    """Which way a root turns on this film, and in which third."""
    line = projection.to_film_mm(anatomy.placement.to_jaw(anatomy.tooth.root(root).centre_line(step_mm=0.2)))
    called = tell("root", names[root])
    if measure(line, departure_mm=0.05).secant_deg < BENDS_DEG:
        return tell("root", "straight", root=called)
    axis = (line[10] - line[0]) / np.linalg.norm(line[10] - line[0])
    aside = (line - line[0]) @ np.array([-axis[1], axis[0]])
    leaves = int(np.argmax(np.abs(aside) > LEAVES_MM))
    square = np.array([-axis[1], axis[0]]) * np.sign(aside[-1])
    distal = square[0] * (1.0 if anatomy.tooth.number // 10 in (2, 3) else -1.0) > 0
    third = tell("third", str(min(2, 3 * leaves // len(line))))
    return tell("root", "bends", root=called, side=tell("side", "distal" if distal else "mesial"), third=third)


def _lines(anatomy: Anatomy, view: View, receptor: Receptor, root: str, names: dict[str, str], tell: Tell) -> list[str]:
    """The lines of canals that stand out in one root."""
    counted = canals_in(anatomy, view, receptor=receptor)
    here = [canal.name for canal in anatomy.tooth.canals if canal.root == root and counted[canal.name].seen]
    if not here:
        return [tell("line", "none", root=tell("root", names[root]))]
    said = []
    for number, name in enumerate(here):
        behind = tuple(other for other in counted if other != name and not parting(anatomy, view, name, other).apart)
        seen = [
            one.seen or together.seen
            for one, together in zip(
                thirds(anatomy, view, name, receptor=receptor),
                thirds(anatomy, view, name, with_them=behind, receptor=receptor),
                strict=True,
            )
        ]
        unbroken = seen.index(False) if False in seen else 3
        reach = tell("line", "part" if unbroken == 0 else str(unbroken - 1))
        said.append(tell("line", "beside" if number else "follow", root=tell("root", names[root]), reach=reach))
    return said


def _dark_areas(anatomy: Anatomy, view: View, receptor: Receptor, names: dict[str, str], tell: Tell) -> list[str]:
    said = []
    for name, lesion in zip(lesion_names(anatomy), anatomy.lesions, strict=True):
        if not visible(anatomy, view, Feature("lesion", name), receptor=receptor).seen:
            continue
        root = anatomy.tooth.root(lesion.root)
        radii = root.radii_mm(20)
        times = lesion.mesiodistal_mm / (2 * float(radii[15]))
        key = "smaller" if times < 0.8 else "same" if times < 1.25 else "wider" if times < 2 else "much-wider"
        said.append(tell("lesion", "there", root=tell("root", names[lesion.root]), size=tell("lesion", key)))
    return said or [tell("lesion", "none")]


def _rods(
    anatomy: Anatomy,
    view: View,
    receptor: Receptor,
    rods: tuple[Rod, ...],
    projection: Projection,
    names: dict[str, str],
    tell: Tell,
) -> list[str]:
    """What stands in the roots, and where it ends against each root's tip on the film."""
    tips = {name: anatomy.placement.to_jaw(anatomy.tooth.root(name).apex_mm[np.newaxis])[0] for name in names}
    said = []
    for number, rod in enumerate(rods, 1):
        end = rod.centre_line[0]
        root = min(tips, key=lambda name: float(np.linalg.norm(tips[name] - end)))
        seen = visible(anatomy, view, Feature("file tip", str(number)), receptor=receptor, rods=rods).seen
        below = projection.to_film_mm(np.array([end, tips[root], tips[root] - [0.0, 0.0, 1.0]]))
        past_mm = float((below[0] - below[1]) @ (below[2] - below[1]) / np.linalg.norm(below[2] - below[1]))
        where = "inside" if past_mm < -ABOUT_MM else "beyond" if past_mm > ABOUT_MM else "at"
        kind = "paler" if rod.material == Material.ROOT_FILLING else "metal"
        ends = tell("rod", where if seen else "untold")
        said.append(tell("rod", kind, root=tell("root", names[root]), end=ends))
    return said


def _seen(anatomy: Anatomy, view: View, feature: Feature) -> bool:
    return visible(anatomy, view, feature).seen
