"""Each thing within a tooth shows on its film, lighter or darker as it should, over the place its anatomy says."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import (
    Anatomy,
    AngularDefect,
    CanalStone,
    Caries,
    ChamberStone,
    Chip,
    Course,
    Crown,
    Damage,
    DenseBone,
    ExternalResorption,
    Filling,
    Fragment,
    InternalResorption,
    LateralCanal,
    Leg,
    Lesion,
    OpenMargin,
    Post,
    Prosthesis,
    Restorations,
    Root,
    RootFilling,
    Section,
    Slit,
    Station,
    Support,
    Void,
    WidenedLigament,
)
from casebank.radiograph import View
from casebank.radiograph.features import Feature, features_of
from casebank.radiograph.pieces import pieces_of
from tests.casebank.radiograph.stock import lighter_at, upright, with_canal, with_root

MOLAR = upright()
MOST_PIECES = 900  # a film stays quick below


def incisor() -> Anatomy:
    """An upper central incisor with one straight root and canal."""
    root = Root("C", (0, 0, 0.4), Course((Leg(12.4),)), (Station(0, 3.1), Station(0.5, 2.3), Station(1, 0.5)), 0.97)
    canal = replace(
        MOLAR.tooth.canal("D"),
        name="C",
        root="C",
        cusp_to_orifice_mm=10.1,
        orifice_mm=(0.0, 0.0),
        course=Course((Leg(12.5),)),
        orifice=Section(1.2, 1.4),
        constriction=Section(0.3, 0.34),
        foramen=Section(0.5, 0.5),
    )
    chamber = replace(MOLAR.tooth.chamber, roof_mm=5.2, floor_mm=10.1, mesiodistal_mm=1.9, buccolingual_mm=1.7)
    crown = Crown(10.4, 8.6, 7.1, 6.4, 6.2)
    tooth = replace(
        MOLAR.tooth, number=11, crown=crown, chamber=chamber, roots=(root,), canals=(canal,), furcation_mm=None
    )
    return replace(MOLAR, tooth=tooth)


INCISOR = incisor()


def restored(base: Anatomy = MOLAR, **what: object) -> Anatomy:
    return replace(base, restorations=Restorations(**what))


def damaged(base: Anatomy = MOLAR, **what: object) -> Anatomy:
    return replace(base, damage=Damage(**what))


def down(name: str, depth_mm: float) -> tuple[float, float, float]:
    """A point of one of the molar's canals."""
    canal = MOLAR.tooth.canal(name)
    x, y, z = canal.course.at(MOLAR.tooth.orifice_of(canal), np.array([depth_mm]))[0].tolist()
    return x, y, z


TIP_D = tuple(MOLAR.tooth.root("D").apex_mm.tolist())
CORNER = [Filling(("mesial", "occlusal"), "composite", box_depth_mm=3.0)]

