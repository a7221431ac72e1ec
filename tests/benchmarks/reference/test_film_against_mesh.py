"""The film's rays and an independent library's, through one and the same root in the same run.

Needs the dependency group "reference"; a run of tests/benchmarks passes this folder by. To compare:

    uv run --group reference pytest tests/benchmarks/reference

It prints both times and judges neither: the library draws 86,400 triangles in single precision, without a graphics
card, and hands its picture over number by number; we trace fifteen exact solids. What is judged is that both see the
same root.
"""

import numpy as np
import pytest

from casebank.anatomy import Course, Leg, Root, Station
from casebank.radiograph import Material, Receptor, View, aim_at
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import chain
from casebank.radiograph.trabeculae import even
from tests.reference import mesh_tracer, meshes

ROOT = Root(
    name="R",
    start_mm=(0.0, 0.0, 6.0),
    course=Course((Leg(6.0), Leg(7.0, 12.0, 0.0))),
    stations=(Station(0, 2.2), Station(1, 0.6)),
    flattening=1.6,
)
SIZES = pytest.mark.parametrize(("width", "height"), [(725, 550), (1450, 1100)])


def root_pieces():
    line = ROOT.centre_line(step_mm=0.9)
    return chain(Material.DENTINE, 1, line, ROOT.radii_mm(len(line)), flattening=ROOT.flattening)


def root_mesh():
    return meshes.tube(ROOT.course, ROOT.start_mm, (2.2, 0.6), flattening=ROOT.flattening, tightest_mm=12.0)


def toward(width, height):
    return aim_at(np.zeros(3), 36, View(15), Receptor.of_pixels(width, height))


def assert_root(paths):
    # 2.2 mm half width, 1.6 times as deep, seen 15 degrees aslant: no ray runs further than 7.04 / cos 15 deg
    assert 6 < paths.max() < 7.3


@SIZES
def test_our_rays_through_the_pieces_of_a_root(benchmark, width, height):
    pieces, projection = root_pieces(), toward(width, height)
    path_lengths(pieces, projection, even())  # compiled
    paths = benchmark.pedantic(lambda: path_lengths(pieces, projection, even()), rounds=10, warmup_rounds=1)
    assert_root(paths[..., Material.DENTINE])


@SIZES
def test_the_librarys_rays_through_the_mesh_of_the_same_root(benchmark, width, height):
    mesh_tracer.load(root_mesh())
    mesh_tracer.look(toward(width, height))
    assert_root(benchmark.pedantic(mesh_tracer.trace, rounds=10, warmup_rounds=1))
