"""The frozen coefficients against two independent libraries: every row of the table, from its composition."""

import numpy as np
import pytest

from casebank.radiograph import Material
from casebank.radiograph.materials import attenuation, table
from tests.reference.coefficients import BOTH, linear_attenuation, mass_attenuation

TABLE = table()
ENERGIES = TABLE["spectrum"]["energies_kev"]


@BOTH
@pytest.mark.parametrize("row", TABLE["material"], ids=lambda row: row["name"])
def test_every_frozen_row_comes_back_from_its_composition(row, library):
    assert row["mu_per_mm"] == pytest.approx(linear_attenuation(library, row, ENERGIES), rel=0.005)


@BOTH
@pytest.mark.parametrize("material", Material, ids=lambda material: material.label)
def test_what_a_film_reads_is_the_row_of_that_name(material, library):
    row = next(row for row in TABLE["material"] if row["name"] == material.label)
    assert attenuation().mu_per_mm[material] == pytest.approx(linear_attenuation(library, row, ENERGIES), rel=0.005)


@BOTH
def test_cortical_bone_matches_the_published_values(library):
    # NIST table of ICRU-44 cortical bone at 30, 40, 50 and 60 keV
    cortical = next(row for row in TABLE["material"] if row["name"] == "cortical")
    check = TABLE["check"]
    computed = mass_attenuation(library, cortical["composition"], check["energies_kev"])
    assert check["cortical_cm2_per_g"] == [1.3311, 0.6655, 0.4242, 0.3148]
    assert computed == pytest.approx(check["cortical_cm2_per_g"], rel=0.005)


def test_the_weights_share_the_whole_beam():
    assert np.sum(TABLE["spectrum"]["weights"]) == pytest.approx(1.0)
