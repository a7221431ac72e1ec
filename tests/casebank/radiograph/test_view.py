"""Signs and sizes of the projection, against similar triangles and the trade's rules for tube shifts."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from casebank.anatomy import measure
from casebank.radiograph import Receptor, View, aim, aim_at, magnification, penumbra_mm, project_canal
from tests.teeth import lower_molar

MIDDLE = np.zeros(3)
QUADRANTS = pytest.mark.parametrize("number", [16, 26, 36, 46], ids=["upper right", "upper left", "left", "right"])


def shadows(number, points, **view):
    return aim_at(MIDDLE, number, View(**view), Receptor()).to_film_mm(np.array(points, dtype=float))


@QUADRANTS
def test_mesial_lies_at_the_left_on_the_patients_left_side_and_at_the_right_on_the_other(number):
    (x, _), *_ = shadows(number, [[-3, 0, 0]])
    assert np.sign(x) == (-1 if number // 10 in (2, 3) else 1)


@QUADRANTS
def test_lower_crowns_point_up_and_upper_crowns_point_down(number):
    (_, y), *_ = shadows(number, [[0, 0, 5]])
    assert np.sign(y) == (-1 if number // 10 in (3, 4) else 1)


@QUADRANTS
@pytest.mark.parametrize("horizontal", [20, -20])
def test_the_lingual_object_follows_the_tube_and_the_buccal_one_goes_against_it(number, horizontal):
    # same lingual, opposite buccal; + = tube mesially
    (mesial, _), (buccal, _), (lingual, _) = shadows(
        number, [[-1, 0, 0], [0, -2, 0], [0, 2, 0]], horizontal_deg=horizontal
    )
    towards_tube = np.sign(mesial) * np.sign(horizontal)
    assert np.sign(lingual - buccal) == towards_tube


@QUADRANTS
def test_a_tube_raised_towards_occlusal_sends_the_lingual_object_towards_occlusal(number):
    (_, crown), (_, buccal), (_, lingual) = shadows(number, [[0, 0, 1], [0, -2, 0], [0, 2, 0]], vertical_deg=20)
    assert np.sign(lingual - buccal) == np.sign(crown)


@QUADRANTS
def test_a_positive_roll_turns_the_picture_clockwise(number):
    straight = shadows(number, [[1, 0, 0]])[0]
    turned = shadows(number, [[1, 0, 0]], roll_deg=10)[0]
    # with y down, clockwise is the positive sense of the cross product
    assert straight[0] * turned[1] - straight[1] * turned[0] > 0
    assert np.linalg.norm(turned) == pytest.approx(np.linalg.norm(straight))


def test_magnification_is_distance_to_the_receptor_over_distance_to_the_object():
    # 300 / 290 = 1.03448
    (x, _), *_ = shadows(36, [[1, 0, 0]], source_to_receptor_mm=300, object_to_receptor_mm=10)
    assert x == pytest.approx(1.03448, abs=1e-5)
    assert magnification(300, 290) == pytest.approx(1.03448, abs=1e-5)


def test_the_half_shadow_of_a_focal_spot_follows_from_similar_triangles():
    # 0.7 mm * 10 / 290
    assert penumbra_mm(0.7, 300, 290) == pytest.approx(0.02414, abs=1e-5)


@pytest.mark.parametrize(("off_bisector", "ratio"), [(0, 1.0), (10, 1.0992), (-10, 0.9098)])
def test_a_ray_square_to_the_bisector_keeps_the_tooths_length(off_bisector, ratio):
    # tooth and receptor 30 degrees apart: cos(15 - b) / cos(15 + b), b = 15 being a ray square to the tooth
    assert image_over_true(30, vertical=15 - off_bisector) == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize(
    ("vertical", "ratio"),
    [
        pytest.param(0, 1.3054, id="square to the tooth: 1 / cos 40, too long"),
        pytest.param(40, 0.7660, id="square to the receptor: cos 40, too short"),
    ],
)
def test_a_ray_square_to_tooth_or_receptor_alone_misreads_the_length(vertical, ratio):
    assert image_over_true(40, vertical=vertical) == pytest.approx(ratio, abs=1e-4)


def image_over_true(tilt, *, vertical):
    """Length of a short upright rod's image over its own, the beam's magnification taken out."""
    half = 0.005
    view = View(vertical_deg=vertical, receptor_tilt_deg=tilt)
    projection = aim_at(MIDDLE, 36, view, Receptor())
    top, bottom = projection.to_film_mm(np.array([[0, 0, half], [0, 0, -half]]))
    along_beam = np.linalg.norm(projection.centre_mm - projection.source_mm) / np.linalg.norm(projection.source_mm)
    return np.linalg.norm(top - bottom) / (2 * half) / along_beam


def test_tilting_the_tube_alone_over_an_upright_receptor_does_not_shorten_the_tooth():
    straight = shadows(36, [[0, 0, 7], [0, 0, -13]])
    tilted = shadows(36, [[0, 0, 7], [0, 0, -13]], vertical_deg=28)
    assert np.ptp(tilted[:, 1]) >= np.ptp(straight[:, 1])


def test_a_tube_shift_of_twenty_degrees_parts_two_canals_by_separation_times_tangent():
    # 5 mm * tan 20 = 1.8199, magnified by the distances along y
    view = View(horizontal_deg=20, source_to_receptor_mm=2000)
    projection = aim_at(MIDDLE, 36, view, Receptor())
    (buccal, _), (lingual, _) = projection.to_film_mm(np.array([[0, -2.5, 0], [0, 2.5, 0]]))
    to_object = -projection.source_mm[1]
    magnified = (projection.centre_mm[1] + to_object) / to_object
    assert abs(lingual - buccal) / magnified == pytest.approx(1.8199, abs=1e-3)


def test_in_a_cone_beam_two_depths_part_by_shift_times_distance_times_inverse_depths():
    # source 100 mm aside and 300 mm from the receptor; depths 290 and 284: 100 * 300 * (1/284 - 1/290) = 2.1855
    aside = np.degrees(np.arctan(100 / 290))
    view = View(aside, source_to_receptor_mm=np.hypot(100, 290) + 10, object_to_receptor_mm=10)
    (far, _), (near, _) = aim_at(MIDDLE, 36, view, Receptor()).to_film_mm(np.array([[0, 0, 0], [0, -6.0, 0]]))
    assert abs(far - near) == pytest.approx(2.1855, abs=1e-3)


@given(st.floats(-45, 45), st.floats(-45, 45), st.floats(-45, 45), st.floats(-45, 45))
def test_the_receptor_follows_the_beam_so_the_aimed_point_stays_in_the_middle(horizontal, vertical, tilt, roll):
    try:
        view = View(horizontal, vertical, tilt, roll)
    except ValueError:  # a beam that grazes the receptor
        reject()
    where = aim_at(MIDDLE, 47, view, Receptor()).to_film_mm(np.zeros((1, 3)))
    assert where == pytest.approx(np.zeros((1, 2)), abs=1e-9)


def test_a_receptor_that_stays_lets_the_tooth_wander_out_of_the_middle():
    # 14 mm behind the tooth, tube 20 degrees mesially: 14 * tan 20 = 5.10 mm distally
    (x, _), *_ = shadows(36, [[0, 0, 0]], horizontal_deg=20, recentre=False)
    assert x == pytest.approx(5.096, abs=1e-3)


def test_pixels_count_from_the_top_left_corner():
    projection = aim_at(MIDDLE, 36, View(), Receptor(1450, 1100))
    assert projection.project_px(np.zeros((1, 3)))[0] == pytest.approx([725, 550])


def test_fewer_pixels_show_the_same_field():
    full, half = Receptor(), Receptor.of_pixels(725, 550)
    assert half.pitch_mm * half.width_px == pytest.approx(full.pitch_mm * full.width_px, abs=0.01)
    point = np.array([[4.0, 1.0, -9.0]])
    large, small = (aim_at(MIDDLE, 37, View(), size).project_px(point) for size in (full, half))
    assert small == pytest.approx(large / 2, abs=0.2)


@pytest.mark.parametrize("number", [37, 47])
def test_the_whole_tooth_and_bone_beyond_its_apices_are_on_the_film(number):
    anatomy = lower_molar()
    anatomy = replace(anatomy, tooth=replace(anatomy.tooth, number=number))
    tips = anatomy.placement.to_jaw(np.array([[0, 0, 7.0], *(root.apex_mm for root in anatomy.tooth.roots)]))
    rows = aim(View(), Receptor(), anatomy).project_px(tips)[:, 1]
    assert rows[0] > 50
    assert rows[1:].max() < 1100 - 120  # more than 3 mm of bone


class TestCanalsOfALowerMolar:
    """Two mesial canals, 2.9 mm apart at their orifices, one behind the other."""

    def mid_root(self, name, **view):
        line = project_canal(lower_molar(), name, View(**view))
        return line[len(line) // 2]

    def test_the_straight_film_lays_one_mesial_canal_over_the_other(self):
        gap = np.linalg.norm(self.mid_root("MB") - self.mid_root("ML"))
        # half-way down, the 6 degrees of rotation shift 2 mm of depth by 0.2 mm; 0.35 mm is less than a canal's width
        assert gap < 0.35

    @pytest.mark.parametrize("horizontal", [20, -20])
    def test_a_shift_of_twenty_degrees_parts_them_by_their_separation_times_tangent(self, horizontal):
        anatomy = lower_molar()
        lines = [
            anatomy.placement.to_jaw(anatomy.tooth.centre_line(anatomy.tooth.canal(name))) for name in ("MB", "ML")
        ]
        buccal, lingual = (line[len(line) // 2] for line in lines)
        apart_mm = abs(lingual[1] - buccal[1])
        straight = (self.mid_root("ML") - self.mid_root("MB"))[0]
        shifted = (self.mid_root("ML", horizontal_deg=horizontal) - self.mid_root("MB", horizontal_deg=horizontal))[0]
        parted = abs(shifted - straight)
        # 1.036 magnified; the tube's own distance changes it by a few per cent
        assert parted == pytest.approx(apart_mm * np.tan(np.radians(20)) * 1.036, rel=0.06)

    def test_the_lingual_canal_moves_mesially_with_the_tube(self):
        shifted = self.mid_root("ML", horizontal_deg=20) - self.mid_root("MB", horizontal_deg=20)
        straight = self.mid_root("ML") - self.mid_root("MB")
        assert shifted[0] < straight[0]  # mesial is left in quadrant 3

    def test_a_bend_in_the_films_plane_reads_nearly_as_it_is(self):
        # 18 degrees by the secant in space, bending distally, turned 6 degrees out of the film's plane by rotation
        seen = measure(project_canal(lower_molar(), "MB", View()))
        assert seen.secant_deg == pytest.approx(18, abs=1.5)


@pytest.mark.parametrize(
    "bad",
    [
        {"horizontal_deg": 46},
        {"vertical_deg": -45.1},
        {"receptor_tilt_deg": float("nan")},
        {"roll_deg": float("inf")},
        {"source_to_receptor_mm": 20},
        {"object_to_receptor_mm": -1},
    ],
)
def test_a_view_that_cannot_be_taken_is_refused_in_words(bad):
    with pytest.raises(ValueError, match="keep it within"):
        View(**bad)


def test_a_beam_that_grazes_the_receptor_is_refused_with_a_way_out():
    # tube raised 45 degrees over a receptor leaning 40 the other way: 85 degrees off square
    with pytest.raises(ValueError, match=r"85 degrees off square: lean the receptor"):
        View(vertical_deg=45, receptor_tilt_deg=-40)


@pytest.mark.parametrize("size", [(63, 100), (100, 4097), (10**9, 10**9), (100.5, 100), (-5, 100)])
def test_a_receptor_too_small_or_too_large_is_refused_before_anything_is_allocated(size):
    with pytest.raises(ValueError, match="whole number from 64 to 4096"):
        Receptor(*size)
    with pytest.raises(ValueError, match="whole number from 64 to 4096"):
        Receptor.of_pixels(*size)


def test_a_pitch_of_nothing_is_refused():
    with pytest.raises(ValueError, match="pitch_mm"):
        Receptor(100, 100, 0.0)


def test_a_point_behind_the_tube_has_no_shadow():
    with pytest.raises(ValueError, match="behind the tube"):
        shadows(36, [[0, -500, 0]])


def test_a_tooth_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="no permanent tooth"):
        aim_at(MIDDLE, 49, View(), Receptor())


def test_an_object_behind_the_receptor_has_no_magnification():
    with pytest.raises(ValueError, match="between tube and receptor"):
        magnification(300, 301)
