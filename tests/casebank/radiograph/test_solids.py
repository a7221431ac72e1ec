"""Which points lie in pieces, where outlines run and what a slanted box is, against shapes whose numbers are known."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Filling
from casebank.radiograph import Material, Receptor, View, aim_at
from casebank.radiograph.cavity_forms import CrownSurface, stack
from casebank.radiograph.crown_pieces import crown_frame, natural
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.restoration_pieces import filling
from casebank.radiograph.shapes import JAW, Frame, Slab, box, ellipsoid, frustum, round_cone
from casebank.radiograph.slanted import slanted_box
from casebank.radiograph.solids import inside, outline
from casebank.radiograph.trabeculae import even
from tests.casebank.radiograph.stock import upright

D = Material.DENTINE
RAY = aim_at(np.zeros(3), 37, View(source_to_receptor_mm=2000, object_to_receptor_mm=0), Receptor(65, 65, 0.1))


@pytest.mark.parametrize(
    ("piece", "held", "left"),
    [
        (ellipsoid(D, 1, (1.0, 0, 0), (1.0, 2.0, 3.0)), (1.0, 1.9, 0), (1.0, 0, 3.1)),
        (box(D, 1, (0, 0, 0), (1.0, 2.0, 3.0)), (0.9, 1.9, 2.9), (1.1, 0, 0)),
        (frustum(D, 1, ((0, 0, 0), (0, 0, 2.0)), (2.0, 1.0)), (1.45, 0, 1.0), (1.55, 0, 1.0)),
        (frustum(D, 1, ((0, 0, 0), (0, 0, 2.0)), (2.0, 1.0), flattening=2.0), (0, 2.9, 1.0), (0, 0, 2.1)),
        (round_cone(D, 1, ((0, 0, 0), (4.0, 0, 0)), (1.0, 1.0)), (2.0, 0.95, 0), (2.0, 1.05, 0)),
        (ellipsoid(D, 1, (0, 0, 0), (1, 1, 1)).cut(Slab(np.array([0, 0, 1.0]), high_mm=0.5)), (0, 0, 0.4), (0, 0, 0.6)),
    ],
)
def test_a_point_lies_inside_a_piece_or_beside_it(piece, held, left):
    assert inside([piece], np.array([held, left], dtype=float)).tolist() == [True, False]


def test_the_outline_of_an_ellipsoid_is_an_ellipse():
    heights = np.array([-4.0, -1.5, 0.0, 1.5])
    found = outline([ellipsoid(D, 1, (0.5, 0, 0), (2.0, 4.0, 3.0))], JAW, 0, heights)
    # at half its height sqrt(1 - 0.5 ** 2) of its width; at -4 there is nothing
    half = 2.0 * np.array([np.sqrt(0.75), 1.0, np.sqrt(0.75)])
    assert found.heights_mm.tolist() == [-1.5, 0.0, 1.5]
    assert found.low_mm == pytest.approx(0.5 - half, abs=0.01)
    assert found.high_mm == pytest.approx(0.5 + half, abs=0.01)
    assert found.top_mm == 1.5


def test_an_outline_that_meets_nothing_is_refused():
    with pytest.raises(ValueError, match="no solid is met"):
        outline([ellipsoid(D, 1, (0, 0, 20.0), (1, 1, 1))], JAW, 0, np.array([0.0, 1.0]))


def test_a_ray_crosses_a_slanted_box_as_its_edges_say():
    # a sheet 0.4 mm thick across x, standing 60 degrees off the beam: 0.4 / cos(60) along y
    along, normal = (
        np.array([np.sin(np.pi / 3), np.cos(np.pi / 3), 0]),
        np.array([np.cos(np.pi / 3), -np.sin(np.pi / 3), 0]),
    )
    sheet = slanted_box(D, 1, np.zeros(3), (3 * along, 0.2 * normal, np.array([0, 0, 3.0])), JAW)
    path = path_lengths((sheet,), RAY, even())[32, 32, D]
    assert path == pytest.approx(0.4 / abs(normal[1]), rel=0.01)


def test_a_flat_slanted_box_is_refused():
    flat = (np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([1.0, 1.0, 0]))
    with pytest.raises(ValueError, match="do not lie in one plane"):
        slanted_box(D, 1, np.zeros(3), flat, JAW)


def test_a_stack_is_as_thick_as_its_sections_and_skips_those_without_width():
    heights = np.array([-1.0, 0.0, 1.0, 2.0])
    sideways = np.array([-1.0, -1.0, -1.0, 0.0]), np.array([1.0, 1.0, 1.0, 0.0])
    across = np.array([[-2.0, 2.0]] * 3 + [[0.0, 0.0]])
    pieces = stack(D, 1, JAW, heights, sideways, across)
    assert len(pieces) == 3
    assert path_lengths(tuple(pieces), RAY, even())[32, 32, D] == pytest.approx(4.0, rel=0.01)
    nothing = stack(D, 1, JAW, heights, (np.zeros(4), np.zeros(4)), across)
    assert nothing == []


def test_a_filling_keeps_within_the_crown_and_reaches_its_surface():
    tooth = upright().tooth
    frame = crown_frame(tooth.crown, Frame(np.eye(3), np.zeros(3)))
    solids = natural(tooth.crown, tooth.number, JAW)
    surface = CrownSurface.of(solids, frame, tooth)
    pieces = filling(surface, Filling(("mesial", "occlusal", "distal"), "amalgam"))
    heights = np.linspace(1.2, surface.top_mm - 0.8, 15)  # nearer the top the surface turns within one step
    middle = surface.middle_y_mm(heights)
    own = outline(solids, frame, 0, heights, other_mm=middle)
    filled = outline(pieces, frame, 0, heights, other_mm=middle)
    assert filled.low_mm == pytest.approx(own.low_mm, abs=0.12)
    assert filled.high_mm == pytest.approx(own.high_mm, abs=0.12)


def test_a_later_filling_lies_over_an_earlier_one():
    tooth = upright().tooth
    surface = CrownSurface.of(natural(tooth.crown, tooth.number, JAW), JAW, tooth)
    place = Filling(("occlusal",), "amalgam")
    first, second = (filling(surface, replace(place), number=number)[0] for number in (0, 1))
    assert second.priority > first.priority
