"""What must happen to a film when the scene is changed in a known way, whatever the right film is.

Mirrored, shuffled, halved, scaled or moved together: each change has an outcome that follows from geometry or from the
exponential law alone. Receptors are small, and their pitches and places powers of two where equality is to the bit:
then every ray's start, direction and mirror image are numbers the machine holds exactly.
"""

from dataclasses import replace
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.anatomy import Course, Root
from casebank.radiograph import Material, Receptor, View, aim_at, exposure
from casebank.radiograph.materials import Attenuation, attenuation
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import Slab, box, chain, ellipsoid, frustum, round_cone
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar

ORIGIN = np.zeros(3)
ASIDE = np.array([0.0123, 0.0, 0.0271])  # no ray then runs along a solid's flat side, half in and half out
SMALL = Receptor(64, 64, 0.125)
WHOLE_TOOTH = Receptor(65, 65, 0.5)
MIRROR = np.array([-1.0, 1.0, 1.0])  # mesial and distal change places
FEW = settings(max_examples=12, deadline=None)

coordinate = st.floats(-1.5, 1.5)
place = st.tuples(coordinate, coordinate, coordinate)
radius = st.floats(0.1, 1.5)
angle = st.floats(-40, 40)
material = st.sampled_from([m for m in Material if m != Material.AIR])
tissue = st.sampled_from([Material.SOFT, Material.PULP, Material.DENTINE, Material.ENAMEL, Material.CORTICAL])


@st.composite
def solids(draw, of=material):
    """A few solids of all kinds, each with a priority of its own."""
    pieces = []
    for rank in range(draw(st.integers(1, 4))):
        what, made_of = draw(st.sampled_from(["ball", "box", "frustum", "cone"])), draw(of)
        if what in ("ball", "box"):
            make = ellipsoid if what == "ball" else box
            piece = make(made_of, rank, draw(place), (draw(radius), draw(radius), draw(radius)))
        elif what == "cone":
            piece = round_cone(made_of, rank, (draw(place), draw(place)), (draw(radius), draw(radius)))
        else:
            x, y, z = draw(place)
            ends = ((x, y, z), (y, x, z + draw(st.floats(0.2, 2))))
            piece = frustum(made_of, rank, ends, (draw(radius), draw(radius)), flattening=draw(st.floats(0.5, 2)))
        if draw(st.booleans()):
            piece = piece.cut(Slab(np.array([0.6, 0.0, 0.8]), low_mm=draw(st.floats(-2, 0))))
        pieces.append(piece)
    return pieces


def paths_of(pieces, view, *, number=36, receptor=SMALL, at=ASIDE):
    return path_lengths(pieces, aim_at(at, number, view, receptor), even(), threads=1)


def assert_alike(one, other, *, within):
    """The largest difference is asked for: an array of a film's size is too large to be compared number by number."""
    assert np.abs(one.astype(np.float64) - other).max() <= within


def mirrored(piece):
    return replace(
        piece,
        to_local=piece.to_local * MIRROR,
        at_mm=piece.at_mm * MIRROR,
        corners_mm=piece.corners_mm * MIRROR,
        slab=replace(piece.slab, normal=piece.slab.normal * MIRROR),
    )


def still(**view):
    """A view whose receptor stays in place, so that its pixels lie where the machine's numbers do."""
    return View(recentre=False, **view)


def paths_from_origin(pieces, view, *, number=36, receptor=WHOLE_TOOTH):
    return paths_of(pieces, view, number=number, receptor=receptor, at=ORIGIN)


@FEW
@given(solids(), angle, st.floats(-20, 20))
def test_solids_mirrored_before_a_mirrored_tube_throw_the_mirrored_shadow_to_the_bit(pieces, horizontal, vertical):
    view, opposite = (still(horizontal_deg=side * horizontal, vertical_deg=vertical) for side in (1, -1))
    seen = paths_from_origin(pieces, view, receptor=SMALL)
    other = paths_from_origin([mirrored(one) for one in pieces], opposite, receptor=SMALL)
    assert np.array_equal(seen, other[:, ::-1])


@pytest.mark.parametrize("horizontal", [0, 20, -35])
def test_a_whole_tooth_mirrored_before_a_mirrored_tube_throws_the_mirrored_shadow_to_the_bit(horizontal):
    pieces = pieces_of(lower_molar())
    seen = paths_from_origin(pieces, still(horizontal_deg=horizontal))
    other = paths_from_origin([mirrored(one) for one in pieces], still(horizontal_deg=-horizontal))
    assert seen.sum() > 1000  # mm: the film is full of tooth and bone
    assert np.array_equal(seen, other[:, ::-1])


