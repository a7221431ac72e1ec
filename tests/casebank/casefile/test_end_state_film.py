"""The tooth as it was left: what stands in it, in which order, and what the film of it shows."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from casebank.anatomy import LateralCanal
from casebank.casefile.end_state_film import end_state, shaped_line
from casebank.instruments import Bench, EngineFile, FitCone
from casebank.instruments.lumen import Fragment
from casebank.radiograph import Material, Receptor, take
from tests.casebank.casefile.test_fills import FORAMEN_MM, SHAPED, bench_after, with_cone
from tests.teeth import lower_molar

SMALL = Receptor.of_pixels(290, 220)


@pytest.fixture(scope="module")
def natural():
    """A lower molar without a bridge, so that its crown hides nothing."""
    return replace(lower_molar(), prosthesis=None, neighbours=(), lesions=())


@pytest.fixture(scope="module")
def filled():
    return with_cone(bench_after(*SHAPED), 40, FORAMEN_MM - 0.5)


def materials(state):
    return [rod.material for rod in state.rods]


def shade_at(shown, points_jaw_mm):
    places = shown.projection.project_px(np.atleast_2d(points_jaw_mm)).astype(int)
    return np.array([shown.shade[y - 1 : y + 2, x - 1 : x + 2].mean() for x, y in places])


def along(anatomy, canal, depth_mm):
    one = anatomy.tooth.canal(canal)
    return anatomy.placement.to_jaw(one.course.at(anatomy.tooth.orifice_of(one), np.array([depth_mm])))


def test_a_tooth_that_was_never_entered_holds_nothing(natural):
    state = end_state(natural, Bench.of(natural.tooth), {}, "same-day")
    assert (state.rods, state.touched, state.fills) == ((), (), ())


def test_only_canals_that_were_worked_differ_from_before(natural, filled):
    state = end_state(natural, filled, {}, "same-day")
    assert state.touched == ("D",)
    assert [fill.canal for fill in state.fills] == ["D"]


def test_each_seal_closes_the_tooth_in_its_own_way(natural, filled):
    sealed, soft, open_still, unsaid = (
        end_state(natural, filled, {}, answer) for answer in ("same-day", "cotton", "crown-later", "")
    )
    way_in = natural.placement.to_jaw(np.array([[0.6, 0.0, 2.5]]))
    shades = [
        shade_at(take(natural, receptor=SMALL, rods=state.rods), way_in)[0] for state in (sealed, soft, open_still)
    ]
    assert shades[0] > shades[1] + 0.05  # closed all the way up, or hollow below the soft filling
    assert shades[1] == pytest.approx(shades[2], abs=0.03)
    assert (soft.seal, open_still.seal, unsaid.seal) == ("soft filling", "open", "open")
    assert materials(unsaid) == materials(open_still)


def test_a_filled_canal_is_lighter_than_before_and_an_emptied_one_darker(natural, filled):
    middle = along(natural, "D", 6.0)
    before = take(natural, receptor=SMALL)
    with_filling, emptied = (
        take(natural, receptor=SMALL, rods=end_state(natural, bench, {}, "").rods)
        for bench in (filled, with_cone(filled, 140, FORAMEN_MM))
    )
    assert shade_at(with_filling, middle)[0] > shade_at(before, middle)[0] + 0.1
    assert shade_at(emptied, middle)[0] < shade_at(before, middle)[0]


def test_where_the_filling_ends_short_the_canal_below_it_stays_dark(natural, filled):
    short = with_cone(filled, 60, FORAMEN_MM - 0.5)  # it stops about 5 mm above the prepared end
    shown = take(natural, receptor=SMALL, rods=end_state(natural, short, {}, "same-day").rods)
    full = take(natural, receptor=SMALL, rods=end_state(natural, filled, {}, "same-day").rods)
    light, dark = (shade_at(picture, along(natural, "D", 8.5))[0] for picture in (full, shown))
    assert light > dark + 0.1


def test_a_filling_pushed_through_the_foramen_shows_beyond_the_root(natural, filled):
    pushed = with_cone(filled, 20, FORAMEN_MM + 2.0, taper=0.02)
    rods = end_state(natural, pushed, {}, "same-day").rods
    canal = natural.tooth.canal("D")
    foramen = natural.placement.to_jaw(natural.tooth.centre_line(canal)[-1:])[0]
    end = natural.placement.to_jaw(canal.course.directions(np.array([canal.length_mm])))[0]
    tip = next(rod for rod in rods if rod.material is Material.ROOT_FILLING).centre_line[-1]
    assert (tip - foramen) @ end == pytest.approx(2.0 - 0.1, abs=0.15)  # its rounded end lies 0.1 mm further on


def test_a_gap_beside_the_filling_is_darker_than_a_dense_one(natural, filled):
    # 25/.02 in a canal of 40/.04, with sealer alone or packed: in the coronal half half of the width stays open
    thin = with_cone(filled, 25, FORAMEN_MM - 0.5, taper=0.02)
    place = along(natural, "D", 3.5)
    lone, packed = (
        shade_at(take(natural, receptor=SMALL, rods=end_state(natural, thin, {}, "", kind=kind).rods), place)[0]
        for kind in ("single cone", "warm vertical")
    )
    assert packed > lone + 0.1


@pytest.mark.parametrize(("kind", "share"), [("single cone", 0), ("cold lateral", 0.5), ("warm vertical", 1)])
def test_sealer_goes_as_far_into_a_lateral_canal_as_the_kind_of_filling_presses_it(natural, filled, kind, share):
    tooth = natural.tooth
    canal = replace(tooth.canal("D"), lateral_canals=(LateralCanal(6.0, 0.0),))
    branched = replace(natural, tooth=replace(tooth, canals=(*tooth.canals[:2], canal)))
    begin, end = branched.placement.to_jaw(branched.tooth.branch_line(canal, canal.lateral_canals[0]))
    fillings = [
        rod
        for rod in end_state(branched, filled, {}, "same-day", kind=kind).rods
        if rod.material is Material.ROOT_FILLING and len(rod.centre_line) == 2
    ]
    reached = [np.linalg.norm(rod.centre_line[1] - begin) / np.linalg.norm(end - begin) for rod in fillings]
    assert reached == pytest.approx([share] if share else [])


def test_a_piece_left_behind_stands_where_it_broke_and_nothing_is_filled_below_it(natural, filled):
    broken = replace(filled.lumens["D"], fragment=Fragment(6.0, "engine file 25/.06"))
    bench = replace(filled, lumens=MappingProxyType({**filled.lumens, "D": broken}))
    state = end_state(natural, bench, {}, "same-day")
    assert state.fragments == ("D",)
    (piece,) = [rod for rod in state.rods if rod.material is Material.NICKEL_TITANIUM]
    assert piece.centre_line[[0, -1]] == pytest.approx(
        np.vstack([along(natural, "D", 6.0), along(natural, "D", 9.0)]), abs=0.15
    )
    assert state.fills[0].end_mm <= 6.0


def test_a_canal_cut_more_on_one_wall_has_moved_by_half_the_difference(natural, filled):
    lumen = filled.lumens["D"]
    depths = lumen.shape.levels_mm
    lost = (lumen.shape.furcation_mm - lumen.furcation_mm) - (lumen.shape.outer_mm - lumen.outer_mm)
    before = natural.tooth.canal("D").course.at(natural.tooth.orifice_of(natural.tooth.canal("D")), depths)
    moved = np.linalg.norm(shaped_line(natural.tooth, lumen, depths) - before, axis=1)
    assert np.abs(lost).max() > 0.02
    assert moved == pytest.approx(np.abs(lost) / 2, abs=1e-9)


def test_a_try_that_never_entered_leaves_the_tooth_as_it_was(natural):
    bench, step = Bench.of(natural.tooth).make("D", EngineFile(25, 0.04, 5.0))
    assert step.reach.hold == "not entered"
    assert end_state(natural, bench, {}, "same-day").rods == ()
    assert end_state(natural, bench.make("D", FitCone(15, 0.02, 15.0))[0], {}, "same-day").rods != ()
