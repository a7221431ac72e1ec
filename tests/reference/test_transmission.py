"""How much of a beam of one energy is left: films against the exponential law with independent coefficients.

The expected figures are exp(-mu t) with coefficients computed elsewhere from the Elam tables; the compositions of
dentine, soft tissue and spongiosa behind them are from memory, as in the table.
"""

import numpy as np
import pytest

from casebank.radiograph import Material, Receptor, View, aim_at, exposure
from casebank.radiograph.materials import Attenuation, table
from casebank.radiograph.projection import path_lengths
from casebank.radiograph.shapes import box
from casebank.radiograph.trabeculae import even
from tests.reference.coefficients import BOTH, linear_attenuation

ROWS = {row["name"]: row for row in table()["material"]}
SPONGIOSA = {  # ICRU-46, from memory: lighter than the bone round a tooth in our table
    "density_g_per_cm3": 1.18,
    "composition": {
        "H": 0.085, "C": 0.404, "N": 0.028, "O": 0.367, "Na": 0.001, "Mg": 0.001,
        "P": 0.034, "S": 0.002, "Cl": 0.002, "K": 0.001, "Ca": 0.074, "Fe": 0.001,
    },
}  # fmt: skip
RECEPTOR = Receptor(65, 65, 0.01)  # odd, so that one ray runs square through every plate


@pytest.fixture
def left_behind(monkeypatch):
    """What is left of a beam of one energy behind plates stacked along it: material, thickness in mm."""

    def share(library, kev, *plates, rows=ROWS):
        mu = [linear_attenuation(library, rows[material.label], kev) for material in Material]
        one_energy = Attenuation(np.array([kev]), np.ones(1), np.array(mu))
        monkeypatch.setattr(exposure, "attenuation", lambda: one_energy)
        front = -10.0
        pieces = []
        for material, thickness in plates:
            pieces.append(box(material, 1, (0, front + thickness / 2, 0), (5, thickness / 2, 5)))
            front += thickness
        paths = path_lengths(pieces, aim_at(np.zeros(3), 36, View(), RECEPTOR), even())
        return float(exposure.transmission(paths)[32, 32])

    return share


@BOTH
@pytest.mark.parametrize(("kev", "expected"), [(30, 0.1435), (40, 0.3860), (60, 0.6492)])
def test_six_mm_of_dentine(left_behind, library, kev, expected):
    assert left_behind(library, kev, (Material.DENTINE, 6.0)) == pytest.approx(expected, abs=0.002)


@BOTH
def test_a_canal_filled_with_soft_tissue_lets_more_through_than_solid_dentine(left_behind, library):
    canal = left_behind(library, 40, (Material.DENTINE, 2.7), (Material.SOFT, 0.6), (Material.DENTINE, 2.7))
    solid = left_behind(library, 40, (Material.DENTINE, 6.0))
    assert canal / solid - 1 == pytest.approx(0.0812, abs=0.002)


@BOTH
def test_spongiosa_lost_to_soft_tissue_lets_more_through(left_behind, library):
    rows = ROWS | {"cancellous": SPONGIOSA}
    lost = left_behind(library, 40, (Material.SOFT, 5.0), rows=rows)
    whole = left_behind(library, 40, (Material.CANCELLOUS, 5.0), rows=rows)
    assert lost / whole - 1 == pytest.approx(0.0902, abs=0.002)


@BOTH
def test_the_half_value_layer_of_dentine(left_behind, library):
    # ln 2 / mu at 40 keV = 4.37 mm; 0.02 mm more or less change the half by 0.0016
    assert left_behind(library, 40, (Material.DENTINE, 4.37)) == pytest.approx(0.5, abs=0.0016)
    mu = linear_attenuation(library, ROWS["dentine"], 40)[0]
    assert np.log(2) / mu == pytest.approx(4.37, abs=0.02)


@BOTH
def test_a_second_half_value_layer_halves_again(left_behind, library):
    mu = linear_attenuation(library, ROWS["enamel"], 46.3)[0]
    one = (Material.ENAMEL, np.log(2) / mu)
    assert left_behind(library, 46.3, one, one, one) == pytest.approx(1 / 8, abs=1e-5)
