"""Rods: where a file laid in a canal ends, how thick it is and that it has no kink."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.radiograph import Material, Receptor, Rod, View, aim_at, rod_in_canal
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import chain
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar


def size_15(from_tip):
    """ISO 3630-1: 0.15 mm at the tip, 0.02 mm more per mm for 16 mm."""
    return 0.15 + 0.02 * np.minimum(from_tip, 16)


def turns_deg(line):
    steps = np.diff(line, axis=0)
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    return np.degrees(np.arccos(np.clip((steps[1:] * steps[:-1]).sum(axis=1), -1, 1)))


@given(st.sampled_from(["MB", "ML", "D"]), st.floats(0, 9))
def test_a_rod_ends_as_far_short_of_the_foramen_as_asked_along_the_canal(name, short):
    anatomy = lower_molar()
    canal = anatomy.tooth.canal(name)
    rod = rod_in_canal(anatomy, name, size_15, short, shaft_mm=0)
    at = canal.course.at(anatomy.tooth.orifice_of(canal), np.array([canal.length_mm - short]))
    assert rod.centre_line[0] == pytest.approx(anatomy.placement.to_jaw(at)[0])
    length = np.linalg.norm(np.diff(rod.centre_line, axis=0), axis=1).sum()
    assert length == pytest.approx(canal.length_mm - short, abs=0.01)


def test_a_size_15_measures_what_the_standard_says_at_its_tip_and_at_16_mm():
    rod = rod_in_canal(lower_molar(), "MB", size_15, 0.5, shaft_mm=16)
    from_tip = np.r_[0, np.cumsum(np.linalg.norm(np.diff(rod.centre_line, axis=0), axis=1))]
    assert 2 * rod.radius_mm[0] == pytest.approx(0.15)
    assert 2 * np.interp(16, from_tip, rod.radius_mm) == pytest.approx(0.47, abs=0.01)
    assert 2 * rod.radius_mm[-1] == pytest.approx(0.47)


def test_diameters_may_be_given_as_values_from_tip_to_top():
    rod = rod_in_canal(lower_molar(), "D", [0.2, 0.4], 0.0, shaft_mm=0)
    middle = np.linalg.norm(rod.centre_line - rod.centre_line[0], axis=1).argmax() // 2
    assert 2 * rod.radius_mm[[0, -1]] == pytest.approx([0.2, 0.4])
    assert 0.28 < 2 * rod.radius_mm[middle] < 0.32


@pytest.mark.parametrize("name", ["MB", "ML", "D"])
def test_a_rod_leaves_the_orifice_without_a_kink(name):
    # the canal itself turns by 0.35 mm / 10 mm = 2 degrees a step; nowhere on the way out may it turn more sharply
    rod = rod_in_canal(lower_molar(), name, size_15, 0.5)
    assert turns_deg(rod.centre_line).max() < 2.2


def test_a_rod_pushed_through_the_foramen_goes_on_beyond_it():
    anatomy = lower_molar()
    foramen = anatomy.placement.to_jaw(anatomy.tooth.centre_line(anatomy.tooth.canal("MB"))[-1:])[0]
    rod = rod_in_canal(anatomy, "MB", size_15, -1.5)
    assert np.linalg.norm(rod.centre_line[0] - foramen) == pytest.approx(1.5, abs=0.01)


@pytest.mark.parametrize("short", [11.3, 50, -5.1, float("nan")])
def test_a_rod_that_would_not_lie_in_the_canal_is_refused(short):
    with pytest.raises(ValueError, match="does not lie in canal MB"):
        rod_in_canal(lower_molar(), "MB", size_15, short)


def test_an_unknown_canal_is_named_with_those_there_are():
    with pytest.raises(KeyError, match="MB, ML, D"):
        rod_in_canal(lower_molar(), "MB2", size_15, 0.5)


def test_a_shaft_of_negative_length_is_refused():
    with pytest.raises(ValueError, match="shaft"):
        rod_in_canal(lower_molar(), "MB", size_15, 0.5, shaft_mm=-1)


@pytest.mark.parametrize(
    ("line", "radius"),
    [
        (np.zeros((1, 3)), np.ones(1)),
        (np.zeros((3, 2)), np.ones(3)),
        (np.zeros((3, 3)), np.ones(2)),
        (np.full((3, 3), np.nan), np.ones(3)),
        (np.zeros((3, 3)), np.zeros(3)),
    ],
)
def test_a_rod_without_shape_is_refused(line, radius):
    with pytest.raises(ValueError, match="rod needs"):
        Rod(line, radius, Material.STEEL)


@pytest.mark.parametrize("name", ["MB", "ML", "D"])
def test_beyond_the_foramen_a_rod_goes_straight_on_as_the_canal_ends(name):
    anatomy = lower_molar()
    canal = anatomy.tooth.canal(name)
    end = anatomy.placement.to_jaw(canal.course.directions(np.array([canal.length_mm])))[0]
    foramen = anatomy.placement.to_jaw(anatomy.tooth.centre_line(canal)[-1:])[0]
    tip = rod_in_canal(anatomy, name, size_15, -3.0).centre_line[0]
    assert tip == pytest.approx(foramen + 3.0 * end, abs=1e-6)  # an arc of 10 mm radius would be 0.45 mm aside by then


def test_a_pointed_tip_is_drawn_in_steps_fine_enough_to_show_its_shape():
    def needle(from_tip):
        return 0.02 + 0.4 * np.minimum(from_tip, 1.0)

    rod = rod_in_canal(lower_molar(), "D", needle, 0.5, point_mm=1.0)
    from_tip = np.r_[0, np.cumsum(np.linalg.norm(np.diff(rod.centre_line, axis=0), axis=1))]
    assert (np.diff(from_tip[from_tip <= 1.0]) < 0.1).all()
    assert 2 * rod.radius_mm == pytest.approx(needle(from_tip))


def test_a_rod_wider_one_way_takes_as_much_more_of_the_beam():
    # three times as wide along the beam as across it: three times the metal on the ray through its middle
    line = np.array([[0.0, 0.0, -3.0], [0.0, 0.0, 3.0]])
    projection = aim_at(np.zeros(3), 36, View(), Receptor(65, 65, 0.05))
    thick = [
        path_lengths(
            chain(rod.material, 1, rod.centre_line, rod.radius_mm, flattening=rod.flattening), projection, even()
        )[32, 32, Material.STEEL]
        for rod in (Rod(line, np.full(2, 0.5), Material.STEEL, flattening) for flattening in (1.0, 3.0))
    ]
    assert thick == pytest.approx([1.0, 3.0], abs=1e-4)


def test_an_oval_rod_turns_with_the_tooth_it_lies_in():
    # turned by a right angle about the tooth's axis its wide way lies across the beam: as thin as a round one
    line = np.array([[0.0, 0.0, -3.0], [0.0, 0.0, 3.0]])
    turned = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    anatomy = lower_molar()
    projection = aim_at(np.zeros(3), 37, View(), Receptor(65, 65, 0.05))
    thick = [
        path_lengths(pieces_of(anatomy, (Rod(line, np.full(2, 0.5), Material.STEEL, 3.0, axes),)), projection, even())[
            32, 32, Material.STEEL
        ]
        for axes in (np.eye(3), turned)
    ]
    assert thick == pytest.approx([3.0, 1.0], abs=1e-4)


@pytest.mark.parametrize(
    ("flattening", "axes", "sentence"),
    [
        (0.0, np.eye(3), "flattening"),
        (np.ones(5), np.eye(3), "flattening"),
        (float("nan"), np.eye(3), "flattening"),
        (1.0, np.ones((3, 3)), "axes"),
    ],
)
def test_a_rod_with_an_impossible_section_is_refused(flattening, axes, sentence):
    with pytest.raises(ValueError, match=sentence):
        Rod(np.array([[0.0, 0, 0], [0, 0, 1]]), np.ones(2), Material.STEEL, flattening, axes)
