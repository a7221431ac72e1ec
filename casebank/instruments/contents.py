"""What a canal holds besides chips: gel, blood, a medicament, sealer, its filling. Immutable, as the lumen is."""

from dataclasses import dataclass, replace
from typing import Literal

from casebank.instruments.closing_moves import FillMethod, Medicament
from casebank.instruments.moves import Lubricant

Fit = Literal["loose", "snug", "short"]
Bleeding = Literal["none", "pulp", "beyond"]
"""Whether blood comes into the canal: from an inflamed pulp still in it, or from tissue wounded beyond its end."""


@dataclass(frozen=True)
class Medication:
    """A medicament in a canal: how deep it was laid, and which share of it is left at the working length, 0 to 1."""

    agent: Medicament
    to_mm: float
    left_share: float = 1.0


@dataclass(frozen=True)
class TriedIn:
    """A cone or trial instrument as it was tried: its label, how far its tip is off that label, where and how it held.

    Attributes
    ----------
    size, taper : int, float
    off_mm : float
        True diameter at its tip less that of its label.
    tip_mm : float
        Depth of its tip below the orifice.
    hold : Fit
    """

    size: int
    taper: float
    off_mm: float
    tip_mm: float
    hold: Fit


@dataclass(frozen=True)
class Fill:
    """A canal's filling.

    Attributes
    ----------
    method : FillMethod
    size, taper, off_mm
        The cone or carrier: its label and how far its tip is off it.
    cone_mm, end_mm, foramen_mm : float
        Depths below the orifice of the cone's tip, of the filling's end and of the foramen.
    dense_share : float
        Share of the canal's volume, along the filling, that the filling takes, 0 to 1.
    hold : Fit
        How the cone held.
    tried : bool
        Whether this cone, or for a carrier its trial instrument, had been tried in.
    dry, sealed, clean : bool
        Whether the canal had been dried, sealer placed, a medicament washed out.
    """

    method: FillMethod
    size: int
    taper: float
    off_mm: float
    cone_mm: float
    end_mm: float
    foramen_mm: float
    dense_share: float
    hold: Fit
    tried: bool
    dry: bool
    sealed: bool
    clean: bool

    @property
    def short_mm(self) -> float:
        """How far it ends short of the foramen, along the canal; below 0 beyond it."""
        return self.foramen_mm - self.end_mm

    @property
    def void_share(self) -> float:
        return 1 - self.dense_share


@dataclass(frozen=True)
class Contents:
    """What one canal holds.

    Attributes
    ----------
    gel : Lubricant or None
        On the walls; it stays through rinses and goes when the canal is dried.
    dried : bool
        Whether a paper point came out dry and nothing wet followed.
    bleeding : Bleeding
    medication : Medication or None
        None once it is washed out.
    cone, trial : TriedIn or None
        The cone and the trial instrument that were tried in last.
    sealer_to_mm : float
        Depth to which sealer was carried in; 0 for none.
    fill : Fill or None
    """

    gel: Lubricant | None = None
    dried: bool = False
    bleeding: Bleeding = "none"
    medication: Medication | None = None
    cone: TriedIn | None = None
    trial: TriedIn | None = None
    sealer_to_mm: float = 0.0
    fill: Fill | None = None

    @property
    def is_lubricated(self) -> bool:
        return self.gel is not None

    @property
    def is_dressed(self) -> bool:
        """Whether a medicament lies in the canal."""
        return self.medication is not None

    def wetted(self) -> "Contents":
        """The same after something wet came in: no longer dry, and sealer that had not set is gone."""
        return replace(self, dried=False, sealer_to_mm=0.0) if self.dried or self.sealer_to_mm else self


EMPTY = Contents()
