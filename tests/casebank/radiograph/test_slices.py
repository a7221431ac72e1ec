"""Sections of a limited volume: what they measure, which way round they lie, what they say of themselves."""

import io
import math
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from casebank.anatomy import Placement, Prosthesis
from casebank.radiograph import Material
from casebank.radiograph.metal_streaks import streaks
from casebank.radiograph.slice_planes import (
    PLANES,
    Cut,
    Volume,
    grid_of,
    middle_of,
    normal_of,
    reach_mm,
    traces,
)
from casebank.radiograph.slices import take_slice
from tests.teeth import lower_molar

FINE = Volume(voxel_mm=0.1)


def upright(number=37):
    """The molar without restoration, lesion, tilt or neighbours."""
    base = lower_molar()
    crown = replace(base.tooth.crown, off_root_mesiodistal_deg=0.0, off_root_buccolingual_deg=0.0)
    tooth = replace(base.tooth, number=number, crown=crown)
    return replace(base, tooth=tooth, placement=Placement(), prosthesis=None, neighbours=(), lesions=())


@pytest.mark.parametrize(("name", "depth_mm"), [("D", 3.0), ("D", 6.0), ("MB", 4.0)])
def test_an_axial_section_shows_a_canal_at_its_area(name, depth_mm):
    anatomy = upright()
    canal = anatomy.tooth.canal(name)
    orifice = anatomy.tooth.orifice_of(canal)
    place, along = canal.course.at(orifice, np.array([depth_mm]))[0], canal.course.directions(np.array([depth_mm]))[0]
    taken = take_slice(anatomy, Cut("axial", float(place[2]), 0.1), FINE, noise=False)
    grid = taken.grid
    off = (np.arange(grid.columns) + 0.5 - grid.columns / 2) * grid.pitch_mm
    x, y = off[None, :] * grid.right[0], off[:, None] * grid.down[1]
    near = np.hypot(x - place[0], y - place[1]) < 1.3
    area = float(taken.shares[..., Material.PULP][near].sum()) * grid.pitch_mm**2
    levels = np.array([depth_mm])
    square = math.pi / 4 * float(canal.narrow_mm(levels)[0]) * float(canal.wide_mm(levels)[0])
    assert area == pytest.approx(square / abs(along[2]), rel=0.08)  # a canal that leans is cut aslant


def test_a_mirrored_tooth_gives_a_mirrored_section():
    left, right = (take_slice(upright(number), Cut("axial", -4.0), noise=False) for number in (37, 47))
    differs = np.abs(left.shares - right.shares[:, ::-1]).max(axis=-1) > 1e-6
    assert differs.mean() < 1e-3  # only where a sample falls on a surface
    assert left.sides.left == right.sides.right == "mesial"


# patient's axes: R right, A front, S up. What a tooth's directions are in them, quadrant by quadrant
R, A, S = np.eye(3)
BACK = {1: (-A, -R, -S), 2: (-A, R, -S), 3: (-A, R, S), 4: (-A, -R, S)}  # distal, lingual, occlusal
FRONT = {1: (R, -A, -S), 2: (-R, -A, -S), 3: (-R, -A, S), 4: (R, -A, S)}


@pytest.mark.parametrize("quadrant", [1, 2, 3, 4])
@pytest.mark.parametrize(
    ("place", "plane", "toward_viewer"),
    [
        (7, "axial", lambda distal, lingual: -S),  # from below
        (7, "coronal", lambda distal, lingual: A),  # facing the patient
        (7, "sagittal", lambda distal, lingual: -lingual),  # from the cheek, as on a film
        (1, "axial", lambda distal, lingual: -S),
        (1, "coronal", lambda distal, lingual: A),
    ],
)
def test_a_section_is_looked_at_from_where_the_module_says(quadrant, place, plane, toward_viewer):
    frame = np.stack((BACK if place == 7 else FRONT)[quadrant], axis=1)  # tooth frame to patient's axes
    grid, _ = grid_of(upright(10 * quadrant + place), Cut(plane), Volume())
    right, up = frame @ grid.right, frame @ -grid.down
    assert np.cross(right, up) == pytest.approx(toward_viewer(frame[:, 0], frame[:, 1]))


