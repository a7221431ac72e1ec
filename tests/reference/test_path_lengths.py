"""Path lengths against an independent library that traces meshes, in the same geometry.

How far the two may part is worked out by hand. A mesh stays up to its `gap_mm` g behind the true surface. A ray that
meets the surface at an angle of cosine c to its normal then enters later by up to g / c, and leaves earlier by as
much. In a convex solid whose curves have radii up to q, a ray of length L has c of at least L / 2q (the solid lies in
the ball of radius q that touches it there), so the lengths differ by at most 2 g / c = 4 g q / L. The library counts in
single precision: at 400 mm a step is 3e-5 mm, two crossings and the sum of both make 1e-4 mm.
"""

import numpy as np
import pytest
from scipy import ndimage

from casebank.anatomy import Course, Leg, Root, Station
from casebank.radiograph import Material, Receptor, View, aim_at
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import chain, ellipsoid, frustum
from casebank.radiograph.trabeculae import even
from tests.reference import mesh_tracer, meshes

STEPS_MM = 1e-4
SHORTEST_MM = 0.5  # grazing rays are left out: where a surface is met edge on, any mesh is off by much
RECEPTOR = Receptor(161, 193, 0.1)
PLACES = pytest.mark.parametrize(
    "projection",
    [
        pytest.param(aim_at(np.zeros(3), 36, View(), RECEPTOR), id="lower left, straight"),
        pytest.param(aim_at(np.zeros(3), 46, View(20, roll_deg=3), RECEPTOR), id="lower right, from mesially, rolled"),
        pytest.param(aim_at(np.zeros(3), 16, View(-35, 12), RECEPTOR), id="upper right, from distally, raised"),
        pytest.param(aim_at(np.zeros(3), 26, View(10, 15, 25, 5), RECEPTOR), id="upper left, leaning receptor"),
    ],
)


def ours(pieces, projection, material=Material.DENTINE):
    return path_lengths(pieces, projection, even())[..., material].astype(float)


def bound_mm(length_mm, gap_mm, widest_mm):
    return 4 * gap_mm * widest_mm / length_mm + STEPS_MM


def assert_alike(length_mm, traced_mm, gap_mm, widest_mm, *, rays):
    seen = length_mm > SHORTEST_MM
    assert seen.sum() > rays
    assert (np.abs(length_mm - traced_mm)[seen] <= bound_mm(length_mm[seen], gap_mm, widest_mm)).all()
    # on the very outline the library may count one of two crossings and not the other; beside it nothing may be left
    beside = ~ndimage.binary_dilation(length_mm > 0, iterations=2)
    assert beside.any()
    assert (np.abs(traced_mm[beside]) <= STEPS_MM).all()


def assert_never_longer(traced_mm, length_mm):
    """A mesh whose corners lie on a convex solid lies within it."""
    seen = length_mm > SHORTEST_MM
    assert (traced_mm[seen] <= length_mm[seen] + STEPS_MM).all()


@PLACES
def test_a_sphere(projection):
    centre, radius = (0.4, -0.7, 1.1), 3.0
    length = ours([ellipsoid(Material.DENTINE, 1, centre, (radius,) * 3)], projection)
    mesh = meshes.sphere(centre, radius)
    # 192 corners round a great circle: 3 (1 - cos 0.94 deg) = 0.4 um, round and along
    assert mesh.gap_mm == pytest.approx(0.0008, abs=1e-5)
    traced = mesh_tracer.through(mesh, projection)
    assert_alike(length, traced, mesh.gap_mm, radius, rays=2500)
    assert_never_longer(traced, length)


@PLACES
def test_a_cone_frustum(projection):
    low, high, radii, flattening = (-0.5, 0.3, -5.0), (0.8, -0.4, 4.0), (1.2, 2.6), 1.5
    length = ours([frustum(Material.DENTINE, 1, (low, high), radii, flattening=flattening)], projection)
    mesh = meshes.cone_frustum(low, high, radii, flattening)
    traced = mesh_tracer.through(mesh, projection)
    # an oval of half axes a < b is flattest at the end of the short one: its radius there is b^2 / a
    assert_alike(length, traced, mesh.gap_mm, flattening**2 * radii[1], rays=2500)
    assert_never_longer(traced, length)


