"""What a film without one of its features is made of: dentine, bone, or a root that ends earlier."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Lesion, Narrowing
from casebank.radiograph import Material, Receptor, View, aim_at, rod_in_canal
from casebank.radiograph.features import TIP_MM, Feature, features_of, shorter
from casebank.radiograph.pieces import pieces_of
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.trabeculae import even
from tests.teeth import lower_molar


def through(anatomy, point_mm, *, without=None, rods=()):
    """How far one ray runs in each material, through a point of the tooth, square to the arch, mm."""
    at = anatomy.placement.to_jaw(np.atleast_2d(point_mm))[0]
    projection = aim_at(at, 37, View(object_to_receptor_mm=0, source_to_receptor_mm=2000), Receptor(65, 65, 0.02))
    return path_lengths(pieces_of(anatomy, rods, without=without), projection, even())[32, 32]


def inside(anatomy, name, depth_mm):
    canal = anatomy.tooth.canal(name)
    return canal.course.at(anatomy.tooth.orifice_of(canal), np.array([depth_mm]))[0]


def test_everything_a_film_may_be_asked_for_has_a_name_of_its_own():
    anatomy = lower_molar()
    tight = replace(anatomy.tooth.canal("D"), narrowings=(Narrowing(4.0, 0.2),))
    canals = tuple(tight if canal.name == "D" else canal for canal in anatomy.tooth.canals)
    lesions = (Lesion("M", 4, 4, 4), Lesion("M", 2, 2, 2), Lesion("D", 2, 2, 2))
    anatomy = replace(anatomy, tooth=replace(anatomy.tooth, canals=canals), lesions=lesions)
    named = features_of(anatomy)
    assert len(set(named)) == len(named)
    assert {one.name for one in named if one.kind == "lesion"} == {"M", "M 2", "D"}
    assert {one.name for one in named if one.kind == "narrowing"} == {"D 1"}
    assert {one.name for one in named if one.kind == "apex"} == {"M", "D"}


def test_a_canal_left_out_has_turned_to_dentine():
    anatomy = lower_molar()
    point = inside(anatomy, "D", 5.0)
    there, gone = through(anatomy, point), through(anatomy, point, without=Feature("canal", "D"))
    assert there[Material.PULP] > 0.7
    assert gone[Material.PULP] == 0
    assert gone[Material.DENTINE] == pytest.approx(there[Material.DENTINE] + there[Material.PULP], abs=1e-4)


def test_several_canals_can_be_left_out_together():
    anatomy = lower_molar()
    for name in ("MB", "ML"):
        assert through(anatomy, inside(anatomy, name, 4.0), without=Feature("canal", "MB+ML"))[Material.PULP] == 0


def test_a_lesion_left_out_has_turned_to_bone():
    anatomy = replace(lower_molar(), lesions=(Lesion("M", 5, 5, 5, cortex="perforated"),))
    below = anatomy.tooth.root("M").apex_mm + np.array([0.0, 0.0, -1.5])
    there, gone = through(anatomy, below), through(anatomy, below, without=Feature("lesion", "M"))
    bone = [Material.CORTICAL, Material.CANCELLOUS]
    assert gone[bone].sum() > there[bone].sum() + 3.5
    assert gone.sum() == pytest.approx(there.sum(), abs=1e-4)  # nothing but the material changes


def test_a_narrowing_left_out_gives_the_canal_its_own_width_back():
    anatomy = lower_molar()
    tight = replace(anatomy.tooth.canal("D"), narrowings=(Narrowing(5.0, 0.05, 1.0),))
    canals = tuple(tight if canal.name == "D" else canal for canal in anatomy.tooth.canals)
    narrowed = replace(anatomy, tooth=replace(anatomy.tooth, canals=canals))
    beside = inside(anatomy, "D", 5.0) + np.array([0.15, 0.0, 0.0])
    assert through(narrowed, beside)[Material.PULP] == 0
    open_mm = through(anatomy, beside)[Material.PULP]
    assert open_mm > 0.3
    assert through(narrowed, beside, without=Feature("narrowing", "D 1"))[Material.PULP] == pytest.approx(open_mm)


def test_a_root_without_its_tip_ends_a_millimetre_earlier_with_its_ligament_round_it():
    anatomy = replace(lower_molar(), lesions=())
    root = anatomy.tooth.root("D")
    close = root.apex_mm + 0.5 * TIP_MM * np.array([0.0, 0.0, 1.0])
    there, gone = through(anatomy, close), through(anatomy, close, without=Feature("apex", "D"))
    assert there[Material.DENTINE] > 0.5
    assert gone[Material.DENTINE] == 0
    higher = root.apex_mm + np.array([0.0, 0.0, 3.0 * TIP_MM])
    kept = through(anatomy, higher, without=Feature("apex", "D"))
    assert kept[Material.DENTINE] == pytest.approx(through(anatomy, higher)[Material.DENTINE], rel=0.1)


def test_a_file_without_its_tip_is_a_millimetre_shorter_and_no_thinner():
    rod = rod_in_canal(lower_molar(), "D", lambda from_tip: 0.25 + 0.02 * from_tip, 1.0)
    left = shorter(rod)
    lost = np.linalg.norm(rod.centre_line[0] - left.centre_line[0])
    assert lost == pytest.approx(TIP_MM, abs=0.02)  # along a slightly bent line
    assert left.radius_mm[0] == pytest.approx((0.25 + 0.02 * TIP_MM) / 2, abs=2e-3)
    assert left.radius_mm[-1] == rod.radius_mm[-1]


def test_only_the_file_asked_for_loses_its_tip():
    anatomy = lower_molar()
    rods = tuple(rod_in_canal(anatomy, name, lambda from_tip: 0.2 + 0 * from_tip, 0.5) for name in ("MB", "D"))
    at = anatomy.tooth.canal("D").length_mm - 0.9
    point = inside(anatomy, "D", at)
    steel = [through(anatomy, point, without=one, rods=rods)[Material.STEEL]
             for one in (None, Feature("file tip", "1"), Feature("file tip", "2"))]  # fmt: skip
    assert steel[0] > 0.1
    assert steel[1] == steel[0]
    assert steel[2] == 0


@pytest.mark.parametrize("feature", [Feature("canal", "X"), Feature("lesion", "D"), Feature("apex", "X")])
def test_what_is_not_there_changes_nothing_when_left_out(feature):
    anatomy = lower_molar()
    assert len(pieces_of(anatomy, without=feature)) == len(pieces_of(anatomy))


def test_a_rod_no_longer_than_its_tip_cannot_lose_it():
    rod = rod_in_canal(lower_molar(), "D", [0.3, 0.3], 10.4, shaft_mm=0)
    with pytest.raises(ValueError, match="draw it longer"):
        shorter(rod)