@pytest.mark.parametrize("quadrant", [1, 2, 3, 4])
@pytest.mark.parametrize("place", [1, 7])
@pytest.mark.parametrize("plane", ["axial", "coronal", "sagittal"])
def test_the_sides_are_named_as_they_lie(quadrant, place, plane):
    grid, sides = grid_of(upright(10 * quadrant + place), Cut(plane), Volume())
    ways = {
        "mesial": (-1, 0, 0), "distal": (1, 0, 0), "buccal": (0, -1, 0), "labial": (0, -1, 0),
        "lingual": (0, 1, 0), "palatal": (0, 1, 0), "occlusal": (0, 0, 1), "apical": (0, 0, -1),
    }  # fmt: skip
    for said, way in ((sides.right, grid.right), (sides.left, -grid.right), (sides.bottom, grid.down)):
        assert ways[said] == pytest.approx(way)
    assert ways[sides.top] == pytest.approx(-grid.down)


def test_a_sagittal_section_runs_along_the_arch_of_back_teeth_and_across_that_of_front_teeth():
    back, front = (take_slice(upright(number), Cut("sagittal", 1.0), noise=False) for number in (37, 31))
    assert "along the arch, 1.0 mm lingual" in back.words
    assert "across the arch, 1.0 mm distal" in front.words
    assert front.sides.left == "labial"


def test_tissues_keep_their_order_from_black_to_white():
    anatomy = upright()
    taken = take_slice(anatomy, Cut("sagittal", 0.0), noise=False)

    def shade(material):
        whole = (taken.shares[..., material] > 0.999) & taken.inside
        return float(np.median(taken.pixels[whole]))

    order = [Material.AIR, Material.PULP, Material.DENTINE, Material.ENAMEL]
    shades = [shade(material) for material in order]
    assert shades == sorted(shades)
    assert shades[0] < 10 < shades[1]
    assert shades[-1] > 200


def test_outside_the_cylinder_it_is_black_and_an_upright_section_off_its_middle_is_narrower():
    axial = take_slice(upright(), Cut("axial", 0.0))
    assert axial.pixels[0, 0] == 0
    aside = take_slice(upright(), Cut("sagittal", 12.0))
    # a chord 12 mm off the middle of a circle of 20 mm is 2 * 16 mm long
    assert aside.inside[0].sum() * 0.15 == pytest.approx(32.0, abs=0.4)


def test_a_thick_section_averages_the_thin_ones_it_spans():
    anatomy = upright()
    thick = take_slice(anatomy, Cut("axial", -4.0, 0.6), noise=False).shares
    thin = [
        take_slice(anatomy, Cut("axial", -4.0 + off, 0.15), noise=False).shares
        for off in (-0.225, -0.075, 0.075, 0.225)
    ]
    off = np.abs(thick - np.mean(thin, axis=0))
    assert off.max() < 0.5
    assert off.mean() < 2e-3


def test_the_same_seed_gives_the_same_noise_and_a_thick_section_has_less():
    anatomy = upright()
    first, again, other = (take_slice(anatomy, Cut("axial", -4.0), seed=seed) for seed in (1, 1, 2))
    assert np.array_equal(first.pixels, again.pixels)
    assert not np.array_equal(first.pixels, other.pixels)
    noise = []
    for thickness in (0.15, 0.6):
        cut = Cut("axial", -4.0, thickness)
        noise.append(float((take_slice(anatomy, cut).per_mm - take_slice(anatomy, cut, noise=False).per_mm).std()))
    assert noise[1] == pytest.approx(noise[0] / 2, rel=0.02)  # four times as thick: half the noise