@pytest.mark.parametrize(("number", "opposite"), [(37, 47), (27, 17)])
@pytest.mark.parametrize("horizontal", [0, 20])
def test_the_same_tooth_of_the_other_side_gives_the_mirrored_film_to_the_bit(number, opposite, horizontal):
    pieces, view = pieces_of(lower_molar()), still(horizontal_deg=horizontal)
    seen, other = (paths_from_origin(pieces, view, number=n) for n in (number, opposite))
    assert np.array_equal(seen, other[:, ::-1])


def mirrored_root(root):
    """The root with mesial and distal exchanged by its own description: bearing b becomes 180 - b."""
    course = root.course
    legs = tuple(replace(leg, toward_deg=180 - leg.toward_deg) for leg in course.legs)
    x, y, z = root.start_mm
    turned = Course(legs, lean_deg=course.lean_deg, lean_toward_deg=180 - course.lean_toward_deg)
    return Root(root.name, (-x, y, z), turned, root.stations, root.flattening)


@FEW
@given(angle, st.sampled_from(lower_molar().tooth.roots))
def test_a_root_mirrored_in_its_description_throws_the_mirrored_shadow(horizontal, root):
    def shadow(one, view):
        line = one.centre_line(step_mm=0.5)
        pieces = chain(Material.DENTINE, 1, line, one.radii_mm(len(line)), flattening=one.flattening)
        return paths_from_origin(pieces, view)

    seen = shadow(root, still(horizontal_deg=horizontal))
    other = shadow(mirrored_root(root), still(horizontal_deg=-horizontal))
    # sines of 180 - b differ in the last digit; where the outline is grazed that shows as its square root
    assert_alike(seen, other[:, ::-1], within=1e-3)


@FEW
@given(solids(), angle, st.randoms(use_true_random=False))
def test_the_order_in_which_solids_are_named_does_not_matter(pieces, horizontal, random):
    shuffled = random.sample(pieces, len(pieces))
    assert np.array_equal(paths_of(pieces, View(horizontal)), paths_of(shuffled, View(horizontal)))


@FEW
@given(solids(), angle)
def test_a_solid_named_twice_is_there_once(pieces, horizontal):
    assert np.array_equal(paths_of(pieces, View(horizontal)), paths_of([*pieces, *pieces], View(horizontal)))


@FEW
@given(solids(), angle, st.floats(-1, 1))
def test_a_solid_cut_in_two_touching_halves_is_the_same_solid(pieces, horizontal, cut_mm):
    whole = [replace(piece, slab=Slab(np.array([0.0, 0.6, 0.8]))) for piece in pieces]
    low = [piece.cut(replace(piece.slab, high_mm=cut_mm)) for piece in whole]
    high = [piece.cut(replace(piece.slab, low_mm=cut_mm)) for piece in whole]
    assert_alike(paths_of([*low, *high], View(horizontal)), paths_of(whole, View(horizontal)), within=1e-4)


@FEW
@given(solids(), angle)
def test_priority_shares_a_ray_out_among_the_solids_and_never_changes_its_whole(pieces, horizontal):
    upside_down = [replace(piece, priority=-piece.priority) for piece in pieces]
    one, other = paths_of(pieces, View(horizontal)), paths_of(upside_down, View(horizontal))
    assert_alike(one.sum(axis=-1), other.sum(axis=-1), within=1e-4)


@FEW
@given(solids(), angle, st.tuples(st.floats(-20, 20), st.floats(-20, 20), st.floats(-20, 20)))
def test_solids_moved_together_with_tube_and_receptor_look_the_same(pieces, horizontal, way):
    moved = [
        replace(
            piece,
            at_mm=piece.at_mm + way,
            corners_mm=piece.corners_mm + way,
            slab=replace(
                piece.slab,
                low_mm=piece.slab.low_mm + piece.slab.normal @ way,
                high_mm=piece.slab.high_mm + piece.slab.normal @ way,
            ),
        )
        for piece in pieces
    ]
    elsewhere = paths_of(moved, View(horizontal), at=ASIDE + way)
    assert_alike(elsewhere, paths_of(pieces, View(horizontal)), within=1e-3)


