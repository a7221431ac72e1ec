"""Stones, resorptions, side branches, slits and unusual ends and sections, and what of them a tooth refuses."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import (
    Anatomy,
    Canal,
    CanalStone,
    Chamber,
    ChamberStone,
    Course,
    Crown,
    ExternalResorption,
    InternalResorption,
    LateralCanal,
    Leg,
    Root,
    Section,
    Slit,
    Station,
    Tooth,
    around,
)
from tests.teeth import lower_molar

LEVELS = np.array([0.0, 4.0, 5.0, 6.0, 9.0])


def straight_tooth(*, root: Root | None = None, canal: Canal | None = None, **others) -> Tooth:
    """A tooth with one straight round root, 4 mm wide throughout, and a straight canal 1 mm wide in its middle."""
    root = root or Root("R", (0.0, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 2.0), Station(1, 2.0)), end="open")
    return Tooth(
        11, Crown(10.0, 8.0, 7.0, 6.0, 6.0), Chamber(5.0, 9.5, 2.0, 2.0), (root,), (canal or plain(),), **others
    )


def plain(**others) -> Canal:
    one = Section(1.0, 1.0)
    return Canal("C", "R", 10.0, (0.0, 0.0), Course((Leg(12.0),)), one, one, one, **others)


def test_a_stone_leaves_a_file_what_is_beside_it_and_leaves_the_walls_alone():
    stony = plain(stones=(CanalStone(5.0, 0.6, 2.0),))
    # 1.0 less 0.6 in its middle; half-way to its ends sqrt(1 - 0.5 ** 2) of it; nothing beyond
    assert stony.narrow_mm(np.array([5.0, 5.5, 6.0, 9.0])) == pytest.approx([0.4, 1 - 0.6 * np.sqrt(0.75), 1.0, 1.0])
    assert stony.walled_mm(LEVELS) == pytest.approx(np.ones(5))
    assert stony.wide_mm(LEVELS) == pytest.approx(np.ones(5))
    tooth, bare = straight_tooth(canal=stony), straight_tooth()
    for side in ("furcation_mm", "outer_mm"):
        with_stone, without = (
            getattr(around(each.canals[0], (0.0, 0.0, 0.0), each.roots[0]), side) for each in (tooth, bare)
        )
        assert with_stone == pytest.approx(without)


def test_a_stone_that_closes_its_canal_is_refused():
    with pytest.raises(ValueError, match=r"canal C: the stone at 5.0 mm leaves 0.05 mm.*thinnest file needs 0.06"):
        plain(stones=(CanalStone(5.0, 0.95, 2.0),))
    with pytest.raises(ValueError, match=r"reaches out of a canal of 12.0 mm"):
        plain(stones=(CanalStone(0.5, 0.3, 2.0),))


def test_a_chamber_stone_must_fit_its_chamber():
    fits = ChamberStone(7.0, 1.0, 1.0, 1.0, distal_mm=0.5)
    assert Chamber(5.0, 9.5, 2.0, 2.0, (fits,)).stones == (fits,)
    for wrong in (replace(fits, distal_mm=0.6), replace(fits, lingual_mm=-0.6), replace(fits, depth_mm=9.2)):
        with pytest.raises(ValueError, match=r"does not fit the chamber of 2.0 × 2.0 mm from 5.0 to 9.5 mm"):
            Chamber(5.0, 9.5, 2.0, 2.0, (wrong,))


def test_an_internal_resorption_widens_the_canal_and_thins_both_walls():
    bulging = plain(resorptions=(InternalResorption(5.0, 2.0, 2.0),))
    assert bulging.narrow_mm(LEVELS) == pytest.approx([1.0, 1.0, 2.0, 1.0, 1.0])
    assert bulging.wide_mm(LEVELS) == pytest.approx([1.0, 1.0, 2.0, 1.0, 1.0])
    tooth = straight_tooth(canal=bulging)
    walls = around(bulging, tooth.orifice_of(bulging), tooth.roots[0], step_mm=1.0)
    assert walls.furcation_mm[[5, 9]] == pytest.approx([2.0 - 1.0, 2.0 - 0.5])
    assert walls.outer_mm[[5, 9]] == pytest.approx([1.0, 1.5])


def test_a_bulge_that_breaks_through_the_root_is_refused_with_its_level():
    with pytest.raises(ValueError, match=r"canal C leaves root R [45]\.\d mm below its orifice"):
        straight_tooth(canal=plain(resorptions=(InternalResorption(5.0, 3.9, 2.0),)))
    with pytest.raises(ValueError, match=r"reaches out of a canal of 12.0 mm"):
        plain(resorptions=(InternalResorption(11.5, 2.0, 2.0),))


@pytest.mark.parametrize(("toward", "thinned"), [(0.0, "furcation_mm"), (180.0, "outer_mm")])
def test_an_external_resorption_thins_the_wall_it_lies_in(toward, thinned):
    bitten = replace(straight_tooth().roots[0], resorptions=(ExternalResorption(5.0, toward, 1.0, 2.0, 2.0),))
    tooth = straight_tooth(root=bitten)
    walls = around(tooth.canals[0], tooth.orifice_of(tooth.canals[0]), bitten, step_mm=1.0)
    other = "outer_mm" if thinned == "furcation_mm" else "furcation_mm"
    # root 2 mm from the middle, less 1 mm bitten, less half the canal of 1 mm
    assert getattr(walls, thinned)[5] == pytest.approx(0.5, abs=0.01)
    assert getattr(walls, thinned)[[3, 8]] == pytest.approx([1.5, 1.5])
    assert getattr(walls, other)[5] == pytest.approx(1.5)


def test_a_bite_across_the_line_of_the_walls_leaves_them_as_they_are():
    bitten = replace(straight_tooth().roots[0], resorptions=(ExternalResorption(5.0, 90.0, 1.0, 2.0, 2.0),))
    tooth = straight_tooth(root=bitten)
    walls = around(tooth.canals[0], tooth.orifice_of(tooth.canals[0]), bitten, step_mm=1.0)
    assert walls.furcation_mm == pytest.approx(np.full(13, 1.5))


def test_a_bite_that_reaches_the_canal_is_refused():
    bitten = replace(straight_tooth().roots[0], resorptions=(ExternalResorption(5.0, 270.0, 1.45, 2.0, 2.0),))
    with pytest.raises(ValueError, match=r"resorption 5.0 mm down root R comes within 0.1 mm of canal C 4.8 mm"):
        straight_tooth(root=bitten)
    with pytest.raises(ValueError, match=r"a resorption at 13.0 mm lies below its end at 12.0 mm"):
        replace(bitten, resorptions=(ExternalResorption(13.0, 270.0, 1.0, 2.0, 2.0),))


@pytest.mark.parametrize(
    ("branch", "end"),
    [
        (LateralCanal(5.0, 0.0), (2.0, 0.0, -5.0)),
        (LateralCanal(5.0, 90.0), (0.0, -2.0, -5.0)),
        (LateralCanal(5.0, 180.0, falls_deg=45.0), (-2.0, 0.0, -7.0)),
    ],
)
def test_a_lateral_canal_ends_on_the_roots_surface(branch, end):
    canal = plain(lateral_canals=(branch,))
    tooth = straight_tooth(canal=canal)
    line = tooth.branch_line(canal, branch)
    assert line[0] == pytest.approx([0.0, 0.0, -5.0])
    assert line[1] == pytest.approx(end, abs=0.01)


def test_a_lateral_canal_below_the_foramen_or_out_of_range_is_refused():
    with pytest.raises(ValueError, match=r"a lateral canal at 12.5 mm leaves below its end at 12.0 mm"):
        plain(lateral_canals=(LateralCanal(12.5, 0.0),))
    for wrong in ({"diameter_mm": 0.6}, {"falls_deg": 61.0}, {"at_mm": -0.1}, {"toward_deg": float("nan")}):
        with pytest.raises(ValueError, match="lateral canal"):
            replace(LateralCanal(5.0, 0.0), **wrong)


def test_an_open_end_is_cut_off_where_its_course_ends_and_may_widen_towards_it():
    canal = replace(plain(), orifice=Section(2.6, 2.8), constriction=Section(2.1, 2.3), foramen=Section(2.4, 2.4))
    tooth = straight_tooth(canal=canal)
    assert tooth.roots[0].apex_mm == pytest.approx([0.0, 0.0, -12.0])
    assert tooth.length_mm == pytest.approx(22.0)
    assert tooth.foramen_to_apex_mm(canal) == pytest.approx(0.0)
    assert canal.narrow_mm(np.array([0.0, 11.5, 12.0])) == pytest.approx([2.6, 2.1, 2.4])
    with pytest.raises(ValueError, match=r"canal C leaves root R 12.0 mm below its orifice"):
        straight_tooth(canal=replace(canal, foramen=Section(4.1, 4.1)))


def test_a_resorbed_end_says_how_much_is_lost_and_any_other_none():
    root = straight_tooth().roots[0]
    lost = replace(root, end="resorbed", lost_mm=1.6)
    assert lost.apex_mm == pytest.approx([0.0, 0.0, -12.0])
    for end, lost_mm in (("resorbed", 0.0), ("rounded", 1.0), ("open", 1.0), ("resorbed", -1.0)):
        with pytest.raises(ValueError, match="do not fit: a resorbed root has lost more than 0 mm"):
            replace(root, end=end, lost_mm=lost_mm)


def test_a_canal_may_be_wide_mesiodistally_instead():
    tall = replace(plain(), orifice=Section(0.6, 2.0), constriction=Section(0.6, 2.0), foramen=Section(0.6, 2.0))
    turned = replace(tall, wide_side="mesiodistal")
    assert tall.across_mm(LEVELS)[0] == pytest.approx(np.full(5, 0.6))
    assert turned.across_mm(LEVELS)[0] == pytest.approx(np.full(5, 2.0))
    assert turned.narrow_mm(LEVELS) == pytest.approx(np.full(5, 0.6))  # what a file feels does not turn
    for canal, wall_mm in ((tall, 1.7), (turned, 1.0)):
        tooth = straight_tooth(canal=canal)
        walls = around(canal, tooth.orifice_of(canal), tooth.roots[0], step_mm=1.0)
        assert walls.outer_mm[3] == pytest.approx(wall_mm)


def test_two_canals_may_be_joined_by_a_slit_on_an_arc():
    left, right = replace(plain(), name="M", orifice_mm=(-1.2, 0.0)), replace(plain(), name="D", orifice_mm=(1.2, 0.0))
    wide = Root("R", (0.0, 0.0, 0.0), Course((Leg(12.0),)), (Station(0, 3.0), Station(1, 3.0)), end="open")
    slit = Slit(("M", "D"), 12.0, 18.0, 0.2, bow_mm=1.0)
    tooth = replace(straight_tooth(), roots=(wide,), canals=(left, right), slits=(slit,))
    section = tooth.slit_sections(slit, np.array([15.0]), 5)[0]
    # from 10 mm of crown: height -5; the arc's middle stands 1 mm buccally, at a quarter of its length 0.75
    assert section[:, 0] == pytest.approx([-1.2, -0.6, 0.0, 0.6, 1.2])
    assert section[:, 1] == pytest.approx([0.0, -0.75, -1.0, -0.75, 0.0])
    assert section[:, 2] == pytest.approx(np.full(5, -5.0))
    for wrong, words in (
        (replace(slit, bow_mm=2.9), "leaves root R 12.0 mm below the cusp"),
        (replace(slit, to_mm=22.5), "reaches out of canal M, which runs from 10.0 to 22.0 mm"),
        (replace(slit, canals=("M", "X")), "a slit joins M and X, and this tooth has D, M"),
    ):
        with pytest.raises(ValueError, match=words):
            replace(tooth, slits=(wrong,))


def test_a_tooth_may_have_a_root_and_a_canal_more_than_is_usual():
    base = lower_molar().tooth
    further = replace(
        base.root("D"), name="DL", start_mm=(2.2, 3.4, 0.4), stations=(Station(0, 1.2), Station(1, 0.6)), flattening=1.0
    )
    end = further.apex_mm
    canal = Canal(
        "DL",
        "DL",
        8.3,
        (2.2, 3.4),
        Course(base.canal("D").course.legs),
        Section(0.4, 0.5),
        Section(0.2, 0.2),
        Section(0.3, 0.3),
    )
    tooth = replace(base, roots=(*base.roots, further), canals=(*base.canals, canal))
    assert Anatomy(tooth).tooth.root("DL").apex_mm == pytest.approx(end)
    assert tooth.foramen_to_apex_mm(tooth.canal("DL")) < 1.0