def test_metal_throws_dark_bands_between_its_parts_and_nothing_else_does():
    shares = np.zeros((200, 200, len(Material)), dtype=np.float32)
    assert not streaks(shares, 0.15).any()
    shares[90:110, 40:60, Material.METAL] = 1
    shares[90:110, 140:160, Material.METAL] = 1
    change = streaks(shares, 0.15)
    assert change[95:105, 90:110].mean() < 0
    assert change[95:105, 90:110].mean() < 3 * change[40:50, 90:110].mean() or change[40:50, 90:110].mean() > 0
    assert np.abs(change[:20, :20]).max() < 0.2 * np.abs(change).max()


def test_streaks_come_with_a_metal_crown_and_can_be_left_out():
    crowned = replace(upright(), prosthesis=Prosthesis("crown", "metal"))
    cut = Cut("axial", 4.0)
    with_streaks, without = (take_slice(crowned, cut, noise=False, streaks=wanted) for wanted in (True, False))
    assert not np.array_equal(with_streaks.per_mm, without.per_mm)
    assert np.array_equal(with_streaks.shares, without.shares)


def test_the_file_says_what_it_is_and_names_no_canal():
    anatomy = upright()
    taken = take_slice(anatomy, Cut("axial", -2.0, 0.3))
    with Image.open(io.BytesIO(taken.png())) as picture:
        about = picture.text
        assert picture.size == (267, 267)  # 40 mm in voxels of 0.15
    assert about["Title"] == "Synthetic teaching image"
    for said in ("2.0 mm apical of the neck", "0.3 mm thick", "voxels of 0.15 mm", "blur 0.12 mm", "mesial left"):
        assert said in about["Section"]
    for canal in anatomy.tooth.canals:
        assert f" {canal.name}" not in " ".join(about.values())


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: Cut("oblique"), "no oblique section"),
        (lambda: Cut("axial", math.nan), "outside the volume"),
        (lambda: Cut("axial", 0.0, 9.0), "0.1 to 3 mm"),
        (lambda: Volume(voxel_mm=0.01), "0.1 to 0.2 mm"),
        (lambda: Volume(width_mm=math.inf), "give 30 to 60"),
        (lambda: take_slice(upright(), Cut("sagittal", 25.0)), "ends 20 mm from its middle"),
    ],
)
def test_what_cannot_be_cut_is_refused(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()


def test_the_volume_stands_round_the_middle_of_the_tooth():
    anatomy = upright()
    tips = [root.apex_mm[2] for root in anatomy.tooth.roots]
    assert middle_of(anatomy)[2] == pytest.approx((anatomy.tooth.crown.height_mm + min(tips)) / 2)


@pytest.mark.parametrize("number", [37, 47, 17, 27, 31, 11, 23])
@pytest.mark.parametrize("plane", PLANES)
def test_the_line_of_another_plane_lies_where_that_plane_cuts_the_picture(number, plane):
    anatomy, volume = upright(number), Volume()
    at = {"axial": 1.5, "coronal": -2.1, "sagittal": 3.0}
    grid, _ = grid_of(anatomy, Cut(plane, at[plane]), volume)
    for trace in traces(anatomy, plane, volume):
        off_mm = (trace.share(at[trace.plane]) - 0.5) * trace.size_mm
        place = grid.centre_mm + off_mm * (grid.right if trace.upright else grid.down)
        assert place @ normal_of(trace.plane, number) == pytest.approx(at[trace.plane])


@pytest.mark.parametrize("plane", PLANES)
def test_a_plane_meets_the_volume_between_the_ends_of_its_reach_only(plane):
    anatomy, volume = upright(), Volume()
    least, most = reach_mm(anatomy, plane, volume)
    assert most - least == 40
    for inside in (least + 0.01, most - 0.01):
        grid_of(anatomy, Cut(plane, inside), volume)
    for outside in (least, most):
        with pytest.raises(ValueError, match="outside the volume"):
            grid_of(anatomy, Cut(plane, outside), volume)