LIGHTER = {
    "a chamber stone": (
        replace(
            MOLAR,
            tooth=replace(
                MOLAR.tooth, chamber=replace(MOLAR.tooth.chamber, stones=(ChamberStone(6.8, 2.0, 2.0, 1.5, 0.6),))
            ),
        ),
        (0.6, 0.0, 7.0 - 6.8),
    ),
    "a canal stone": (with_canal(MOLAR, "D", stones=(CanalStone(3.0, 0.55, 1.5, 90.0),)), down("D", 3.0)),
    "dense bone": (replace(MOLAR, dense_bone=(DenseBone("D", 6, 5, 5),)), (TIP_D[0], 0.0, TIP_D[2] - 1.5)),
    "an amalgam": (restored(fillings=(Filling(("occlusal",), "amalgam"),)), (0.0, 0.0, 4.2)),
    "the box of an amalgam": (restored(fillings=(Filling(("distal", "occlusal"), "amalgam"),)), (4.4, 0.0, 2.5)),
    "a composite": (
        restored(fillings=(Filling(("occlusal",), "composite", depth_mm=3.0, width_mm=5.0),)),
        (0.0, 0.0, 3.0),
    ),
    "a base under it": (
        restored(fillings=(Filling(("occlusal",), "amalgam", depth_mm=3.0, width_mm=5.0, base_mm=1.5),)),
        (0.0, 0.0, 4.2),
    ),
    "a filling in the neck": (restored(fillings=(Filling(("buccal",), "metal", depth_mm=1.5),)), (0.0, -4.0, 1.9)),
    "a corner of composite": (restored(INCISOR, fillings=tuple(CORNER)), (-3.2, 0.0, 9.5)),
    "a filling at a front contact": (
        restored(INCISOR, fillings=(Filling(("distal",), "amalgam", box_depth_mm=1.5),)),
        (3.2, 0.0, 5.5),
    ),
    "a root filling": (restored(root_fillings=(RootFilling("D", 1.0),)), down("D", 6.0)),
    "an overfilled root": (restored(root_fillings=(RootFilling("D", -1.5, apical_mm=0.5),)), down("D", 11.9)),
    "a metal post": (restored(posts=(Post("D", 6.0, 1.2, "metal"),)), down("D", 3.0)),
    "a fibre post": (restored(INCISOR, posts=(Post("C", 6.0, 1.4, "fibre"),)), (0.0, 0.0, -3.0)),
    "a fragment": (restored(fragments=(Fragment("D", 2.0, 3.0, tip_mm=0.4),)), down("D", 7.5)),
    "a filled chamber": (restored(chamber="composite"), (0.0, 0.0, 7.0 - 6.8)),
}
DARKER = {
    "an internal resorption": (
        with_canal(INCISOR, "C", resorptions=(InternalResorption(5.0, 2.4, 3.0),)), (0.8, 0.0, -4.7)),
    "an external resorption": (
        with_root(INCISOR, "C", resorptions=(ExternalResorption(5.0, 0.0, 1.2, 3.0, 3.0),)), (2.0, 0.0, -4.6)),
    "one that faces the tube": (
        with_root(INCISOR, "C", resorptions=(ExternalResorption(5.0, 90.0, 1.2, 3.0, 3.0),)), (0.9, -2.0, -4.6)),
    "a lateral canal": (with_canal(INCISOR, "C", lateral_canals=(LateralCanal(6.0, 0.0, 0.4),)), (1.2, 0.0, -5.7)),
    "a periapical lesion": (replace(MOLAR, lesions=(Lesion("D", 4, 5, 5),)), (TIP_D[0], 0.0, TIP_D[2] - 1.5)),
    "a lateral lesion": (
        replace(INCISOR, lesions=(Lesion("C", 3, 4, 4, site="lateral", at_mm=7.0, toward_deg=0.0),)), (3.2, 0.0, -6.6)),
    "a furcal lesion": (replace(MOLAR, lesions=(Lesion("M", 3, 4, 4, site="furcal"),)), (0.0, 0.0, -5.5)),
    "a widened ligament": (
        replace(INCISOR, support=Support(widened=(WidenedLigament("C", 0.5),))), (0.0, 0.0, -12.5 - 0.3)),
    "one beside the root": (
        replace(INCISOR, support=Support(widened=(WidenedLigament("C", 0.5, at_mm=6.0),))), (2.35 + 0.35, 0.0, -5.6)),
    "a distal angular defect": (
        replace(MOLAR, support=Support(defects=(AngularDefect("distal", 5, 2.5),))), (5.2, 0.0, -2.5)),
    "a mesial angular defect": (
        replace(MOLAR, support=Support(defects=(AngularDefect("mesial", 5, 2.5),))), (-5.2, 0.0, -2.5)),
    "a buccal angular defect": (
        replace(MOLAR, support=Support(defects=(AngularDefect("buccal", 6, 3.0),))), (2.5, -4.0, -3.5)),
    "distal caries": (damaged(caries=(Caries("distal", 3.0, 3.0, 3.0),)), (4.2, 0.0, 3.0)),
    "mesial caries": (damaged(caries=(Caries("mesial", 3.0, 3.0, 3.0),)), (-4.2, 0.0, 3.0)),
    "occlusal caries": (damaged(caries=(Caries("occlusal", 3.0, 4.0),)), (0.0, 0.0, 3.8)),
    "buccal caries": (damaged(caries=(Caries("buccal", 2.0, 3.0, 2.0),)), (0.0, -4.0, 2.0)),
    "root caries": (damaged(caries=(Caries("distal", 2.0, 2.5, -0.8),)), (4.0, 0.0, -0.8)),
    "a cavity": (damaged(caries=(Caries("distal", 2.0, 3.0, 3.0, open=True),)), (4.4, 0.0, 3.0)),
    "a chip": (damaged(INCISOR, chips=(Chip("distal", 2.5, 2.0),)), (3.6, 0.0, 10.0)),
    "a mesial chip": (damaged(INCISOR, chips=(Chip("mesial", 2.5, 2.0),)), (-3.6, 0.0, 10.0)),
    "a blunted end": (with_root(INCISOR, "C", end="resorbed", lost_mm=1.0), (0.0, 0.0, -12.25)),
}  # fmt: skip


