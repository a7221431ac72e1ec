"""Attenuation and exposure against the exponential law and against each other."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.radiograph import Material, exposure
from casebank.radiograph.materials import attenuation, table

PITCH = 0.0283


def behind(**mm):
    """Transmission behind lengths of material, by name."""
    paths = np.zeros((8, 8, len(Material)), dtype=np.float32)
    for name, length in mm.items():
        paths[..., Material[name.upper()]] = length
    return float(exposure.transmission(paths)[0, 0])


def test_nothing_in_the_beam_lets_all_of_it_through():
    assert behind() == pytest.approx(1.0, abs=1e-6)


def test_doubling_the_attenuation_squares_the_transmission_of_each_energy():
    weights, mu = attenuation().weights, attenuation().mu_per_mm[Material.DENTINE]
    once = np.exp(-mu * 3.0)
    assert behind(dentine=3.0) == pytest.approx((weights * once).sum(), rel=1e-5)
    assert behind(dentine=6.0) == pytest.approx((weights * once**2).sum(), rel=1e-5)


def test_a_beam_of_several_energies_hardens():
    # the second layer meets harder rays than the first, so it takes away a smaller share
    assert behind(dentine=6.0) > behind(dentine=3.0) ** 2


@pytest.mark.parametrize(
    ("kev", "dentine_6_mm"),
    [(30, 0.1435), (40, 0.3860), (60, 0.6492)],  # exp(-mu t) on the composition from memory
)
def test_dentine_between_two_bins_transmits_about_what_its_composition_says(kev, dentine_6_mm):
    bins, mu = attenuation().energies_kev, attenuation().mu_per_mm[Material.DENTINE]
    # between bins attenuation follows a power of the energy; beyond the last one the line is drawn on
    slope = np.polyfit(np.log(bins), np.log(mu), 3)
    assert np.exp(-6 * np.exp(np.polyval(slope, np.log(kev)))) == pytest.approx(dentine_6_mm, abs=0.005)


def test_the_bins_share_the_whole_beam():
    assert attenuation().weights.sum() == pytest.approx(1.0, abs=1e-9)
    falls = np.diff(attenuation().mu_per_mm, axis=1) < 0
    assert falls[:, [0, 2, 3]].all()
    # barium's K edge, 37.4 keV (xraydb), lies between the second bin and the third: composite rises there
    assert [Material(row).label for row in np.flatnonzero(~falls[:, 1])] == ["composite"]


def test_every_material_names_its_composition_and_source_and_the_fractions_add_up():
    rows = {row["name"]: row for row in table()["material"]}
    assert set(rows) == {material.label for material in Material}
    for row in rows.values():
        assert row["source"]
        assert sum(row["composition"].values()) == pytest.approx(1.0, abs=0.005)


def test_harder_tissues_and_metals_stand_in_their_known_order():
    # 1 mm of each; a film's shades from dark to light
    order = ["air", "soft", "cancellous", "cortical", "dentine", "enamel", "root_filling", "nickel_titanium", "steel"]
    through = [behind(**{name: 1.0}) for name in order]
    assert through == sorted(through, reverse=True)


@given(st.floats(0, 10), st.floats(0, 10))
def test_more_tissue_never_lets_more_through(dentine, bone):
    assert behind(dentine=dentine, cancellous=bone + 0.5) < behind(dentine=dentine, cancellous=bone)


def test_without_noise_an_even_field_stays_even():
    even = np.full((120, 160), 0.3, dtype=np.float32)
    assert exposure.expose(even, PITCH, 1, noise=False) == pytest.approx(even, abs=1e-6)


def test_noise_comes_from_its_seed_alone():
    even = np.full((120, 160), 0.3, dtype=np.float32)
    first, again, other = (exposure.expose(even, PITCH, seed) for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_noise_is_as_strong_as_the_quanta_behind_each_pixel_say():
    # Poisson: standard deviation sqrt(signal / quanta of the open beam in one pixel)
    even = np.full((400, 400), 0.3, dtype=np.float32)
    spread = exposure.expose(even, PITCH, 1).std()
    quanta = exposure.QUANTA_PER_MM2 * PITCH**2
    assert spread == pytest.approx(np.sqrt(0.3 / quanta), rel=0.1)


def test_an_edge_is_blurred_over_a_few_pixels_and_not_more():
    step = np.full((100, 200), 0.8, dtype=np.float32)
    step[:, 100:] = 0.2
    shown = exposure.expose(step, PITCH, 0, noise=False)[50]
    sharp = np.abs(np.diff(shown)) > 0.02
    assert 2 <= sharp.sum() <= 8


def test_more_absorbed_is_lighter_and_shades_stay_within_black_and_white():
    ramp = np.tile(np.geomspace(1, 1e-4, 300, dtype=np.float32), (80, 1))
    shade = exposure.display(ramp, PITCH)
    assert shade.min() >= 0
    assert shade.max() <= 1
    assert (np.diff(shade[40, 10:-10]) >= -1e-3).all()


def test_eight_and_sixteen_bit_pictures_show_the_same_shades():
    shade = np.random.default_rng(3).random((90, 120), dtype=np.float32)
    eight, sixteen = exposure.to_8_bit(shade), exposure.to_16_bit(shade)
    assert eight.dtype == np.uint8
    assert sixteen.dtype == np.uint16
    assert np.abs(sixteen / 257 - eight).max() <= 1.01  # 65535 / 255 = 257; the bytes are cut, not rounded


def test_the_exposure_time_brings_tissue_to_the_same_grey_within_its_limits():
    thin = np.full((80, 80), 0.30, dtype=np.float32)
    assert float(np.median(exposure.timed(thin))) == pytest.approx(exposure.TARGET, abs=1e-6)
    very_thick = np.full((80, 80), 0.01, dtype=np.float32)
    assert float(np.median(exposure.timed(very_thick))) == pytest.approx(0.014, abs=1e-6)
    open_beam = np.ones((80, 80), dtype=np.float32)
    assert np.array_equal(exposure.timed(open_beam), open_beam)
