"""What the film's solids are made of and how much each weakens the beam."""

import tomllib
from dataclasses import dataclass
from enum import IntEnum
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray


class Material(IntEnum):
    """A material; the value is its row in every array of materials."""

    AIR = 0
    SOFT = 1
    PULP = 2
    DENTINE = 3
    ENAMEL = 4
    CORTICAL = 5
    CANCELLOUS = 6
    METAL = 7
    CERAMIC = 8
    STEEL = 9
    NICKEL_TITANIUM = 10
    ROOT_FILLING = 11
    AMALGAM = 12
    COMPOSITE = 13
    GLASS_IONOMER = 14
    FIBRE = 15
    CARIES = 16

    @property
    def label(self) -> str:
        """Its name in the table of coefficients, such as "root-filling"."""
        return self.name.lower().replace("_", "-")


@dataclass(frozen=True, eq=False)
class Attenuation:
    """The frozen table.

    Attributes
    ----------
    energies_kev, weights : arrays, shape (bins,)
        Mean energy of each bin and its share of the unweakened signal; the shares sum to 1.
    mu_per_mm : array, shape (materials, bins)
        Linear attenuation, rows in the order of `Material`.
    """

    energies_kev: NDArray[np.float64]
    weights: NDArray[np.float64]
    mu_per_mm: NDArray[np.float64]


def table() -> dict[str, Any]:
    """The table's file as it stands: spectrum, check rows, and composition and source of every material."""
    return tomllib.loads((files("casebank.radiograph") / "attenuation.toml").read_text(encoding="utf-8"))


@cache
def attenuation() -> Attenuation:
    """The coefficients as arrays.

    Raises
    ------
    ValueError
        If the file lacks a material.
    """
    content = table()
    rows = {row["name"]: row["mu_per_mm"] for row in content["material"]}
    missing = [material.label for material in Material if material.label not in rows]
    if missing:
        raise ValueError(f"attenuation.toml has no row for {', '.join(missing)}: add its composition and coefficients")
    spectrum = content["spectrum"]
    return Attenuation(
        energies_kev=np.array(spectrum["energies_kev"], dtype=np.float64),
        weights=np.array(spectrum["weights"], dtype=np.float64),
        mu_per_mm=np.array([rows[material.label] for material in Material], dtype=np.float64),
    )