@FEW
@given(place, st.tuples(radius, radius, radius), angle)
def test_a_scene_twice_as_large_from_twice_as_far_has_rays_twice_as_long(centre, half_axes, horizontal):
    near = View(horizontal, source_to_receptor_mm=400, object_to_receptor_mm=14)
    far = View(horizontal, source_to_receptor_mm=800, object_to_receptor_mm=28)
    once = paths_of([ellipsoid(Material.DENTINE, 1, centre, half_axes)], near)
    twice = paths_of(
        [ellipsoid(Material.DENTINE, 1, 2 * np.array(centre), 2 * np.array(half_axes))],
        far,
        receptor=replace(SMALL, pitch_mm=2 * SMALL.pitch_mm),
        at=2 * ASIDE,
    )
    assert_alike(twice, 2 * once, within=1e-3)


@FEW
@given(solids(), angle)
def test_a_coarser_receptor_reads_every_third_ray_of_the_finer_one(pieces, horizontal):
    fine = paths_of(pieces, View(horizontal), receptor=Receptor(195, 195, 0.05))
    coarse = paths_of(pieces, View(horizontal), receptor=Receptor(65, 65, 0.15))
    assert_alike(coarse, fine[1::3, 1::3], within=1e-3)


@pytest.mark.parametrize("number", [17, 27, 37, 47])
@settings(max_examples=6, deadline=None)
@given(st.floats(5, 40), st.sampled_from([1, -1]), st.floats(1, 5))
def test_a_bead_moved_buccally_shifts_against_the_tube_by_its_way_times_the_tangent(number, degrees, side, way_mm):
    view = View(side * degrees, source_to_receptor_mm=2000)

    def column(y_mm):
        bead = [ellipsoid(Material.METAL, 1, (0, y_mm, 0), (0.4, 0.4, 0.4))]
        shadow = paths_of(bead, view, number=number, receptor=Receptor(512, 64, 0.025))[..., Material.METAL]
        return np.average(np.arange(512), weights=shadow.sum(axis=0)) * 0.025

    mesially = -1 if number // 10 in (2, 3) else 1  # where mesial lies in the picture
    shift = (column(-way_mm) - column(0.0)) * mesially * side  # + = with the tube
    assert shift < 0
    # the beam is all but parallel: 2 m away, 0.7 % magnified, and up to 5 mm nearer by 0.25 % more
    assert -shift == pytest.approx(way_mm * np.tan(np.radians(degrees)), rel=0.02, abs=0.01)


def left_of(paths, mu_per_mm, weights):
    beam = Attenuation(np.arange(len(weights)) + 30.0, weights, mu_per_mm)
    with patch.object(exposure, "attenuation", lambda: beam):
        return exposure.transmission(np.ascontiguousarray(paths)).astype(np.float64)


@FEW
@given(solids(), angle, st.sampled_from(range(5)))
def test_doubling_every_attenuation_squares_what_is_left_of_one_energy(pieces, horizontal, energy):
    paths, mu = paths_of(pieces, View(horizontal)), attenuation().mu_per_mm[:, [energy]]
    once, twice = (left_of(paths, factor * mu, np.ones(1)) for factor in (1, 2))
    assert (once < 0.999).any()
    assert_alike(twice, once**2, within=1e-5)


@FEW
@given(solids(), angle)
def test_doubling_every_attenuation_is_the_same_as_doubling_every_path(pieces, horizontal):
    paths, table = paths_of(pieces, View(horizontal)), attenuation()
    denser = left_of(paths, 2 * table.mu_per_mm, table.weights)
    assert_alike(denser, left_of(2 * paths, table.mu_per_mm, table.weights), within=1e-6)


@FEW
@given(solids(), angle, place, radius, material)
def test_something_put_where_there_was_nothing_never_lets_more_through(pieces, horizontal, centre, size, made_of):
    before = exposure.transmission(paths_of(pieces, View(horizontal)))
    added = ellipsoid(made_of, -1, centre, (size, size, size))  # last in rank: it fills only what was empty
    after = exposure.transmission(paths_of([*pieces, added], View(horizontal)))
    assert (after <= before + 1e-6).all()


@FEW
@given(solids(of=tissue), angle, place, radius)
def test_metal_never_lets_more_through_whatever_tissue_it_displaces(pieces, horizontal, centre, size):
    before = exposure.transmission(paths_of(pieces, View(horizontal)))
    added = ellipsoid(Material.METAL, 99, centre, (size, size, size))
    after = exposure.transmission(paths_of([*pieces, added], View(horizontal)))
    assert (after <= before + 1e-6).all()
    assert (after < before).any()


@FEW
@given(solids(), angle)
def test_a_longer_way_through_any_material_never_lets_more_through(pieces, horizontal):
    thinner = paths_of(pieces, View(horizontal))
    thicker = thinner * np.float32(1.25)
    assert (exposure.transmission(thicker) <= exposure.transmission(thinner) + 1e-6).all()
