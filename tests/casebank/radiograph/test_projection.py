"""Path lengths against closed forms, and the fast kernel against its slow twin."""

import tracemalloc
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.radiograph import Material, Receptor, View, aim, aim_at
from casebank.radiograph.cover import COVER
from casebank.radiograph.outlines import OPEN
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import PIECES_AT_MOST, TILE_PX, path_lengths, scene_of, trace
from casebank.radiograph.shapes import Circle, Frame, Slab, beam, box, chain, ellipsoid, frustum, round_cone
from casebank.radiograph.slow_projection import path_lengths_slowly
from casebank.radiograph.tiling import candidates
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
    line = np.stack([np.zeros(2 * COVER), np.linspace(-30, 30, 2 * COVER), np.zeros(2 * COVER)], 1)
    beads = [ellipsoid(Material.METAL, 1, at, (0.1, 0.05, 0.1)) for at in line]
    with pytest.raises(ValueError, match="along one ray"):
        straight(beads)


def test_as_many_solids_along_one_ray_as_the_cover_holds_are_all_counted():
    line = np.stack([np.zeros(COVER), np.linspace(-30, 30, COVER), np.zeros(COVER)], 1)
    beads = [ellipsoid(Material.METAL, 1, at, (0.5, 0.05, 0.5)) for at in line]
    assert through_middle(beads, Material.METAL) == pytest.approx(0.1 * COVER, abs=1e-3)


def test_a_chain_bends_without_gaps():
    bow = np.array([[np.cos(t), 0, np.sin(t)] for t in np.linspace(0, np.pi, 30)])
    paths = straight(chain(Material.STEEL, 1, bow, 0.2))
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    along = projection.project_px(np.array([[np.cos(t), 0, np.sin(t)] for t in np.linspace(0, np.pi, 200)]))
    seen = paths[along[:, 1].astype(int), along[:, 0].astype(int), Material.STEEL]
    assert seen.min() > 0.37


class Unreadable:
    """Stands for a piece and refuses to be asked anything."""

    def __getattr__(self, name):
        raise AssertionError(f"a piece was asked for its {name} before the pieces were counted")


def test_more_pieces_than_can_be_drawn_are_refused_before_any_is_looked_at():
    with pytest.raises(ValueError, match=f"100000 pieces are more than {PIECES_AT_MOST}"):
        straight([Unreadable()] * 100_000)


def test_large_pieces_in_great_number_are_refused_before_lists_of_them_are_made():
    # a receptor of 4096 by 4096 pixels has 32 by 512 tiles, and a box before all of it lies over each
    wall = box(Material.DENTINE, 1, (0, 0, 0), (200, 1, 200))
    tracemalloc.start()
    try:
        with pytest.raises(ValueError, match=f"1500 pieces throw their shadows over {1500 * 32 * 512} tiles"):
            straight([wall] * 1500, Receptor(4096, 4096, 0.0283))
        assert tracemalloc.get_traced_memory()[1] < 20e6  # the lists would take 98 MB, the lengths 800 MB
    finally:
        tracemalloc.stop()


