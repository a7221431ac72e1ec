"""Instruments against the standard's law of the diameter."""

import numpy as np
import pytest

from casebank.instruments import SIZES, Instrument, bending_strain, colour_of, next_larger
from casebank.instruments.iso3630 import COLOURS_BASIS, cone, coronal_flare, engine_file, hand_file, relative_step


@pytest.mark.parametrize(
    ("instrument", "from_tip_mm", "diameter_mm"),
    [
        pytest.param(Instrument(25), 16.0, 0.57, id="D16 = D0 + 0.32 (ISO 3630-1)"),
        pytest.param(Instrument(6), 16.0, 0.38, id="the same law, size 06"),
        pytest.param(Instrument(140), 16.0, 1.72, id="the same law, size 140"),
        # d = D0 + T x
        pytest.param(Instrument(30, 0.06, "engine"), 16.0, 1.26, id="0.30 + 0.06 * 16"),
        pytest.param(Instrument(25, 0.04, "engine"), 3.0, 0.37, id="0.25 + 0.04 * 3"),
        pytest.param(Instrument(35, 0.04, "engine"), 5.0, 0.55, id="0.35 + 0.04 * 5"),
        pytest.param(Instrument(25), 20.0, 0.57, id="no growth past the 16 mm working part"),
        pytest.param(engine_file(50, 0.06), 16.0, 1.00, id="an engine file's shank ends its growth"),
    ],
)
def test_diameter_follows_size_and_taper(instrument, from_tip_mm, diameter_mm):
    assert instrument.diameter_mm(from_tip_mm) == pytest.approx(diameter_mm, abs=1e-9)
    assert instrument.diameters_mm(np.array([[from_tip_mm]]))[0, 0] == pytest.approx(diameter_mm, abs=1e-9)


def test_relative_steps_shrink_as_files_grow():
    # (15 - 10) / 10 and (60 - 55) / 55
    assert relative_step(10, 15) == pytest.approx(0.5000, abs=0.0005)
    assert relative_step(55, 60) == pytest.approx(0.0909, abs=0.0005)


@pytest.mark.parametrize(
    ("size", "colour"),
    [(6, "pink"), (8, "grey"), (10, "purple"), (25, "red"), (30, "blue"), (35, "green"), (40, "black")],
)
def test_handle_colours_from_memory(size, colour):
    # ISO 3630-1, from memory: asserted against our own table so that a correction changes one place
    assert colour_of(size) == colour
    assert "from memory" in COLOURS_BASIS


def test_the_six_colours_come_round_again():
    assert [colour_of(size) for size in (15, 45, 90)] == ["white"] * 3
    assert [colour_of(size) for size in (40, 80, 140)] == ["black"] * 3


def test_sizes_step_by_five_to_sixty_and_by_ten_above():
    assert [next_larger(size) for size in (10, 15, 55, 60, 130, 140)] == [15, 20, 60, 70, 140, None]
    assert list(SIZES) == sorted(set(SIZES))


def test_bending_strain_is_diameter_over_twice_the_radius():
    # 0.30 / (2 * 5) and 0.30 / (2 * 2)
    assert bending_strain(0.30, 5.0) == pytest.approx(0.030, abs=1e-6)
    assert bending_strain(0.30, 2.0) == pytest.approx(0.075, abs=1e-6)


def test_a_label_names_size_and_taper_and_speech_adds_the_colour():
    assert engine_file(25, 0.04).label == "25/.04"
    assert hand_file(8).spoken == "grey 08/.02"


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: hand_file(12), "no size 12"),
        (lambda: engine_file(60, 0.04), "no engine file of size 60"),
        (lambda: engine_file(25, 0.05), "no taper .05"),
        (lambda: engine_file(7, 0.04), "no size 7"),
        (lambda: Instrument(25, 0.04), "tapers .02, not .04"),
        (lambda: Instrument(25, 0.08, "flare"), "one coronal flare"),
        (lambda: cone(35, 0.03), "no taper .03"),
        (lambda: Instrument(25, greatest_mm=0.2), "cannot have a tip"),
        (lambda: colour_of(11), "no size 11"),
        (lambda: bending_strain(0.3, 0.0), "above 0 mm"),
    ],
)
def test_what_is_not_made_is_refused_in_words(make, said):
    with pytest.raises(ValueError, match=said):
        make()


def test_the_flare_is_short_and_a_large_cone_keeps_its_width():
    assert coronal_flare().shank_mm == pytest.approx(0.30 + 0.08 * 8)
    assert cone(140, 0.02).shank_mm == pytest.approx(1.72)
