"""The frozen coefficients against two independent libraries (dependency group "reference").

xraydb reads the tables of Elam, Ravel and Sieber (Radiat Phys Chem 2002;63:121); xraylib has its own compilation
(Schoonjans et al., Spectrochim Acta B 2011;66:776).
"""

import numpy as np
import pytest
import xraydb
import xraylib

from casebank.radiograph.materials import table

TABLE = table()
ENERGIES = TABLE["spectrum"]["energies_kev"]


def by_xraydb(element, kev):
    return float(xraydb.mu_elam(element, kev * 1e3))


def by_xraylib(element, kev):
    return xraylib.CS_Total(xraylib.SymbolToAtomicNumber(element), kev)


def mass_attenuation(library, composition, kev):
    """Sum of the elements' mass attenuation by mass fraction, cm2/g."""
    whole = sum(composition.values())
    return sum(share / whole * library(element, kev) for element, share in composition.items())


BOTH = pytest.mark.parametrize("library", [by_xraydb, by_xraylib])


@BOTH
@pytest.mark.parametrize("row", TABLE["material"], ids=lambda row: row["name"])
def test_every_frozen_row_comes_back_from_its_composition(row, library):
    expected = [row["density_g_per_cm3"] / 10 * mass_attenuation(library, row["composition"], e) for e in ENERGIES]
    assert row["mu_per_mm"] == pytest.approx(expected, rel=0.005)


@BOTH
def test_cortical_bone_matches_the_published_values(library):
    # NIST table of ICRU-44 cortical bone at 30, 40, 50 and 60 keV
    cortical = next(row for row in TABLE["material"] if row["name"] == "cortical")
    check = TABLE["check"]
    computed = [mass_attenuation(library, cortical["composition"], e) for e in check["energies_kev"]]
    assert check["cortical_cm2_per_g"] == [1.3311, 0.6655, 0.4242, 0.3148]
    assert computed == pytest.approx(check["cortical_cm2_per_g"], rel=0.005)


def test_the_weights_share_the_whole_beam():
    assert np.sum(TABLE["spectrum"]["weights"]) == pytest.approx(1.0)
