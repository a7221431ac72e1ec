"""Crowns: as wide and as high as stated, enamel that begins at nothing, restorations in layers, for every tooth."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Crown
from casebank.radiograph import Material, Receptor, View, aim_at, crown_pieces
from casebank.radiograph.neighbours import usual
from casebank.radiograph.prisms import RoundedSection, between
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import JAW
from casebank.radiograph.trabeculae import even

PITCH = 0.05
FAR = View(source_to_receptor_mm=2000, object_to_receptor_mm=0)
KINDS = [10 + place for place in range(1, 9)] + [30 + place for place in range(1, 9)]


def seen(pieces, middle_z=0.0, number=37):
    """Path lengths through pieces at 20 by 20 mm: rows from occlusal to apical, columns from mesial to distal."""
    projection = aim_at(np.array([0.0, 0.0, middle_z]), number, FAR, Receptor(401, 401, PITCH))
    return path_lengths(tuple(pieces), projection, even())


def extent_mm(mask):
    return np.ptp(np.nonzero(mask)[0]) * PITCH + PITCH


@pytest.mark.parametrize("number", KINDS)
def test_a_natural_crown_is_as_wide_and_as_high_as_it_is_said_to_be(number):
    crown = usual(number).crown
    tissue = seen(crown_pieces.natural(crown, number, JAW), crown.height_mm / 2).sum(axis=2) > 0.02
    assert extent_mm(tissue.any(axis=0)) == pytest.approx(crown.mesiodistal_mm, abs=0.2)
    assert extent_mm(tissue.any(axis=1)) == pytest.approx(crown.height_mm, abs=0.3)


@pytest.mark.parametrize("number", KINDS)
def test_enamel_begins_at_nothing_at_the_neck_and_is_thick_at_the_contacts(number):
    crown = usual(number).crown
    paths = seen(crown_pieces.natural(crown, number, JAW))
    enamel, dentine = paths[..., Material.ENAMEL], paths[..., Material.DENTINE]
    row = 200 - round(0.15 / PITCH)  # 0.15 mm above the neck
    assert enamel[row, 200] < 0.25 * dentine[row, 200]
    contact = 200 - round(0.62 * crown.height_mm / PITCH)
    sides = np.nonzero(dentine[contact] > 0.02)[0]
    whole = np.nonzero(enamel[contact] > 0.02)[0]
    thick_mm = min(sides.min() - whole.min(), whole.max() - sides.max()) * PITCH
    assert 0.25 < thick_mm < 1.8  # textbook range of enamel beside a contact, from memory: 0.3 to 1.7 mm


@pytest.mark.parametrize("number", KINDS)
def test_no_step_shows_within_a_crown_below_its_cusps(number):
    # in rays 0.05 mm apart along the middle of the crown, neck to contact, thickness changes by no visible jump
    crown = usual(number).crown
    deep = seen(crown_pieces.natural(crown, number, JAW)).sum(axis=2)
    for share in (-0.2, 0.0, 0.25):
        column = 200 + round(share * crown.neck_mesiodistal_mm / PITCH)
        rows = slice(200 - round(0.6 * crown.height_mm / PITCH), 200 - 3)
        assert np.abs(np.diff(deep[rows, column])).max() < 0.2


def test_a_metal_ceramic_crown_shows_ceramic_outside_metal_and_ends_at_its_margin():
    crown = usual(36).crown
    paths = seen(crown_pieces.restored(crown, 36, JAW, "metal-ceramic", 0.5))
    metal, ceramic = paths[..., Material.METAL] > 0.02, paths[..., Material.CERAMIC] > 0.02
    assert extent_mm(ceramic.any(axis=0)) > extent_mm(metal.any(axis=0)) + 1.0
    lowest = 200 - int(np.nonzero(metal.any(axis=1) | ceramic.any(axis=1))[0].max())
    assert lowest * PITCH == pytest.approx(0.5, abs=0.1)
    assert paths[200 - 4, 200, Material.DENTINE] == pytest.approx(crown.neck_buccolingual_mm, abs=0.3)  # bare below it


@pytest.mark.parametrize(("material", "there"), [("metal", {Material.METAL}), ("ceramic", {Material.CERAMIC})])
def test_a_crown_of_one_material_holds_no_other(material, there):
    pieces = crown_pieces.restored(usual(16).crown, 16, JAW, material, 0.5)
    assert {piece.material for piece in pieces} == there | {Material.DENTINE}


def test_a_crown_that_leans_off_its_root_meets_the_whole_neck():
    # 20 degrees; the neck's plane lies level here. 4 mm up a crown has moved by 4 tan 20 = 1.46 mm distally
    upright = usual(37).crown
    middles = []
    for lean in (0.0, 20.0):
        crown = replace(upright, off_root_mesiodistal_deg=lean)
        tissue = seen(crown_pieces.restored(crown, 37, JAW, "metal", 0.0))[..., Material.METAL] > 0.02
        for side in (-70, 0, 70):  # 3.5 mm to either side of the middle of a neck 8 mm wide
            assert (200 - int(np.nonzero(tissue[:, 200 + side])[0].max())) * PITCH == pytest.approx(0.0, abs=0.1)
        columns = np.nonzero(tissue[200 - round(4.0 / PITCH)])[0]
        middles.append((columns.min() + columns.max()) / 2 * PITCH)
    assert middles[1] - middles[0] == pytest.approx(1.46, abs=0.4)


def test_a_pontic_ends_round_below_and_has_no_neck():
    crown = usual(46).crown
    tissue = seen(crown_pieces.pontic(crown, 46, JAW, "metal")).sum(axis=2) > 0.02
    rows = np.nonzero(tissue.any(axis=1))[0]
    low, higher = tissue[rows.max() - 4].sum() * PITCH, tissue[rows.max() - 40].sum() * PITCH
    assert low < 0.6 * higher


@pytest.mark.parametrize("number", KINDS)
def test_a_natural_crown_takes_few_pieces(number):
    count = Counter(piece.material for piece in crown_pieces.natural(usual(number).crown, number, JAW))
    assert sum(count.values()) <= 90


def test_a_solid_between_two_rounded_rectangles_is_as_deep_as_they_are():
    # half-way between 6 by 4 mm and 4 by 2 mm a section is 5 by 3 mm; its corners are rounded by 0.5 mm
    low = RoundedSection(np.zeros(3), 3.0, 2.0, 0.5)
    high = RoundedSection(np.array([0.0, 0.0, 4.0]), 2.0, 1.0, 0.5)
    deep = seen(between(Material.DENTINE, 1.0, low, high, JAW, flattening=1.0), middle_z=2.0)[200, :, Material.DENTINE]
    assert extent_mm(deep > 0.01) == pytest.approx(5.0, abs=0.1)
    assert deep[200] == pytest.approx(3.0, abs=0.02)
    assert deep[200 + 39] == pytest.approx(3.0, abs=0.02)  # 1.95 mm off the middle, where the corner's arc begins
    assert 1.9 < deep[200 + 49] < 2.7  # 2.45 mm: 2 mm between the arcs' centres and what they add, 0.05 mm from the end


def test_a_crown_of_any_size_can_be_drawn():
    tiny = Crown(4.0, 3.0, 3.0, 2.5, 2.5)
    for number in KINDS:
        assert crown_pieces.natural(tiny, number, JAW)
