"""Whatever a case adds to any tooth of the bank: it is refused in a sentence, or its film can be taken."""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from casebank.anatomy import (
    Anatomy,
    AngularDefect,
    CanalStone,
    Caries,
    ChamberStone,
    Chip,
    Damage,
    DenseBone,
    ExternalResorption,
    Filling,
    Fragment,
    InternalResorption,
    LateralCanal,
    Lesion,
    OpenMargin,
    Post,
    Restorations,
    RootFilling,
    Slit,
    Void,
    WidenedLigament,
)
from casebank.radiograph import Receptor, View, take

CASES = sorted((Path(__file__).parents[3] / "fixtures" / "cases").glob("*.case.json"))
TINY = Receptor.of_pixels(120, 90)
BEARINGS = st.floats(0.0, 360.0)
SURFACES = ("mesial", "occlusal", "distal", "buccal", "lingual")
SIDES = st.sampled_from(("mesial", "distal", "buccal", "lingual"))
WITHIN = (
    "canal stone", "chamber stone", "internal resorption", "external resorption", "resorbed end", "open end",
    "lateral canal", "slit", "wide side",
)  # fmt: skip
ROUND_IT = (
    "lesion", "dense bone", "defect", "widened", "filling", "root filling", "post", "fragment", "caries", "chip",
    "open margin",
)  # fmt: skip


@cache
def bundled(number: int) -> Anatomy:
    document = json.loads(CASES[number].read_text(encoding="utf-8"))
    return TypeAdapter(Anatomy).validate_json(json.dumps(document["anatomy"]))


def sizes(least: float, most: float) -> st.SearchStrategy[float]:
    """Mostly plausible sizes, some that no tooth has room for."""
    return st.floats(least, most) | st.floats(least, 3 * most)


def added_to(base: Anatomy, kind: str, draw: st.DrawFn) -> Anatomy:
    """The anatomy with one thing of a kind, its numbers drawn."""
    return (within if kind in WITHIN else round_it)(base, kind, draw)


def within(base: Anatomy, kind: str, draw: st.DrawFn) -> Anatomy:  # noqa: PLR0911
    tooth = base.tooth
    canal, root = draw(st.sampled_from(tooth.canals)), draw(st.sampled_from(tooth.roots))
    level = draw(st.floats(0.0, canal.length_mm + 1.0))
    down = draw(st.floats(0.0, root.course.length_mm + 0.5))

    def with_canal(**changes: object) -> Anatomy:
        others = tuple(replace(one, **changes) if one is canal else one for one in tooth.canals)
        return replace(base, tooth=replace(tooth, canals=others))

    def with_root(**changes: object) -> Anatomy:
        others = tuple(replace(one, **changes) if one is root else one for one in tooth.roots)
        return replace(base, tooth=replace(tooth, roots=others))

    match kind:
        case "canal stone":
            stone = CanalStone(level, draw(sizes(0.05, 0.6)), draw(sizes(0.2, 3.0)), draw(BEARINGS))
            return with_canal(stones=(stone,))
        case "chamber stone":
            room = tooth.chamber
            stone = ChamberStone(
                draw(st.floats(room.roof_mm, room.floor_mm)), *(draw(sizes(0.2, 1.5)) for _ in range(3))
            )
            return replace(base, tooth=replace(tooth, chamber=replace(room, stones=(stone,))))
        case "internal resorption":
            return with_canal(resorptions=(InternalResorption(level, draw(sizes(0.2, 2.0)), draw(sizes(0.5, 4.0))),))
        case "external resorption":
            bite = ExternalResorption(down, draw(BEARINGS), *(draw(sizes(0.2, 2.0)) for _ in range(3)))
            return with_root(resorptions=(bite,))
        case "resorbed end":
            return with_root(end="resorbed", lost_mm=draw(st.floats(0.0, 4.0)))
        case "open end":
            return with_root(end="open")
        case "lateral canal":
            branch = LateralCanal(level, draw(BEARINGS), draw(sizes(0.02, 0.3)), draw(st.floats(-70.0, 70.0)))
            return with_canal(lateral_canals=(branch,))
        case "slit":
            both = tuple(draw(st.sampled_from(tooth.canals)).name for _ in range(2))
            depth = draw(st.floats(5.0, 15.0))
            slit = Slit(both, depth, depth + draw(st.floats(0.1, 6.0)), 0.2, draw(st.floats(0.0, 2.0)), draw(BEARINGS))
            return replace(base, tooth=replace(tooth, slits=(slit,)))
        case _:
            return with_canal(wide_side="mesiodistal")


