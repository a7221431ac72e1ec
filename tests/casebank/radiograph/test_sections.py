"""Pieces cut by planes and seen from outside, held to volumes and heights that have a closed form."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.radiograph import Material, Receptor, View, aim_at
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.sections import Grid, material_shares, seen_surface
from casebank.radiograph.shapes import JAW, Slab, box, ellipsoid, frustum, round_cone
from casebank.radiograph.slow_projection import path_lengths_slowly
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar

X, Y, Z = np.eye(3)
PITCH = 0.1


def level(z, *, size=60, pitch=PITCH):
    """A plane square to z round the origin."""
    return Grid(np.array([0.0, 0.0, z]), X, Y, size, size, pitch)


def volume_of(pieces, material, *, low=-3.0, high=3.0):
    """Volume of a material, mm3, from a stack of sections that touch."""
    middles = np.arange(low + PITCH / 2, high, PITCH)
    return sum(material_shares(pieces, level(z), PITCH, even())[0][..., material].sum() for z in middles) * PITCH**3


SOLIDS = {
    "ball": (ellipsoid(Material.PULP, 1, (0, 0, 0), (2, 2, 2)), 4 / 3 * math.pi * 8),
    "leaning ellipsoid": (
        ellipsoid(Material.PULP, 1, (0, 0, 0), (1, 1.5, 2), JAW.leaning(20, 10)),
        4 / 3 * math.pi * 3,
    ),
    "leaning box": (box(Material.PULP, 1, (0, 0, 0), (1, 0.5, 1.5), JAW.leaning(30, 0)), 6.0),
    "flattened frustum": (
        frustum(Material.PULP, 1, ((0, 0, -1.5), (0.5, 0, 1.5)), (1.0, 0.5), flattening=1.6),
        1.6 * math.pi * 3 / 3 * (1 + 0.5 + 0.25),
    ),
    "round-ended rod": (round_cone(Material.PULP, 1, ((-1, 0, -1), (1, 0, 1)), (0.7, 0.7)), None),
    "ball in a ball": (round_cone(Material.PULP, 1, ((0, 0, 0), (0, 0, 0.3)), (1.8, 0.5)), 4 / 3 * math.pi * 1.8**3),
    "half a ball": (
        ellipsoid(Material.PULP, 1, (0, 0, 0), (2, 2, 2)).cut(Slab(np.array([0.6, 0, 0.8]), low_mm=0.0)),
        2 / 3 * math.pi * 8,
    ),
}
ROD = math.pi * 0.49 * 2 * math.sqrt(2) + 4 / 3 * math.pi * 0.343  # cylinder between the balls' centres, and one ball


@pytest.mark.parametrize("name", SOLIDS)
def test_a_stack_of_sections_holds_a_solids_volume(name):
    piece, expected = SOLIDS[name]
    assert volume_of((piece,), Material.PULP) == pytest.approx(expected or ROD, rel=0.01)


def test_a_tapering_rod_has_the_volume_of_its_cone_and_its_two_caps():
    # radii 1.2 and 0.6, 2 mm apart: the mantle touches the balls where they stand sin a = 0.6 / 2 off the axis' square.
    # Frustum between those circles: r cos a, heights shifted by r sin a; caps of height r (1 - sin a) and r (1 + sin a)
    sine = 0.3
    cosine = math.sqrt(1 - sine**2)
    wide, thin = 1.2, 0.6
    tall = 2.0 - (wide - thin) * sine
    mantle = math.pi * tall * cosine**2 / 3 * (wide**2 + wide * thin + thin**2)
    below = math.pi * (wide * (1 + sine)) ** 2 * (3 * wide - wide * (1 + sine)) / 3
    above = math.pi * (thin * (1 - sine)) ** 2 * (3 * thin - thin * (1 - sine)) / 3
    piece = round_cone(Material.PULP, 1, ((0, 0, -1), (0, 0, 1)), (wide, thin))
    assert volume_of((piece,), Material.PULP) == pytest.approx(mantle + below + above, rel=0.01)


def test_where_solids_overlap_the_higher_priority_is_there_and_shares_sum_to_one():
    ball = ellipsoid(Material.PULP, 9, (0, 0, 0), (1, 1, 1))
    block = box(Material.DENTINE, 5, (0, 0, 0), (2, 2, 2))
    for order in ((ball, block), (block, ball)):
        shares, _ = material_shares(order, level(0.0), 0.1, even())
        assert shares.sum(axis=-1) == pytest.approx(1.0, abs=1e-5)
        assert shares[30, 30, Material.PULP] == 1
        assert shares[30, 45, Material.DENTINE] == 1  # 1.5 mm off the middle
        assert shares[30, 55, Material.AIR] == 1  # 2.5 mm off it
    assert volume_of((block, ball), Material.DENTINE) == pytest.approx(64 - 4 / 3 * math.pi, rel=0.01)


def test_two_planes_agree_voxel_by_voxel_along_the_line_they_share():
    pieces = pieces_of(lower_molar())
    axial = Grid(np.array([0.0, 0.0, -2.0]), X, Y, 101, 101, 0.15)
    along = Grid(np.array([0.0, 0.6, -2.0]), X, -Z, 101, 101, 0.15)  # four voxels lingual of the middle
    first, _ = material_shares(pieces, axial, 0.15, even())
    second, _ = material_shares(pieces, along, 0.15, even())
    assert np.array_equal(first[54], second[50])
    assert len(np.unique(first[54].argmax(axis=-1))) > 3  # the line runs through several tissues


def test_a_line_of_voxels_measures_what_a_ray_along_it_meets():
    # the film's slow twin shares no formula with sections: bisection along the ray against samples on a lattice
    at = np.array([1.0, 0.0, -5.0])
    pieces = tuple(
        piece
        for piece in pieces_of(lower_molar())
        if (piece.corners_mm.min(axis=0) < at + 0.1)[[0, 2]].all()
        and (piece.corners_mm.max(axis=0) > at - 0.1)[[0, 2]].all()
    )
    projection = aim_at(at, 37, View(source_to_receptor_mm=2000, object_to_receptor_mm=0), Receptor(65, 65, 0.02))
    ray = path_lengths_slowly(pieces, projection, even(), rows=[32], columns=[32])[0, 0]
    column = Grid(at, X, Y, 1000, 1, 0.05)
    shares, _ = material_shares(pieces, column, 0.05, even())
    line = shares[:, 0].sum(axis=0) * 0.05
    for material in (Material.DENTINE, Material.CORTICAL, Material.CANCELLOUS):
        assert line[material] == pytest.approx(ray[material], abs=0.12)
    assert ray[Material.DENTINE] > 1


@given(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5), st.floats(0.3, 1.4))
@settings(max_examples=20, deadline=None)
def test_one_thread_and_two_cut_the_same_section(x, y, radius):
    ball = ellipsoid(Material.PULP, 1, (x, y, 0), (radius, radius, radius))
    one, two = (material_shares((ball,), level(0.0), 0.1, even(), threads=count)[0] for count in (1, 2))
    assert np.array_equal(one, two)
    assert one[..., Material.PULP].sum() * PITCH**2 == pytest.approx(math.pi * radius**2, rel=0.06)


def test_what_is_seen_from_outside_has_the_height_of_its_nearest_surface():
    ball = ellipsoid(Material.ENAMEL, 5, (0, 0, 0), (2, 2, 2))
    plate = box(Material.METAL, 9, (0, 0, -1), (2.5, 2.5, 0.5))
    heights, materials = seen_surface((ball, plate), level(0.0, size=61), Z)
    assert heights[30, 30] == pytest.approx(2.0, abs=1e-3)
    assert heights[30, 40] == pytest.approx(math.sqrt(3), abs=1e-3)  # 1 mm off the middle of a ball of 2 mm
    assert materials[30, 40] == Material.ENAMEL
    assert heights[8, 30] == pytest.approx(-0.5, abs=1e-3)  # 2.2 mm off it: beyond the ball, on the plate
    assert materials[8, 30] == Material.METAL
    assert np.isnan(heights[2, 30])
    assert materials[2, 30] == -1


def test_from_below_the_underside_is_seen():
    ball = ellipsoid(Material.ENAMEL, 5, (0, 0, 0.5), (1, 1, 1))
    heights, _ = seen_surface((ball,), level(0.0, size=61), -Z)
    assert heights[30, 30] == pytest.approx(0.5, abs=1e-3)  # towards the eye, which is below: 1.0 - 0.5


def test_nothing_to_cut_is_air():
    shares, marrow = material_shares((), level(0.0), 0.1, even())
    assert shares[..., Material.AIR] == pytest.approx(1.0, abs=1e-5)
    assert not marrow.any()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"rows": 100_000}, "out of range: 1 to 1024"),
        ({"columns": 0}, "out of range: 1 to 1024"),
        ({"pitch_mm": math.nan}, "out of range: give 0.01 to 5 mm"),
        ({"centre_mm": np.array([0, math.inf, 0])}, "not finite"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(change, sentence):
    usual = {"centre_mm": np.zeros(3), "right": X, "down": Y, "rows": 9, "columns": 9, "pitch_mm": 0.1}
    with pytest.raises(ValueError, match=sentence):
        Grid(**usual | change)


@pytest.mark.parametrize("thickness", [0.0, -1.0, math.nan, 50.0])
def test_a_thickness_that_cannot_be_cut_is_refused(thickness):
    with pytest.raises(ValueError, match="thick"):
        material_shares((), level(0.0), thickness, even())