def _bare(anatomy: Anatomy) -> Anatomy:
    return INCISOR if anatomy.tooth.number == INCISOR.tooth.number else MOLAR


@pytest.mark.parametrize("what", LIGHTER)
def test_what_is_denser_shows_lighter_over_its_place(what):
    anatomy, place = LIGHTER[what]
    assert lighter_at(anatomy, _bare(anatomy), place) > 0.02


@pytest.mark.parametrize("what", DARKER)
def test_what_is_lost_shows_darker_over_its_place(what):
    anatomy, place = DARKER[what]
    assert lighter_at(anatomy, _bare(anatomy), place) < -0.01


@pytest.mark.parametrize("what", [*LIGHTER, *DARKER])
def test_nothing_changes_far_from_what_was_added_and_the_film_stays_quick(what):
    anatomy, place = (LIGHTER | DARKER)[what]
    bare = _bare(anatomy)
    far = (-9.0 if place[0] > 0 else 9.0, 0.0, -9.0)
    assert lighter_at(anatomy, bare, far) == pytest.approx(0.0, abs=1e-5)
    assert len(pieces_of(anatomy)) <= MOST_PIECES


def test_a_void_is_darker_than_the_filling_round_it():
    dense = restored(root_fillings=(RootFilling("D", 1.0),))
    holed = restored(root_fillings=(RootFilling("D", 1.0, voids=(Void(5.0, 1.5, 0.8),)),))
    assert lighter_at(holed, dense, down("D", 6.0)) < -0.05
    assert lighter_at(holed, dense, down("D", 3.0)) == pytest.approx(0.0, abs=1e-5)


def test_a_filling_that_is_not_spread_leaves_the_canals_own_width_beside_it():
    cone, spread = (restored(root_fillings=(RootFilling("D", 1.0, taper=0.02, spread=each),)) for each in (False, True))
    assert lighter_at(spread, cone, down("D", 1.0)) > 0.05


def test_a_gap_under_a_box_and_an_open_margin_are_dark_lines():
    tight = restored(fillings=(Filling(("distal", "occlusal"), "amalgam"),))
    leaking = restored(fillings=(Filling(("distal", "occlusal"), "amalgam", gap_mm=0.5),))
    assert lighter_at(leaking, tight, (4.6, 0.0, 0.75)) < -0.02
    crowned = replace(MOLAR, prosthesis=Prosthesis("crown", "metal"))
    gaping = replace(crowned, damage=Damage(open_margins=(OpenMargin("mesial", 0.6),)))
    assert lighter_at(gaping, crowned, (-4.6, 0.0, 0.8)) < -0.1


def test_caries_under_a_crown_keeps_below_its_margin():
    crowned = replace(MOLAR, prosthesis=Prosthesis("crown", "metal", 0.5))
    decayed = replace(crowned, damage=Damage(caries=(Caries("distal", 2.0, 3.0, 0.0),)))
    assert lighter_at(decayed, crowned, (4.0, 0.0, -0.5)) < -0.02
    assert lighter_at(decayed, crowned, (4.0, 0.0, 1.2)) == pytest.approx(0.0, abs=1e-4)


def test_an_open_end_ends_square_where_its_course_does():
    root = replace(INCISOR.tooth.root("C"), course=Course((Leg(10.4),)), end="open")
    root = replace(root, stations=(Station(0, 3.1), Station(0.5, 2.3), Station(1, 1.8)))
    canal = replace(
        INCISOR.tooth.canal("C"), course=Course((Leg(10.3),)), orifice=Section(2.2, 2.4),
        constriction=Section(2.1, 2.3), foramen=Section(2.4, 2.4),
    )  # fmt: skip
    young = replace(INCISOR, tooth=replace(INCISOR.tooth, roots=(root,), canals=(canal,)))
    dentine = [piece for piece in pieces_of(young) if piece.priority == 70]
    pulp = [piece for piece in pieces_of(young) if piece.priority == 95]
    for piece in (*dentine, *pulp):
        if piece.corners_mm[:, 2].min() < -10.1:
            assert piece.slab.high_mm == pytest.approx(10.0)  # down the root's own direction
    # beyond the end there is no dentine left of the older root
    assert lighter_at(young, INCISOR, (0.0, 0.0, -11.0)) < -0.05


