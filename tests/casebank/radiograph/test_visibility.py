"""What a view shows of a lower molar whose parts are made plain, faint, or hidden one behind the other."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Lesion, Section
from casebank.radiograph import Receptor, View, rod_in_canal
from casebank.radiograph.features import Feature
from casebank.radiograph.superimposed import parting
from casebank.radiograph.visibility import canals_in, joined_in, thirds, visible
from tests.teeth import lower_molar


def with_canals(narrow_mm, wide_mm, names=("MB", "ML")):
    """The molar with some of its canals so wide from end to end."""
    anatomy = lower_molar()
    even = Section(narrow_mm, wide_mm)
    canals = tuple(
        replace(canal, orifice=even, constriction=even, foramen=even) if canal.name in names else canal
        for canal in anatomy.tooth.canals
    )
    return replace(anatomy, tooth=replace(anatomy.tooth, canals=canals))


def with_lesion(size_mm, cortex="whole"):
    return replace(lower_molar(), lesions=(Lesion("M", size_mm, size_mm, size_mm, cortex=cortex, side="lingual"),))


class TestTwoCanalsOfOneRoot:
    def test_one_behind_the_other_counts_once_whatever_its_shadow(self):
        sights = canals_in(with_canals(0.4, 0.5), View())
        assert sorted(sights[name].seen for name in ("MB", "ML")) == [False, True]
        assert "in line with another" in next(one.why for one in sights.values() if not one.seen)

    @pytest.mark.parametrize("horizontal", [20, -20])
    def test_a_shift_of_the_tube_shows_both(self, horizontal):
        sights = canals_in(with_canals(0.4, 0.5), View(horizontal))
        assert sights["MB"].seen
        assert sights["ML"].seen

    def test_they_part_by_their_separation_times_the_tangent(self):
        # d * tan 20, magnified by 400 / 386; the separation of a quarter of the length lies between least and greatest
        anatomy = lower_molar()
        buccal, lingual = (
            anatomy.placement.to_jaw(anatomy.tooth.centre_line(anatomy.tooth.canal(name)))[:100, 1]
            for name in ("MB", "ML")
        )
        apart = np.abs(lingual - buccal) * np.tan(np.radians(20)) * 400 / 386
        two = [parting(anatomy, View(horizontal), "MB", "ML").apart_mm for horizontal in (20, -20)]
        straight = parting(anatomy, View(), "MB", "ML").apart_mm
        assert apart.min() < np.mean(two) + straight
        assert np.mean(two) < apart.max() * 1.05

    def test_the_order_of_the_two_does_not_matter(self):
        anatomy = lower_molar()
        assert parting(anatomy, View(20), "MB", "ML") == parting(anatomy, View(20), "ML", "MB")

    def test_canals_of_two_roots_lie_apart(self):
        assert parting(lower_molar(), View(), "MB", "D").apart


def test_a_wider_canal_stands_out_more_and_a_hair_not_at_all():
    figures = [
        np.median([one.figure for one in thirds(with_canals(width, width, ("D",)), View(), "D")])
        for width in (0.04, 0.2, 0.6)
    ]
    assert figures == sorted(figures)
    assert figures[0] < 3
    assert figures[-1] > 5


def test_a_canal_that_tapers_fades_towards_its_end():
    coronal, middle, apical = (one.figure for one in thirds(lower_molar(), View(), "D"))
    assert coronal > middle > apical


def test_canals_that_run_as_one_are_told_by_their_centre_lines():
    anatomy = lower_molar()
    part = np.arange(30)
    assert joined_in(anatomy, "MB", part) == ("MB",)
    twin = replace(anatomy.tooth.canal("MB"), name="MB2")
    both = replace(anatomy, tooth=replace(anatomy.tooth, canals=(*anatomy.tooth.canals, twin)))
    assert joined_in(both, "MB", part) == ("MB", "MB2")


class TestALesion:
    def test_one_that_has_eaten_the_plate_is_seen_and_dark(self):
        sight = visible(with_lesion(6.0, "perforated"), View(), Feature("lesion", "M"))
        assert sight.seen
        assert sight.contrast > 0.05

    def test_a_speck_in_the_marrow_is_not(self):
        # cancellous loss alone is often hidden: Bender and Seltzer 1961 (from memory)
        assert not visible(with_lesion(0.8), View(), Feature("lesion", "M")).seen

    def test_it_stands_out_more_where_the_plate_is_gone(self):
        whole, perforated = (
            visible(with_lesion(4.0, cortex), View(), Feature("lesion", "M")).contrast
            for cortex in ("whole", "perforated")
        )
        assert perforated > whole


class TestARootsEnd:
    def test_it_is_seen_and_light(self):
        sight = visible(lower_molar(), View(), Feature("apex", "D"))
        assert sight.seen
        assert sight.contrast < 0

    def test_a_film_aimed_off_it_does_not_show_it(self):
        sight = visible(lower_molar(), View(aim_occlusal_mm=14), Feature("apex", "D"))
        assert not sight.seen
        assert sight.why == "lies outside the picture"


def test_where_a_steel_file_ends_is_seen_and_where_a_hair_ends_is_not():
    anatomy = lower_molar()
    file, hair = (rod_in_canal(anatomy, "D", lambda tip, d=d: d + 0 * tip, 1.0) for d in (0.25, 0.005))
    tip = Feature("file tip", "1")
    assert visible(anatomy, View(), tip, rods=(file,)).seen
    assert not visible(anatomy, View(), tip, rods=(hair,)).seen


def test_what_is_not_there_is_not_seen():
    sight = visible(replace(lower_molar(), lesions=()), View(), Feature("lesion", "M"))
    assert (sight.figure, sight.seen) == (0.0, False)


def test_a_canal_that_does_not_exist_is_no_question():
    with pytest.raises(KeyError, match="no canal X"):
        thirds(lower_molar(), View(), "X")


def test_fewer_quanta_a_pixel_or_more_the_figure_is_the_films_not_the_pixels():
    # the same field in fewer pixels has the same quanta; only the electronics' share differs
    fine, coarse = (
        visible(lower_molar(), View(), Feature("apex", "D"), receptor=Receptor.of_pixels(*size)).figure
        for size in ((1450, 1100), (725, 550))
    )
    assert coarse == pytest.approx(fine, rel=0.1)
