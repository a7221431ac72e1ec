"""Varied teeth: plausible, as asked, the same for the same seed, and fit for a film."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy import terminus
from casebank.anatomy.configurations import VERTUCCI, canals_in, parsed
from casebank.anatomy.handbook import entry, length_range_mm
from casebank.anatomy.joins import AS_ONE_MM, joins, path_of
from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.anatomy.tracing import off_line_mm
from casebank.anatomy.vary import vary
from casebank.anatomy.walls import require_inside
from casebank.difficulty.canal_form import is_s_shaped
from casebank.radiograph.film import take
from casebank.radiograph.view import Receptor, View

SIXTEEN = [*range(11, 19), *range(41, 49)]
TWENTY = [*SIXTEEN, 24, 26, 31, 36]
NUMBERS = st.sampled_from(sorted(FDI_NUMBERS))
SEEDS = st.integers(0, 10**9)


def require_sound(anatomy):
    tooth, kind = anatomy.tooth, entry(anatomy.tooth.number)
    low, high = length_range_mm(tooth.number)
    assert low <= tooth.length_mm <= high
    for canal in tooth.canals:
        require_inside(canal, tooth.orifice_of(canal), tooth.root(canal.root))
        assert terminus.departures(tooth, canal) == ()
    for root in tooth.roots:
        types = [parsed(share.type) for share in kind.root(root.name).configurations]
        here = [canal.name for canal in tooth.canals if canal.root == root.name]
        assert tuple(here) in kind.root(root.name).canals
        assert path_of(tooth, root.name) in types
        assert canals_in(path_of(tooth, root.name)) == len(here)
    assert any({root.name for root in tooth.roots} == set(pattern.roots) for pattern in kind.patterns)


@given(NUMBERS, SEEDS)
@settings(max_examples=30, deadline=None)
def test_any_seed_of_any_tooth_gives_one_that_could_exist(number, seed):
    require_sound(vary(number, seed))


@pytest.mark.parametrize("number", SIXTEEN)
def test_every_kind_has_the_curves_that_are_asked_for(number):
    for curve, s_shaped in (("straight", False), ("one bend", False), ("S", True)):
        anatomy = vary(number, 11, curve=curve, paths=dict.fromkeys(only_roots(number), "I"), roots=only_roots(number))
        shapes = [is_s_shaped(canal.course) for canal in anatomy.tooth.canals]
        assert shapes == [s_shaped] * len(anatomy.tooth.canals), curve


def only_roots(number):
    return max(entry(number).patterns, key=lambda pattern: pattern.percent).roots


@pytest.mark.parametrize("name", list(VERTUCCI))
@pytest.mark.parametrize(("number", "root"), [(14, "R"), (26, "MB"), (36, "M"), (45, "R")])
def test_a_type_that_is_asked_for_is_what_the_courses_show(number, root, name):
    roots = ("R",) if root == "R" else ()
    tooth = vary(number, 5, roots=roots, paths={root: name}).tooth
    here = [canal for canal in tooth.canals if canal.root == root]
    assert len(here) == canals_in(VERTUCCI[name])
    assert path_of(tooth, root) == VERTUCCI[name]


def test_a_shared_stretch_is_shared_to_a_twentieth_of_a_millimetre_and_ends_alike():
    tooth = vary(36, 2, paths={"M": "2-1"}, levels={"M": (0.5,)}).tooth
    first, second = (canal for canal in tooth.canals if canal.root == "M")
    (join,) = joins(tooth)
    line, other = tooth.centre_line(first), tooth.centre_line(second)
    shared = line[first.levels() >= join.first_mm[0]]
    assert (off_line_mm(shared, other) <= AS_ONE_MM).all()
    assert join.to_foramen
    assert np.linalg.norm(line[-1] - other[-1]) <= AS_ONE_MM
    assert (first.foramen, first.constriction) == (second.foramen, second.constriction)


def test_canals_that_divide_begin_at_one_orifice():
    tooth = vary(45, 4, paths={"R": "V"}).tooth
    buccal, lingual = tooth.canals
    assert tooth.orifice_of(buccal) == pytest.approx(tooth.orifice_of(lingual), abs=1e-6)
    assert buccal.orifice == lingual.orifice
    ends = [tooth.centre_line(canal)[-1] for canal in tooth.canals]
    assert ends[0][1] < ends[1][1]  # the buccal one ends buccally


def test_the_level_of_a_division_can_be_put_into_any_third():
    # what parts does so below the level that was asked for; the way counts from the orifice to the apex along the root,
    # which differs from the canal's own length by less than a few hundredths of it
    for level in (0.2, 0.5, 0.75):
        tooth = vary(14, 3, roots=("R",), paths={"R": "1-2"}, levels={"R": (level,)}, curve="straight").tooth
        (join,) = joins(tooth)
        way_mm = tooth.canals[0].length_mm
        assert (level - 0.03) * way_mm < join.first_mm[1] < (level + 0.25) * way_mm


def test_extra_roots_come_when_asked_for():
    assert [root.name for root in vary(36, 1, roots=("M", "D", "DL")).tooth.roots] == ["M", "D", "DL"]
    assert len(vary(14, 1, roots=("MB", "DB", "P")).tooth.roots) == 3
    assert [canal.name for canal in vary(43, 1, roots=("B", "L")).tooth.canals] == ["B", "L"]


def test_the_same_arguments_give_the_same_tooth_and_others_another():
    assert vary(16, 7) == vary(16, 7)
    assert vary(16, 7) != vary(16, 8)
    assert vary(16, 7).tooth.crown != vary(26, 7).tooth.crown


@pytest.mark.parametrize(
    ("number", "beside"), [(11, {21, 22, 12, 13}), (38, {37}), (42, {41, 31, 43, 44}), (26, {25, 27})]
)
def test_the_neighbours_stand_on_their_sides_in_contact(number, beside):
    anatomy = vary(number, 1)
    assert beside <= {neighbour.number for neighbour in anatomy.neighbours}
    for neighbour in anatomy.neighbours:
        distal = neighbour.number // 10 == number // 10 and neighbour.number > number
        assert (neighbour.centre_mm > 0) == distal
    first = anatomy.neighbours[0]
    touching = (anatomy.tooth.crown.mesiodistal_mm + entry(first.number).crown.mesiodistal_mm) / 2
    assert abs(first.centre_mm) == pytest.approx(touching)
    assert all(one.centre_mm != other.centre_mm for one, other in combinations(anatomy.neighbours, 2))


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        pytest.param({"number": 19}, "19 is no permanent tooth", id="no tooth"),
        pytest.param({"seed": -1}, "whole number of 0 or more", id="seed"),
        pytest.param({"roots": ("X",)}, "upper first molar has MB, DB, P", id="unknown root"),
        pytest.param({"roots": ("MB", "MB")}, "each root once", id="root twice"),
        pytest.param({"number": 11, "roots": ("R", "R")}, "each root once", id="single root twice"),
        pytest.param(
            {"paths": {"M": "I"}}, "root M is asked for, but this upper first molar has", id="path of no root"
        ),
        pytest.param({"paths": {"P": "II"}}, "names 1 canals at most", id="too many canals"),
        pytest.param({"paths": {"MB": "IX"}}, "is no path", id="no path"),
        pytest.param({"paths": {"MB": "II"}, "levels": {"MB": (0.7, 0.3)}}, "changes its count 1 times", id="levels"),
    ],
)
def test_what_cannot_be_is_refused(arguments, sentence):
    with pytest.raises(ValueError, match=sentence):
        vary(**({"number": 16, "seed": 1} | arguments))


@pytest.mark.parametrize(("seed", "number"), list(enumerate(TWENTY)))
def test_twenty_varied_teeth_can_be_filmed_from_three_sides(seed, number):
    anatomy, receptor = vary(number, 100 + seed), Receptor.of_pixels(180, 136)
    films = [take(anatomy, View(horizontal_deg=angle), receptor).pixels for angle in (0.0, 20.0, -20.0)]
    assert all(film.shape == (136, 180) for film in films)
    assert all(np.ptp(film) > 100 for film in films)  # neither blank nor even
    assert all((one != other).any() for one, other in combinations(films, 2))