def test_a_c_shaped_canal_is_dark_between_its_canals():
    # seen along the sheet: the tube 90 degrees round is impossible, so the sheet itself lies along the beam
    root = Root("R", (0, 0, 0.4), Course((Leg(12.0),)), (Station(0, 3.6), Station(1, 3.2)), 0.95, end="open")
    one = replace(
        MOLAR.tooth.canal("D"), root="R", course=Course((Leg(10.0),)), orifice=Section(0.4, 0.4),
        constriction=Section(0.3, 0.3), foramen=Section(0.4, 0.4), cusp_to_orifice_mm=8.6,
    )  # fmt: skip
    canals = (replace(one, name="B", orifice_mm=(0.0, -1.6)), replace(one, name="L", orifice_mm=(0.0, 1.6)))
    tooth = replace(MOLAR.tooth, roots=(root,), canals=canals, furcation_mm=None)
    apart = replace(MOLAR, tooth=tooth)
    joined = replace(MOLAR, tooth=replace(tooth, slits=(Slit(("B", "L"), 9.0, 17.0, 0.3),)))
    assert lighter_at(joined, apart, (0.0, 0.0, -6.0)) < -0.05


def test_a_canal_wide_mesiodistally_throws_a_broader_shadow():
    oval = {"orifice": Section(0.6, 1.4), "constriction": Section(0.3, 0.9), "foramen": Section(0.4, 0.9)}
    deep = with_canal(INCISOR, "C", **oval)
    broad = with_canal(INCISOR, "C", **oval, wide_side="mesiodistal")
    beside, middle = (0.45, 0.0, -4.7), (0.0, 0.0, -4.7)
    assert lighter_at(broad, deep, beside) < -0.02
    assert lighter_at(broad, deep, middle) > 0.01


def test_a_canal_with_two_bends_in_two_planes_lies_on_the_film_where_its_course_goes():
    # towards buccal, then distal: at 0 degrees only the second bend shows, from the side both
    course = Course((Leg(3.0), Leg(3.0, 8.0, 90.0), Leg(1.0), Leg(3.2, 9.0, 0.0), Leg(0.5)))
    root = Root("R", (0, 0, 0.4), Course((Leg(11.4),)), (Station(0, 3.4), Station(1, 3.2)), 1.4, end="open")
    canal = replace(
        MOLAR.tooth.canal("D"), name="S", root="R", orifice_mm=(0.0, 0.0), course=course, orifice=Section(0.5, 0.5),
        constriction=Section(0.4, 0.4), foramen=Section(0.5, 0.5), cusp_to_orifice_mm=7.7,
    )  # fmt: skip
    end_z = course.points((0.0, 0.0, -0.7))[-1][2]
    root = replace(root, course=Course((Leg(0.4 - end_z),)))
    tooth = replace(MOLAR.tooth, roots=(root,), canals=(canal,), furcation_mm=None)
    bent = replace(MOLAR, tooth=tooth)
    # the same root with the canal drawn to one side of it: as if this canal were not there
    away = with_canal(bent, "S", course=Course((Leg(0.4 - end_z - 1.1),)), orifice_mm=(-2.4, 0.0))
    for turned in (0.0, 20.0):
        view = View(horizontal_deg=turned)
        for depth in (5.0, 9.0):
            x, y, z = course.at((0.0, 0.0, -0.7), np.array([depth]))[0].tolist()
            assert lighter_at(bent, away, (x, y, z), view) < -0.02


@pytest.mark.parametrize(
    "anatomy",
    [
        with_canal(MOLAR, "D", stones=(CanalStone(3.0, 0.55, 1.5, 90.0),)),
        LIGHTER["a chamber stone"][0],
        DARKER["an internal resorption"][0],
        DARKER["an external resorption"][0],
        DARKER["a lateral canal"][0],
    ],
)
def test_a_detail_left_out_gives_the_film_without_it(anatomy):
    bare = _bare(anatomy)
    (feature,) = [one for one in features_of(anatomy) if one not in features_of(bare)]
    without = {(piece.material, piece.priority, piece.at_mm.tobytes()) for piece in pieces_of(anatomy, without=feature)}
    assert without == {(piece.material, piece.priority, piece.at_mm.tobytes()) for piece in pieces_of(bare)}


def test_a_resorbed_end_left_out_grows_back():
    blunt = with_root(INCISOR, "C", end="resorbed", lost_mm=1.0)
    assert Feature("resorption", "C end") in features_of(blunt)
    lowest = [
        min(piece.corners_mm[:, 2].min() for piece in pieces if piece.priority == 70 and piece.slab.high_mm < 20)
        for pieces in (pieces_of(blunt), pieces_of(blunt, without=Feature("resorption", "C end")))
    ]
    assert lowest[1] < lowest[0] - 0.2
