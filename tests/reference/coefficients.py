"""Mass attenuation of elements and of what they make up, by two independent libraries (dependency group "reference").

xraydb reads the tables of Elam, Ravel and Sieber (Radiat Phys Chem 2002;63:121); xraylib has its own compilation
(Schoonjans et al., Spectrochim Acta B 2011;66:776). Total cross-section with coherent scatter, cm2/g.
"""

import numpy as np
import pytest
import xraydb
import xraylib


def by_xraydb(element, energies_kev):
    return xraydb.mu_elam(element, energies_kev * 1e3)


def by_xraylib(element, energies_kev):
    number = xraylib.SymbolToAtomicNumber(element)
    return np.array([xraylib.CS_Total(number, kev) for kev in energies_kev])


BOTH = pytest.mark.parametrize("library", [by_xraydb, by_xraylib])


def mass_attenuation(library, composition, energies_kev):
    """Sum of the elements' mass attenuation by mass fraction, at several energies, cm2/g."""
    energies = np.atleast_1d(np.asarray(energies_kev, dtype=np.float64))
    whole = sum(composition.values())
    return sum(share / whole * library(element, energies) for element, share in composition.items())


def linear_attenuation(library, row, energies_kev):
    """Of one material with density and composition, at several energies, per mm."""
    return row["density_g_per_cm3"] / 10 * mass_attenuation(library, row["composition"], energies_kev)


def has_edge(composition, low_kev, high_kev):
    """Whether one of its elements' K edges lies between two energies: there attenuation leaps."""
    edges_kev = [xraydb.xray_edge(element, "K").energy / 1e3 for element in composition]
    return any(low_kev < edge < high_kev for edge in edges_kev)