def round_it(base: Anatomy, kind: str, draw: st.DrawFn) -> Anatomy:  # noqa: PLR0911
    tooth = base.tooth
    canal, root = draw(st.sampled_from(tooth.canals)), draw(st.sampled_from(tooth.roots))
    level = draw(st.floats(0.0, canal.length_mm + 1.0))
    down = draw(st.floats(0.0, root.course.length_mm + 0.5))

    def with_work(**changes: object) -> Anatomy:
        return replace(base, restorations=Restorations(**changes))

    match kind:
        case "lesion":
            site = draw(st.sampled_from(("apical", "lateral", "furcal")))
            cortex, side = (
                draw(st.sampled_from(("whole", "thinned", "perforated"))),
                draw(st.sampled_from(("buccal", "lingual"))),
            )
            size = [draw(sizes(0.5, 8.0)) for _ in range(3)]
            at = down if site == "lateral" else None
            return replace(base, lesions=(Lesion(root.name, *size, cortex, side, 3, site, at, draw(BEARINGS)),))
        case "dense bone":
            return replace(base, dense_bone=(DenseBone(root.name, *(draw(sizes(0.5, 8.0)) for _ in range(3))),))
        case "defect":
            defect = AngularDefect(draw(SIDES), draw(sizes(0.3, 8.0)), draw(sizes(0.1, 4.0)))
            return replace(base, support=replace(base.support, defects=(defect,)))
        case "widened":
            at = draw(st.none() | st.just(down))
            place = WidenedLigament(root.name, draw(sizes(0.05, 1.0)), at, draw(sizes(0.3, 6.0)))
            return replace(base, support=replace(base.support, widened=(place,)))
        case "filling":
            surfaces = draw(st.lists(st.sampled_from(SURFACES), max_size=4))
            material = draw(st.sampled_from(("amalgam", "metal", "ceramic", "composite", "glass-ionomer")))
            numbers = [draw(sizes(0.3, 5.0)) for _ in range(2)]
            floor, box, layer, gap = (
                draw(st.floats(*ends)) for ends in ((-5.0, 7.0), (0.3, 5.0), (0.0, 2.0), (0.0, 1.0))
            )
            return with_work(fillings=(Filling(tuple(surfaces), material, *numbers, floor, box, layer, gap),))
        case "root filling":
            short = draw(st.floats(-5.0, canal.length_mm))
            voids = (Void(short + draw(st.floats(-0.5, 4.0)), draw(sizes(0.2, 3.0)), draw(st.floats(0.05, 1.0))),)
            top, spread = draw(st.floats(0.0, 5.0)), draw(st.booleans())
            apical, taper = draw(sizes(0.1, 0.6)), draw(st.floats(0.0, 0.1))
            return with_work(root_fillings=(RootFilling(canal.name, short, apical, taper, top, spread, voids),))
        case "post":
            post = Post(canal.name, level, draw(sizes(0.5, 1.6)), draw(st.sampled_from(("metal", "fibre"))))
            return with_work(posts=(post,), chamber="metal")
        case "fragment":
            short, length = draw(st.floats(-4.0, canal.length_mm)), draw(sizes(0.3, 5.0))
            return with_work(fragments=(Fragment(canal.name, short, length, draw(sizes(0.06, 0.6))),))
        case "caries":
            place = Caries(
                draw(st.sampled_from(SURFACES)), draw(sizes(0.2, 4.0)), draw(sizes(0.3, 5.0)), draw(st.floats(-7, 10)),
                draw(st.booleans()),
            )  # fmt: skip
            return replace(base, damage=Damage(caries=(place,)))
        case "chip":
            chip = Chip(draw(st.sampled_from(("mesial", "distal"))), draw(sizes(0.2, 4.0)), draw(sizes(0.2, 4.0)))
            return replace(base, damage=Damage(chips=(chip,)))
        case _:
            gap = OpenMargin(draw(st.sampled_from(("mesial", "distal"))), draw(sizes(0.05, 1.0)), draw(sizes(0.2, 2.0)))
            return replace(base, damage=Damage(open_margins=(gap,)))


def test_there_are_teeth_to_try():
    assert len(CASES) >= 4


def tried(base: Anatomy, kind: str, draw: st.DrawFn) -> Anatomy | str:
    """The anatomy with the addition, or the words with which it was refused."""
    try:
        return added_to(base, kind, draw)
    except ValueError as refusal:
        return str(refusal)


@pytest.mark.parametrize("kind", [*WITHIN, *ROUND_IT])
@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_it_is_refused_in_a_sentence_or_its_film_can_be_taken(kind, data):
    base = bundled(data.draw(st.integers(0, len(CASES) - 1), label="tooth"))
    result = tried(base, kind, data.draw)
    if isinstance(result, str):
        assert len(result.split()) > 6, result
        assert result[0].islower() or result[0].isdigit()
        return
    shown = take(result, View(horizontal_deg=data.draw(st.sampled_from((0.0, 20.0, -20.0)))), TINY)
    assert np.isfinite(shown.shade).all()
    assert shown.pixels.std() > 5
