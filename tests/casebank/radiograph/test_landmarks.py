"""What lies round the teeth: each where the anatomy's jaw puts it, and nothing that it does not name."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Jaw, MentalForamen, NerveCanal, Placement, Sinus, Support, Tooth, Zygoma
from casebank.radiograph import Material, Receptor, View, aim_at
from casebank.radiograph.landmark_pieces import landmarks
from casebank.radiograph.neighbours import usual
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar

PITCH = 0.1


def standing(number, jaw):
    tooth: Tooth = replace(lower_molar().tooth, number=number)
    return replace(
        lower_molar(),
        tooth=tooth,
        placement=Placement(),
        prosthesis=None,
        neighbours=(),
        lesions=(),
        support=Support(),
        jaw=jaw,
    )


def shadow(anatomy, material):
    """Path lengths in one material, columns along x from -20 mm, rows with their height above the deepest apex."""
    apex_z = min(float(root.apex_mm[2]) for root in anatomy.tooth.roots)
    view = View(source_to_receptor_mm=2000, object_to_receptor_mm=0)
    projection = aim_at(np.array([0.0, 0.0, apex_z]), 37, view, Receptor(401, 401, PITCH))
    return path_lengths(tuple(landmarks(anatomy)), projection, even())[..., material], 200


def test_the_sinus_comes_down_to_the_stated_distance_beyond_the_apex():
    for beyond in (1.5, -2.0):
        air, apex = shadow(standing(27, Jaw(sinus=Sinus(beyond_apex_mm=beyond))), Material.AIR)
        floor = (apex - np.nonzero((air > 0).any(axis=1))[0].min()) * PITCH
        assert floor == pytest.approx(-beyond, abs=0.15)


def test_the_nerve_canal_runs_at_the_stated_distance_and_has_bright_borders():
    jaw = Jaw(nerve_canal=NerveCanal(beyond_apex_mm=3.0, lumen_mm=3.0, wall_mm=0.4))
    wall, apex = shadow(standing(37, jaw), Material.CORTICAL)
    column = wall[:, 200]
    rows = np.nonzero(column > 0)[0]
    assert (rows.min() - apex) * PITCH == pytest.approx(3.0, abs=0.15)
    assert np.ptp(rows) * PITCH == pytest.approx(3.0 + 2 * 0.4, abs=0.2)
    border, middle = column[rows.min() + 3], column[(rows.min() + rows.max()) // 2]
    assert border > 2 * middle  # the wall is met edge on: twice 0.4 mm in the middle


def test_the_foramen_lies_where_it_is_stated():
    jaw = Jaw(mental_foramen=MentalForamen(beyond_apex_mm=2.0, at_mm=-4.0, size_mm=3.0))
    soft, apex = shadow(standing(35, jaw), Material.SOFT)
    rows, columns = np.nonzero(soft > 0.5)
    assert (rows.mean() - apex) * PITCH == pytest.approx(2.0, abs=0.3)
    assert (columns.mean() - 200) * PITCH == pytest.approx(-4.0, abs=0.3)
    assert np.ptp(columns) * PITCH == pytest.approx(3.0, abs=0.5)


def test_the_zygoma_is_an_arch_that_is_lowest_in_its_middle():
    bone, apex = shadow(
        standing(27, Jaw(zygoma=Zygoma(beyond_apex_mm=2.0, at_mm=3.0, width_mm=14.0))), Material.CORTICAL
    )
    lowest = [np.nonzero(bone[:, 200 + round(x / PITCH)] > 0.3)[0].min() for x in (-3.0, 3.0, 9.0)]
    # drawn for a lower tooth's view, rows run from occlusal to apical
    assert lowest[1] < min(lowest[0], lowest[2])
    assert (lowest[1] - apex) * PITCH == pytest.approx(2.0, abs=0.9)  # its edge fades


def test_the_edge_of_a_ridge_fades_where_that_of_a_canal_is_sharp():
    ridge, _ = shadow(standing(38, None), Material.CORTICAL)
    steepest = np.abs(np.diff(ridge[:, 200 + 120], axis=0)).max()
    assert steepest < 0.6 * ridge[:, 200 + 120].max()


def test_a_jaw_that_names_nothing_shows_nothing():
    assert landmarks(standing(27, Jaw())) == []


def test_teeth_of_one_mouth_differ_from_those_of_another_and_both_sides_are_alike():
    here, there, opposite = usual(35, 3), usual(35, 4), usual(45, 3)
    assert here.crown == there.crown
    assert here.roots.roots != there.roots.roots
    assert here.roots.roots == opposite.roots.roots
    assert len(usual(14, 3).roots.roots) == 2
