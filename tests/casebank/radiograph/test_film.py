"""A film as a whole: what it shows, what its file says and does not say."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from casebank.anatomy import Bone, Placement, Prosthesis
from casebank.radiograph import Film, Material, Receptor, Rod, View, film, rod_in_canal, take
from tests.teeth import lower_molar

SMALL = Receptor.of_pixels(290, 220)


@pytest.fixture(scope="module")
def straight() -> Film:
    return take(lower_molar(), receptor=SMALL)


def shade_at(shown, points_jaw_mm):
    """Mean shade of 3 by 3 pixels round each point."""
    places = shown.projection.project_px(np.array(points_jaw_mm, dtype=float)).astype(int)
    return np.array([shown.pixels[y - 1 : y + 2, x - 1 : x + 2].mean() for x, y in places])


def in_jaw(anatomy, *points):
    return anatomy.placement.to_jaw(np.array(points, dtype=float))


def test_the_picture_has_the_receptors_pixels(straight):
    assert straight.pixels.shape == straight.deep_pixels.shape == (220, 290)
    assert straight.pixels.dtype == np.uint8
    assert straight.deep_pixels.dtype == np.uint16


def test_the_same_seed_gives_the_same_film_and_another_seed_only_other_noise(straight):
    again, other = take(lower_molar(), receptor=SMALL), take(lower_molar(), receptor=SMALL, seed=9)
    assert np.array_equal(again.pixels, straight.pixels)
    assert not np.array_equal(other.pixels, straight.pixels)
    assert np.abs(other.pixels.astype(int) - straight.pixels).mean() < 6


def test_metal_is_white_air_black_and_dentine_lighter_than_bone(straight):
    anatomy = lower_molar()
    metal = shade_at(straight, [[-10.6, 0, 3.5]])[0]  # the pontic's core
    dentine = shade_at(straight, in_jaw(anatomy, [-2.9, 0, -8]))[0]  # the mesial root, between its canals
    bone = shade_at(straight, [[-8.0, 0, -9.0]])[0]
    air = straight.pixels[8, 145]
    assert metal > 225
    assert dentine > bone + 15
    assert air < 20


def test_a_bridge_joins_its_units_and_a_single_crown_does_not():
    bridge = lower_molar()
    single = replace(bridge, prosthesis=Prosthesis("crown", "metal-ceramic"))
    between = [[-5.35, 0, 3.4]]  # the gap between tooth and pontic, at the height of the contact
    assert shade_at(take(bridge, receptor=SMALL), between) > 200
    assert shade_at(take(single, receptor=SMALL), between) < 160


def test_the_crown_stands_upright_while_the_roots_tilt(straight):
    # below the metal, the tooth's outline runs 26 degrees off the vertical; the pontic beside it has no root
    anatomy = lower_molar()
    along_root = shade_at(straight, in_jaw(anatomy, [-2.5, 0, -3], [-2.5, 0, -7]))
    under_pontic = shade_at(straight, [[-10.6, 0, -6.0]])[0]
    assert (along_root > under_pontic + 10).all()


def test_a_lesion_darkens_the_bone_round_its_apex_and_more_so_where_it_has_thinned_the_plate():
    anatomy = replace(lower_molar(), bone=Bone(seed=18, contrast=0.0))
    lesion = replace(anatomy.lesions[0], cortex="whole")
    tip = in_jaw(anatomy, anatomy.tooth.root("M").apex_mm)
    place = tip - np.array([0, 0, 1.5])
    none, whole, thinned = (
        shade_at(take(replace(anatomy, lesions=lesions), receptor=SMALL), place)[0]
        for lesions in ((), (lesion,), (replace(lesion, cortex="thinned"),))
    )
    assert none > whole + 4
    assert whole > thinned + 4


def test_a_file_in_the_canal_is_seen_as_a_light_line_up_to_its_tip_and_not_beyond():
    anatomy = lower_molar()
    file = rod_in_canal(anatomy, "MB", lambda d: 0.25 + 0.02 * np.minimum(d, 16), 1.0)
    fine = Receptor.of_pixels(725, 550)
    without, with_file = take(anatomy, receptor=fine), take(anatomy, receptor=fine, rods=(file,))
    lighter = with_file.pixels.astype(int) - without.pixels
    rows = with_file.projection.project_px(file.centre_line)
    tip = rows[0]
    on_file = rows[3:20].astype(int)
    assert np.median(lighter[on_file[:, 1], on_file[:, 0]]) > 15
    beyond = (tip + 2.0 * (rows[0] - rows[3]) / 1.0).astype(int)  # about 2 mm further on
    assert abs(lighter[beyond[1] - 1 : beyond[1] + 2, beyond[0] - 1 : beyond[0] + 2].mean()) < 5


def test_where_two_rods_overlap_the_later_one_is_seen():
    # an opening of air drilled through the metal crown lets light through again
    line = np.array([[0.0, -20.0, 4.0], [0.0, 20.0, 4.0]])
    air = Rod(line, np.array([1.0, 1.0]), Material.AIR)
    metal = Rod(line, np.array([1.0, 1.0]), Material.METAL)
    place = [[0.0, 0, 4.0]]
    assert shade_at(take(lower_molar(), receptor=SMALL, rods=(metal, air)), place) < 60
    assert shade_at(take(lower_molar(), receptor=SMALL, rods=(air, metal)), place) > 200


def test_a_leaning_receptor_foreshortens_the_tooth():
    # ray square to the receptor, 28 degrees off the tooth: cos 28 = 0.883
    anatomy = replace(lower_molar(), placement=Placement())
    ends = in_jaw(anatomy, [0, 0, 7], [0, 0, -13])
    heights = [
        np.ptp(take(anatomy, view, SMALL).projection.to_film_mm(ends)[:, 1])
        for view in (View(), View(vertical_deg=28, receptor_tilt_deg=28))
    ]
    assert heights[1] / heights[0] == pytest.approx(0.883, abs=0.02)


@pytest.mark.parametrize("number", [17, 27, 37, 47])
def test_every_quadrant_and_every_kind_of_restoration_can_be_taken(number):
    anatomy = lower_molar()
    for prosthesis in (None, Prosthesis("crown", "metal"), Prosthesis("crown", "ceramic")):
        turned = replace(anatomy, tooth=replace(anatomy.tooth, number=number), prosthesis=prosthesis, neighbours=())
        shown = take(turned, receptor=Receptor.of_pixels(100, 80))
        assert 30 < shown.pixels.mean() < 150


def test_left_and_right_teeth_are_mirror_images():
    anatomy = replace(lower_molar(), neighbours=())
    left, right = (
        take(replace(anatomy, tooth=replace(anatomy.tooth, number=number)), receptor=SMALL) for number in (37, 47)
    )
    assert np.abs(left.shade - right.shade[:, ::-1]).mean() < 0.02  # noise apart


class TestAPreview:
    """A quarter of the rays: the same film as far as its noise lets anyone see."""

    def test_differs_from_the_film_by_less_than_a_fiftieth_of_its_noise(self):
        whole, other, preview = (
            take(lower_molar(), seed=seed, preview=preview) for seed, preview in ((4, False), (5, False), (4, True))
        )
        # the middle of what two exposures differ by, as a standard deviation of one (0.6745 holds half of a normal law)
        noise = np.median(np.abs(whole.shade - other.shade)) / 0.6745 / np.sqrt(2)
        assert np.median(np.abs(preview.shade - whole.shade)) < 0.02 * noise
        assert not np.array_equal(preview.pixels, whole.pixels)

    def test_of_odd_sides_lies_where_the_film_lies(self):
        receptor = Receptor(291, 221, SMALL.pitch_mm)
        whole, preview = (take(lower_molar(), receptor=receptor, preview=preview).shade for preview in (False, True))
        assert preview.shape == (221, 291)
        off = np.abs(preview - whole).mean()
        moved = [np.abs(np.roll(preview, by, axis) - whole).mean() for axis in (0, 1) for by in (-1, 1)]
        assert off < 0.7 * min(moved)

    def test_of_a_small_film_is_the_film(self):
        small = Receptor.of_pixels(120, 90)
        films = [take(lower_molar(), receptor=small, preview=preview) for preview in (False, True)]
        assert np.array_equal(*(film.pixels for film in films))


class TestTheFile:
    def text_of(self, shown):
        return Image.open(io.BytesIO(shown.png())).text

    def test_says_that_it_is_synthetic_and_not_for_patient_care_and_which_view_it_is(self, straight):
        text = self.text_of(straight)
        assert text["Title"] == "Synthetic teaching image"
        assert text["Warning"] == "Invented anatomy, not for patient care"
        assert "horizontal +0 deg" in text["View"]
        assert film.RENDERER_VERSION in text["Software"]

    def test_says_nothing_that_answers_a_task(self):
        # neither canal names nor levels nor the tooth's values: the text is the same for every anatomy
        anatomy = lower_molar()
        other = replace(anatomy, lesions=(), neighbours=(), bone=Bone(seed=3), prosthesis=None)
        view = View(horizontal_deg=20)
        file = rod_in_canal(anatomy, "MB", [0.2, 0.5], 0.5)
        texts = [self.text_of(take(anatomy, view, SMALL, (file,))), self.text_of(take(other, view, SMALL))]
        assert texts[0] == texts[1]
        assert set(texts[0]) == {"Title", "Warning", "View", "Software"}
        assert "horizontal +20 deg" in texts[0]["View"]

    def test_holds_the_very_pixels(self, straight):
        assert np.array_equal(np.asarray(Image.open(io.BytesIO(straight.png()))), straight.pixels)

    def test_carries_the_pitch_as_its_resolution(self, straight):
        dots_per_inch = Image.open(io.BytesIO(straight.png())).info["dpi"][0]
        assert 25.4 / dots_per_inch == pytest.approx(SMALL.pitch_mm, rel=1e-3)
