"""The five bins against the whole spectrum of an independent library (dependency group "reference").

spekpy computes the spectrum of a tungsten anode (Poludniowski et al., Med Phys 2021;48:3630, from memory); the beam is
the one the table states, in steps of 0.1 keV; an energy-integrating receptor weighs each quantum by its energy.
"""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import spekpy
from scipy.optimize import brentq

from casebank.radiograph.materials import table
from tests.reference.coefficients import by_xraydb, has_edge, linear_attenuation

TABLE = table()
ENERGIES, WEIGHTS = (np.array(TABLE["spectrum"][name]) for name in ("energies_kev", "weights"))
FAINTEST_KEV = 20.0  # below, the filter leaves next to nothing of the beam, and its edges do not matter
CUTS_KEV = (0.0, 28.0, 37.44, 44.0, 51.0, 65.0)  # as the table states them
TISSUES = ("soft", "pulp", "dentine", "enamel", "cortical", "cancellous", "ceramic")


@cache
def beam():
    tube = spekpy.Spek(kvp=65, th=12, dk=0.1)
    tube.filter("Al", 2.5)
    return tube


@cache
def spectrum():
    """Energies, keV, and their shares of the signal."""
    energies, quanta = beam().get_spectrum()
    signal = energies * quanta
    return energies, signal / signal.sum()


@cache
def whole_row(name):
    """Attenuation of a material at every energy of the spectrum, per mm."""
    row = next(row for row in TABLE["material"] if row["name"] == name)
    return linear_attenuation(by_xraydb, row, spectrum()[0])


def through(mu_per_mm, weights, thickness_mm):
    return float((weights * np.exp(-mu_per_mm * thickness_mm)).sum())


def half_value_mm(mu_per_mm, weights):
    return brentq(lambda thickness: through(mu_per_mm, weights, thickness) - 0.5, 0, 1e5)


def test_the_bins_have_the_spectrums_mean_energy():
    energies, signal = spectrum()
    # both are means over the signal, so only the rounding of energies (0.05 keV) and weights (0.0005) parts them
    assert (ENERGIES * WEIGHTS).sum() == pytest.approx((energies * signal).sum(), abs=0.05)


def test_the_quanta_in_the_bins_have_the_mean_energy_the_library_states():
    # a bin counts weight / energy quanta; one energy for a bin of standard deviation 3 in 38 keV: (3 / 38)^2 = 0.6 %
    assert 1 / (WEIGHTS / ENERGIES).sum() == pytest.approx(beam().get_emean(), rel=0.01)


@pytest.mark.parametrize(("number", "cut"), list(enumerate(pairwise(CUTS_KEV))))
def test_every_bin_has_its_share_and_mean_energy(number, cut):
    energies, signal = spectrum()
    inside = (energies >= cut[0]) & (energies < cut[1])
    # the table was made in steps of 0.5 keV, 0.015 of the signal each: a cut inside one is off by up to half of it
    assert WEIGHTS[number] == pytest.approx(signal[inside].sum(), abs=0.0075)
    assert ENERGIES[number] == pytest.approx(np.average(energies[inside], weights=signal[inside]), abs=0.1)


@pytest.mark.parametrize("thickness_mm", [1, 2, 3])
@pytest.mark.parametrize("name", TISSUES)
def test_five_bins_pass_tissue_like_the_whole_spectrum(name, thickness_mm):
    row = next(row for row in TABLE["material"] if row["name"] == name)
    five = through(np.array(row["mu_per_mm"]), WEIGHTS, thickness_mm)
    whole = through(whole_row(name), spectrum()[1], thickness_mm)
    assert five == pytest.approx(whole, rel=0.007)  # as the table promises


@pytest.mark.parametrize("row", TABLE["material"], ids=lambda row: row["name"])
def test_every_materials_half_value_layer_is_that_of_the_whole_spectrum(row):
    five = half_value_mm(np.array(row["mu_per_mm"]), WEIGHTS)
    # where an absorption edge falls inside a bin one coefficient cannot follow the leap: 5 % of the layer change the
    # signal by 0.035, a hundredth of what the display curve spans (teaching choice); elsewhere 1 % and so a fifth of it
    within = 0.05 if has_edge(row["composition"], FAINTEST_KEV, CUTS_KEV[-1]) else 0.01
    assert five == pytest.approx(half_value_mm(whole_row(row["name"]), spectrum()[1]), rel=within)
