"""Where a film is aimed and where its receptor may stand."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.radiograph import Receptor, View, aim, film
from casebank.radiograph.view import covers
from tests.teeth import lower_molar


@pytest.mark.parametrize("number", [17, 27, 37, 47])
def test_a_film_aimed_right_covers_every_root_end_and_one_aimed_too_high_none(number):
    anatomy = replace(lower_molar(), tooth=replace(lower_molar().tooth, number=number))
    assert covers(anatomy, View(), Receptor()) == ("M", "D")
    assert covers(anatomy, View(aim_occlusal_mm=14), Receptor()) == ()


def test_a_film_aimed_too_far_back_loses_the_mesial_root_first():
    anatomy = lower_molar()
    lost = [covers(anatomy, View(aim_distal_mm=shift), Receptor()) for shift in (0, 26.5, 30)]
    assert lost[0] == ("M", "D")
    assert lost[1] == ("D",)
    assert lost[2] == ()


@pytest.mark.parametrize("number", [16, 26, 36, 46])
def test_an_aim_too_far_distally_moves_the_tooth_mesially_in_the_picture(number):
    anatomy = replace(lower_molar(), tooth=replace(lower_molar().tooth, number=number))
    tip = np.zeros((1, 3))
    straight, off = (aim(View(aim_distal_mm=shift), Receptor(), anatomy).to_film_mm(tip)[0] for shift in (0, 5))
    mesially = -1 if number in (26, 36) else 1
    # 5 mm, magnified by 400 / 386
    assert (off - straight) * mesially == pytest.approx([5 * 400 / 386, 0], abs=1e-6)


def test_a_point_in_a_rounded_corner_is_not_in_the_picture():
    projection = aim(View(), Receptor(1000, 800, 0.03), lower_molar())
    corner = projection.centre_mm + 14.9 * projection.right + 11.9 * projection.down
    edge = projection.centre_mm + 14.9 * projection.right
    assert projection.holds(np.array([edge, corner])).tolist() == [True, False]


@pytest.mark.parametrize("near_mm", [0.0, 3.0, 5.0])
def test_a_receptor_inside_tooth_or_bone_is_refused_with_a_way_out(near_mm):
    # half a molar's crown is 5 mm deep, half its jaw at the apices more than 6
    with pytest.raises(ValueError, match="inside tooth or bone: raise object_to_receptor_mm"):
        aim(View(object_to_receptor_mm=near_mm), Receptor(), lower_molar())


def test_a_receptor_that_leans_into_the_jaw_is_refused_before_a_film_is_taken():
    with pytest.raises(ValueError, match="or lean the receptor less"):
        film.take(
            lower_molar(), View(vertical_deg=40, receptor_tilt_deg=40, object_to_receptor_mm=10), Receptor(64, 64)
        )


@pytest.mark.parametrize("name", ["aim_distal_mm", "aim_occlusal_mm"])
@pytest.mark.parametrize("bad", [31, -30.5, float("nan"), float("inf")])
def test_an_aim_far_off_the_tooth_is_refused(name, bad):
    with pytest.raises(ValueError, match=f"{name} is .*: keep it within"):
        View(**{name: bad})