def test_as_many_small_pieces_as_are_allowed_are_drawn():
    # beads in rows and columns over the film, some on top of one another
    x, z = np.meshgrid(np.linspace(-1.2, 1.2, 200), np.linspace(-1.2, 1.2, PIECES_AT_MOST // 200))
    places = np.stack([x.ravel(), np.zeros(x.size), z.ravel()], axis=1)
    beads = [ellipsoid(Material.STEEL, 1, place, (0.03, 0.03, 0.03)) for place in places]
    paths = straight(beads)[..., Material.STEEL]
    assert (paths[12:52, 12:52] > 0).all()


@settings(max_examples=15, deadline=None)
@given(
    st.tuples(coordinate, coordinate, coordinate),
    st.tuples(radius, radius, radius),
    st.floats(-80, 80),
    st.floats(-80, 80),
    st.floats(-1, 1),
)
def test_any_leaning_ball_and_box_cut_by_any_slab_are_traced_alike_by_both(centre, half, toward_x, toward_y, height):
    frame = Frame(np.eye(3), np.zeros(3)).leaning(toward_x, toward_y)
    above = Slab(frame.axes[:, 0], low_mm=height)
    pieces = [
        ellipsoid(Material.DENTINE, 2, centre, half, frame).cut(above),
        box(Material.ENAMEL, 1, (0, 0, 0), half, frame).cut(Slab(frame.axes[:, 2], -0.4, 0.6)),
    ]
    projection = aim_at(np.zeros(3), 36, View(horizontal_deg=20, roll_deg=10), Receptor(64, 64, 0.08))
    fast = path_lengths(pieces, projection, even())[2::12, 2::12]
    slow = path_lengths_slowly(pieces, projection, even(), rows=range(2, 64, 12), columns=range(2, 64, 12))
    assert fast == pytest.approx(slow, abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=2, max_size=6),
    st.lists(radius, min_size=6, max_size=6),
    st.floats(0.5, 2),
    st.floats(-40, 40),
    st.floats(-40, 40),
)
def test_nothing_is_lost_beside_the_outline_of_a_shadow(points, radii, flattening, horizontal, vertical):
    # the same pieces with outlines that leave nothing out and bounds as wide as the film
    line = np.array(points)
    pieces = chain(Material.DENTINE, 1, line, radii[: len(line)], flattening=flattening)
    pieces += [
        frustum(Material.ENAMEL, 2, (p, q), (r, s), flattening=flattening)
        for p, q, r, s in zip(line, line[1:], radii, radii[1:], strict=False)
        if abs(p[2] - q[2]) > 0.05
    ]
    view = View(horizontal, vertical, receptor_tilt_deg=vertical / 2)
    projection = aim_at(np.zeros(3), 36, view, Receptor(96, 64, 0.06))
    assert np.array_equal(*traced_within_and_beyond_outlines(pieces, projection))


@pytest.mark.parametrize("view", [View(), View(-20, 15, 25)], ids=["straight", "leaning receptor"])
def test_no_piece_of_an_anatomy_reaches_beyond_the_points_said_to_hold_it(view):
    projection = aim(view, Receptor(210, 160, 0.2), lower_molar())
    within, beyond = traced_within_and_beyond_outlines(pieces_of(lower_molar()), projection)
    assert np.abs(within - beyond).max() < 1e-6


def traced_within_and_beyond_outlines(pieces, projection):
    """Lengths, shape (materials, rows, columns), as traced and with every piece looked for all over the film."""
    receptor = projection.receptor
    scene = scene_of(pieces, projection)
    bounds = np.tile([0, 0, receptor.width_px, receptor.height_px], (len(pieces), 1))
    offsets, everywhere = candidates(bounds, projection, TILE_PX)
    outlines = np.tile(OPEN, (len(pieces), 1))
    blind = replace(scene, bounds=bounds, outlines=outlines, offsets=offsets, candidates=everywhere)
    found = []
    for one in (scene, blind):
        paths = np.empty((len(Material), receptor.height_px, receptor.width_px), dtype=np.float32)
        trace(one, projection, even(), 0.0, lambda first, band, paths=paths: put(paths, first, band))
        found.append(paths)
    return found


def put(paths, first, band):
    paths[:, first : first + band.shape[1]] = band


def test_marrow_that_lies_against_marrow_is_weighed_as_one_stretch():
    # one block, and the same block in two halves that touch: the same steps through the pattern
    texture = Trabeculae(np.random.default_rng(2).random((8, 8, 8), dtype=np.float32), np.full(3, 0.3))
    whole = [box(Material.CANCELLOUS, 1, (0, 0, 0), (5, 2, 5))]
    halves = [box(Material.CANCELLOUS, 1, (0, y, 0), (5, 1, 5)) for y in (-1, 1)]
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    one, two = (path_lengths(pieces, projection, texture, 1.0) for pieces in (whole, halves))
    assert two == pytest.approx(one, abs=1e-4)


def test_marrow_round_a_root_is_weighed_on_either_side_of_it():
    texture = Trabeculae(np.random.default_rng(2).random((8, 8, 8), dtype=np.float32), np.full(3, 0.3))
    pieces = [
        ellipsoid(Material.DENTINE, 2, (0, 0.2, 0), (1, 1, 1)),
        box(Material.CANCELLOUS, 1, (0, 0, 0), (5, 2, 5)),
        box(Material.CANCELLOUS, 1, (0, 2.5, 0), (5, 1, 5)),
    ]
    projection = aim_at(np.zeros(3), 36, View(), SMALL)
    fast = path_lengths(pieces, projection, texture, 0.8)[5::18, 5::18]
    slow = path_lengths_slowly(pieces, projection, texture, 0.8, rows=range(5, 65, 18), columns=range(5, 65, 18))
    assert fast == pytest.approx(slow, abs=2e-4)