# a root that bends distally, then buccally, and leans
ROOT = Root(
    name="R",
    start_mm=(-1.5, 0.5, 6.0),
    course=Course((Leg(4.0), Leg(4.5, 12.0, 0.0), Leg(4.5, 15.0, 90.0)), lean_deg=5, lean_toward_deg=180),
    stations=(Station(0, 2.1), Station(1, 0.6)),
    flattening=1.6,
)
ROOT_RADII_MM, CANAL_RADII_MM = (2.1, 0.6), (0.45, 0.12)
WIDEST_MM = ROOT.flattening**2 * ROOT_RADII_MM[0]
LINK_MM, TIGHTEST_MM = 0.15, 12.0
LINK_GAP_MM = LINK_MM**2 / (8 * TIGHTEST_MM)  # a chain of straight links cuts the bends' corners


def root_pieces():
    line = ROOT.centre_line(step_mm=LINK_MM)
    return chain(Material.DENTINE, 1, line, ROOT.radii_mm(len(line)), flattening=ROOT.flattening)


def root_mesh():
    return meshes.tube(ROOT.course, ROOT.start_mm, ROOT_RADII_MM, flattening=ROOT.flattening, tightest_mm=TIGHTEST_MM)


@PLACES
def test_a_bent_flattened_root(projection):
    mesh = root_mesh()
    traced = mesh_tracer.through(mesh, projection)
    gap = mesh.gap_mm + ROOT.flattening * LINK_GAP_MM
    assert_alike(ours(root_pieces(), projection), traced, gap, WIDEST_MM, rays=2500)


@PLACES
def test_a_canal_is_taken_out_of_its_root(projection):
    line = ROOT.centre_line(step_mm=LINK_MM)
    pulp = chain(Material.PULP, 2, line, np.linspace(*CANAL_RADII_MM, len(line)))
    pieces = [*root_pieces(), *pulp]
    in_pulp, dentine = ours(pieces, projection, Material.PULP), ours(pieces, projection)
    root = root_mesh()
    canal = meshes.tube(ROOT.course, ROOT.start_mm, CANAL_RADII_MM, tightest_mm=TIGHTEST_MM)
    root_traced, canal_traced = mesh_tracer.through(root, projection), mesh_tracer.through(canal, projection)
    canal_gap = canal.gap_mm + LINK_GAP_MM
    assert_alike(in_pulp, canal_traced, canal_gap, CANAL_RADII_MM[0], rays=300)
    both = in_pulp > SHORTEST_MM
    allowed = bound_mm(dentine[both], root.gap_mm + ROOT.flattening * LINK_GAP_MM, WIDEST_MM)
    allowed += bound_mm(in_pulp[both], canal_gap, CANAL_RADII_MM[0])
    assert (np.abs(dentine - (root_traced - canal_traced))[both] <= allowed).all()


def test_the_volume_of_a_canal_of_size_30_and_taper_6_percent_comes_back_from_its_shadow():
    # diameters 0.30 and 0.90 over 10 mm: 10 pi / 3 (0.15^2 + 0.15 * 0.45 + 0.45^2) = 3.0631 mm3
    canal = [frustum(Material.PULP, 1, ((0, 0, -5), (0, 0, 5)), (0.15, 0.45))]
    receptor = Receptor(120, 1100, 0.01)
    projection = aim_at(np.zeros(3), 36, View(), receptor)
    paths = ours(canal, projection, Material.PULP)
    assert not paths[[0, -1]].any()
    assert not paths[:, [0, -1]].any()
    # a ray stands for a pixel's area, shrunk to the depth of the canal's axis, seen as aslant as the ray runs
    to_axis, to_receptor = -projection.source_mm[1], projection.centre_mm[1] - projection.source_mm[1]
    rows, columns = np.ogrid[:1100, :120]
    aside = np.hypot(rows - 549.5, columns - 59.5) * receptor.pitch_mm
    area = (receptor.pitch_mm * to_axis / to_receptor) ** 2 * np.cos(np.arctan(aside / to_receptor))
    assert (paths * area).sum() == pytest.approx(3.0631, abs=1e-3)
