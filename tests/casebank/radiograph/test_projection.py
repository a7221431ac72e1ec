"""Path lengths against closed forms, and the fast kernel against its slow twin."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.radiograph import Material, Receptor, View, aim, aim_at, kernel
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import Circle, Frame, Slab, beam, box, chain, ellipsoid, frustum, round_cone
from casebank.radiograph.slow_projection import path_lengths_slowly
from casebank.radiograph.trabeculae import Trabeculae, even, trabeculae
from tests.teeth import lower_molar

SMALL = Receptor(65, 65, 0.05)  # odd, so one ray runs exactly through the middle
CENTRE = (32, 32)


def straight(pieces, receptor=SMALL, **view):
    return path_lengths(pieces, aim_at(np.zeros(3), 36, View(**view), receptor), even())


def through_middle(pieces, material, **view):
    return float(straight(pieces, **view)[(*CENTRE, material)])


def test_a_ball_is_crossed_along_its_diameter_in_the_middle_and_along_a_chord_beside_it():
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    paths = path_lengths([ellipsoid(Material.DENTINE, 1, (0, 0, 0), (1.5, 1.5, 1.5))], projection, even())
    assert paths[(*CENTRE, Material.DENTINE)] == pytest.approx(3.0, abs=1e-5)
    # 20 px right of the middle: the ray's distance from the centre by the area of its triangle
    landing = projection.centre_mm + 20 * 0.05 * projection.right
    ray = (landing - projection.source_mm) / np.linalg.norm(landing - projection.source_mm)
    aside = np.linalg.norm(np.cross(projection.source_mm, ray))
    assert paths[32, 52, Material.DENTINE] == pytest.approx(2 * np.sqrt(1.5**2 - aside**2), abs=1e-5)


@pytest.mark.parametrize(("horizontal", "expected"), [(0, 4.0), (30, 4 / np.cos(np.radians(30)))])
def test_a_plate_is_crossed_along_thickness_over_cosine(horizontal, expected):
    plate = [box(Material.METAL, 1, (0, 0, 0), (10, 2, 10))]
    assert through_middle(plate, Material.METAL, horizontal_deg=horizontal) == pytest.approx(expected, abs=1e-5)


def test_a_frustum_is_crossed_along_its_diameter_at_the_rays_height():
    # radii 1 below and 3 above, half-way between them: 2, and twice as deep as wide
    cone = [frustum(Material.ENAMEL, 1, ((0, 0, -2), (0, 0, 2)), (1, 3), flattening=2)]
    assert through_middle(cone, Material.ENAMEL) == pytest.approx(8.0, abs=1e-5)


def test_a_leaning_frustum_is_crossed_along_the_same_diameter():
    cone = [frustum(Material.ENAMEL, 1, ((-1, 0, -2), (1, 0, 2)), (2, 2))]
    assert through_middle(cone, Material.ENAMEL) == pytest.approx(4.0, abs=1e-5)


def test_a_frustum_looked_into_from_end_to_end_is_crossed_along_its_height():
    on_its_side = Frame(np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]]), np.zeros(3))  # its z lies along the beam
    cone = [frustum(Material.ENAMEL, 1, ((0, 0, -2), (0, 0, 2)), (1, 3), on_its_side)]
    assert through_middle(cone, Material.ENAMEL) == pytest.approx(4.0, abs=1e-5)


def test_a_round_cone_of_even_thickness_is_a_cylinder_between_its_ends_and_a_ball_beyond():
    rod = [round_cone(Material.STEEL, 1, ((0, 0, -1), (0, 0, 1)), (0.5, 0.5))]
    paths = straight(rod)
    assert paths[(*CENTRE, Material.STEEL)] == pytest.approx(1.0, abs=1e-5)
    # 1.3 mm above the middle, magnified 400 / 386: 0.3 mm above the upper ball's centre
    row = 32 - round(1.3 * 400 / 386 / 0.05)
    height = (32 - row) * 0.05 * 386 / 400
    assert paths[row, 32, Material.STEEL] == pytest.approx(2 * np.sqrt(0.25 - (height - 1) ** 2), abs=2e-3)


def test_of_two_overlapping_solids_the_one_with_priority_is_there_and_the_other_is_not():
    outer = ellipsoid(Material.DENTINE, 1, (0, 0, 0), (3, 3, 3))
    canal = ellipsoid(Material.PULP, 2, (0, 1, 0), (0.5, 0.5, 0.5))
    for order in ([outer, canal], [canal, outer]):
        paths = straight(order)[CENTRE]
        assert paths[Material.PULP] == pytest.approx(1.0, abs=1e-5)
        assert paths[Material.DENTINE] == pytest.approx(5.0, abs=1e-5)


def test_a_slab_cuts_a_solid_square_to_its_normal():
    half = ellipsoid(Material.SOFT, 1, (0, 0, 0), (2, 2, 2)).cut(Slab(np.array([0.0, 1.0, 0.0]), low_mm=0.5))
    assert through_middle([half], Material.SOFT) == pytest.approx(1.5, abs=1e-5)


def test_a_beam_keeps_its_section_and_ends_where_its_reach_ends():
    bar = [beam(Material.CORTICAL, 1, (-0.5, 0.5), (Circle(0, 0, 2), Circle(0, -5, 2)))]
    paths = straight(bar)[32, :, Material.CORTICAL]
    assert paths[32] == pytest.approx(4.0, abs=1e-5)
    assert paths[0] == paths[-1] == 0


def test_the_volume_of_a_ball_comes_back_from_its_shadow():
    # sum of path lengths times the ray's area at the ball's depth; a narrow ball far from the tube: parallel enough
    receptor = Receptor(200, 200, 0.02)
    paths = straight([ellipsoid(Material.PULP, 1, (0, 0, 0), (1, 1.4, 0.8))], receptor, source_to_receptor_mm=2000)
    area = (0.02 * 1986 / 2000) ** 2
    assert paths[..., Material.PULP].sum() * area == pytest.approx(4 / 3 * np.pi * 1.4 * 0.8, rel=1e-3)


def test_marrow_is_weighted_by_its_pattern_as_far_as_the_contrast_goes():
    double = Trabeculae(np.full((4, 4, 4), 2.0, dtype=np.float32), np.ones(3))
    cube = [box(Material.CANCELLOUS, 1, (0, 0, 0), (5, 2, 5))]
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    for contrast, expected in ((0.0, 4.0), (0.5, 6.0), (1.0, 8.0)):
        paths = path_lengths(cube, projection, double, contrast)
        assert paths[(*CENTRE, Material.CANCELLOUS)] == pytest.approx(expected, abs=1e-4)


def test_threads_change_nothing():
    projection = aim(View(10), Receptor.of_pixels(120, 90), lower_molar())
    one, two = (path_lengths(pieces_of(lower_molar()), projection, trabeculae(18), 0.6, threads=n) for n in (1, 2))
    assert np.array_equal(one, two)


@pytest.mark.parametrize(
    "view",
    [View(), View(horizontal_deg=20, roll_deg=3), View(-20, 15, 25)],
    ids=["straight", "from mesially", "leaning receptor"],
)
def test_a_whole_anatomy_is_traced_alike_by_the_fast_kernel_and_its_slow_twin(view):
    anatomy = lower_molar()
    projection = aim(view, Receptor(64, 64, 0.62), anatomy)
    pieces = pieces_of(anatomy)
    fast = path_lengths(pieces, projection, trabeculae(18), 0.62)[20:44:8, 4:60:8]
    slow = path_lengths_slowly(pieces, projection, trabeculae(18), 0.62, rows=range(20, 44, 8), columns=range(4, 60, 8))
    assert fast.sum() > 250  # mm: the strip is full of tooth and bone
    assert fast == pytest.approx(slow, abs=2e-4)


coordinate = st.floats(-1.5, 1.5)
radius = st.floats(0.05, 1.5)


@settings(max_examples=15, deadline=None)
@given(
    st.tuples(coordinate, coordinate, coordinate),
    st.tuples(coordinate, coordinate, coordinate),
    radius,
    radius,
    st.floats(0.5, 3),
    st.floats(-40, 40),
)
def test_any_round_cone_and_frustum_are_traced_alike_by_both(first, second, ra, rb, flattening, horizontal):
    pieces = [round_cone(Material.DENTINE, 2, (first, second), (ra, rb), flattening=flattening)]
    if abs(first[2] - second[2]) > 0.05:
        pieces.append(frustum(Material.ENAMEL, 1, (first, second), (ra, rb), flattening=flattening))
    projection = aim_at(np.zeros(3), 36, View(horizontal_deg=horizontal), Receptor(64, 64, 0.08))
    rows = columns = range(2, 64, 12)
    fast = path_lengths(pieces, projection, even())[2::12, 2::12]
    slow = path_lengths_slowly(pieces, projection, even(), rows=rows, columns=columns)
    assert fast == pytest.approx(slow, abs=1e-4)


def test_nothing_in_the_beam_leaves_every_path_empty():
    assert not straight([]).any()


def test_more_solids_along_one_ray_than_can_be_followed_are_refused():
    line = np.stack([np.zeros(2 * kernel.COVER), np.linspace(-30, 30, 2 * kernel.COVER), np.zeros(2 * kernel.COVER)], 1)
    beads = [ellipsoid(Material.METAL, 1, at, (0.1, 0.05, 0.1)) for at in line]
    with pytest.raises(ValueError, match="along one ray"):
        straight(beads)


def test_as_many_solids_along_one_ray_as_the_cover_holds_are_all_counted():
    line = np.stack([np.zeros(kernel.COVER), np.linspace(-30, 30, kernel.COVER), np.zeros(kernel.COVER)], 1)
    beads = [ellipsoid(Material.METAL, 1, at, (0.5, 0.05, 0.5)) for at in line]
    assert through_middle(beads, Material.METAL) == pytest.approx(0.1 * kernel.COVER, abs=1e-3)


def test_a_chain_bends_without_gaps():
    bow = np.array([[np.cos(t), 0, np.sin(t)] for t in np.linspace(0, np.pi, 30)])
    paths = straight(chain(Material.STEEL, 1, bow, 0.2))
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    along = projection.project_px(np.array([[np.cos(t), 0, np.sin(t)] for t in np.linspace(0, np.pi, 200)]))
    seen = paths[along[:, 1].astype(int), along[:, 0].astype(int), Material.STEEL]
    assert seen.min() > 0.37
