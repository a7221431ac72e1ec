"""The bench against published numbers and closed forms that are not about where an instrument stops."""

import numpy as np
import pytest

from casebank.instruments import EngineFile, shape_of
from casebank.instruments.enginework import shape_with_engine
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import passive_stop_mm
from casebank.radiograph import Receptor, View, aim, magnification
from fixtures.sequences import tooth_of
from tests.casebank.instruments.canals import bent, straight
from tests.teeth import lower_molar


@pytest.mark.parametrize(
    ("file_mm", "file_on_film_mm", "tooth_on_film_mm", "tooth_mm", "to_object_mm"),
    [
        # true length = file * tooth on film / file on film, by similar triangles
        pytest.param(20.0, 24.0, 22.0, 18.3333, 250.0, id="20 * 22 / 24; 300 / 250 = 1.2 times as large"),
        pytest.param(18.0, 20.0, 21.5, 19.35, 270.0, id="18 * 21.5 / 20; 300 / 270 = 1.11 times as large"),
    ],
)
def test_the_length_of_a_tooth_follows_from_a_file_of_known_length_in_the_same_film(
    file_mm, file_on_film_mm, tooth_on_film_mm, tooth_mm, to_object_mm
):
    larger = magnification(300.0, to_object_mm)
    assert file_mm * larger == pytest.approx(file_on_film_mm, abs=1e-9)
    assert tooth_on_film_mm / larger == pytest.approx(tooth_mm, abs=1e-3)


@pytest.mark.parametrize("view", [View(), View(horizontal_deg=20)], ids=["straight on", "from mesial"])
def test_the_proportion_holds_in_the_films_taken_here(view):
    # a file 18 mm long and a tooth 21.5 mm long, both from the cusp along one line parallel to the receptor
    anatomy = lower_molar()
    projection = aim(view, Receptor(), anatomy)
    cusp_mm = np.array([0.0, 0.0, 8.5])
    ends = cusp_mm - np.outer([0.0, 18.0, 21.5], [0.0, 0.0, 1.0])
    cusp, file, tooth = projection.to_film_mm(ends)
    file_on_film_mm, tooth_on_film_mm = np.linalg.norm(file - cusp), np.linalg.norm(tooth - cusp)
    assert file_on_film_mm > 18.0
    assert 18.0 * tooth_on_film_mm / file_on_film_mm == pytest.approx(21.5, rel=0.005)


def test_a_foramen_at_21_asks_for_a_working_length_of_20_to_20_and_a_half():
    # 0.5 to 1.0 mm short of the foramen: Sci Rep 2023, introduction
    lumen = straight(0.25, 0.06, orifice_mm=13.0)  # 8 mm from the cusp to its orifice
    assert lumen.reading_of(lumen.shape.length_mm) == pytest.approx(21.0)
    assert 20.0 <= lumen.reading_of(lumen.shape.working_depth_mm) <= 20.5
    # and a 20/.02 laid into 25/.06 stands there, wherever in that band its stop is set
    for to_mm in (20.0, 20.5):
        assert passive_stop_mm(lumen, hand_file(20), lumen.depth_of(to_mm)) == pytest.approx(to_mm - 8.0)


def life_used(radius_mm: float, size: int, turn_deg: float = 45.0) -> float:
    """Share of an engine file's life that one pass to the end takes, in a wide canal with one arc near its end."""
    arc = round(10 * radius_mm * np.radians(turn_deg))
    levels = np.arange(121)
    within = (levels >= 110 - arc) & (levels < 110)
    lumen = bent(np.full(121, 1.2), np.where(within, 1 / radius_mm, 0.0))
    outcome = shape_with_engine(lumen, EngineFile(size, 0.02, 20.0))
    (used,) = (share for _, share in outcome.lumen.life)
    return float(used)


def test_a_tighter_bend_and_a_thicker_file_wear_faster():
    # strain d / 2R; fewer cycles at a radius of 2 mm than of 5, and for a larger diameter: Pruett et al., J Endod
    # 1997;23:77. A file 0.32 mm thick 1 mm behind its tip: (5 / 2)^2 = 6.25 times as fast, where the same length bends
    assert life_used(2.0, 30) > 4 * life_used(5.0, 30)
    assert life_used(5.0, 40) > life_used(5.0, 25)
    assert life_used(5.0, 30, turn_deg=60.0) >= life_used(5.0, 30, turn_deg=30.0)


LOWER_MOLARS = ("leaning-abutment", *(f"{number}/{seed}" for number in (36, 46) for seed in range(1, 7)))


def test_lower_molars_start_with_published_walls_in_the_danger_zone():
    # mesial canals, middle third: MB 1.13 +- 0.21 mm (0.67 to 1.93), ML 1.10 +- 0.21 (0.77 to 1.89): De-Deus et al.,
    # Int Endod J 2019;52:1501
    for canal, mean_mm, least_mm, most_mm in (("MB", 1.13, 0.67, 1.93), ("ML", 1.10, 0.77, 1.89)):
        thinnest = []
        for tooth in map(tooth_of, LOWER_MOLARS):
            if canal in [each.name for each in tooth.canals]:
                shape = shape_of(tooth, canal)
                third = slice(shape.levels_mm.size // 3, 2 * shape.levels_mm.size // 3)
                thinnest.append(min(shape.furcation_mm[third].min(), shape.outer_mm[third].min()))
        assert len(thinnest) >= 10
        assert least_mm <= min(thinnest) <= max(thinnest) <= most_mm
        assert np.mean(thinnest) == pytest.approx(mean_mm, abs=0.21)
