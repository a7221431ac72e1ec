"""What a hand can do once a canal is shaped, as plain values: try in, dry, medicate, fill, close.

`Provisional`, `NextVisit` and `CoronalSeal` concern the whole tooth, whichever canal they are written down under. A
layer of no thickness is allowed and changes nothing.
"""

from dataclasses import dataclass
from typing import Literal, get_args

from casebank.instruments import iso3630
from casebank.instruments.bounds import require_length, require_one_of, require_within

Medicament = Literal["calcium hydroxide", "chlorhexidine gel"]
ProvisionalMaterial = Literal["glass-ionomer cement", "temporary cement"]
SealMaterial = Literal["bonded composite", "glass-ionomer cement"]
FillMethod = Literal["single cone with sealer", "cold lateral", "warm vertical", "carrier"]

MEDICAMENTS: tuple[Medicament, ...] = get_args(Medicament)
PROVISIONAL_MATERIALS: tuple[ProvisionalMaterial, ...] = get_args(ProvisionalMaterial)
SEAL_MATERIALS: tuple[SealMaterial, ...] = get_args(SealMaterial)
FILL_METHODS: tuple[FillMethod, ...] = get_args(FillMethod)
THICKEST_MM = 8.0  # from the chamber's floor to the cusps there is little more room than this: a teaching choice


@dataclass(frozen=True)
class TrialFit:
    """A trial instrument laid in at a length: it stands for the carrier to follow, and is as wide as it says."""

    size: int
    taper: float
    to_mm: float
    kind: Literal["trial_fit"] = "trial_fit"

    def __post_init__(self) -> None:
        iso3630.cone(self.size, self.taper)
        require_length(self.to_mm)


@dataclass(frozen=True)
class Dry:
    """Paper points until one comes out dry, or until none will."""

    kind: Literal["dry"] = "dry"


@dataclass(frozen=True)
class Medicate:
    """A medicament laid into the canal until the next visit."""

    agent: Medicament = "calcium hydroxide"
    kind: Literal["medicate"] = "medicate"

    def __post_init__(self) -> None:
        require_one_of("a medicament", self.agent, MEDICAMENTS)


@dataclass(frozen=True)
class Provisional:
    """The tooth closed until the next visit."""

    material: ProvisionalMaterial = "temporary cement"
    thickness_mm: float = 4.0
    kind: Literal["provisional"] = "provisional"

    def __post_init__(self) -> None:
        require_one_of("a provisional's material", self.material, PROVISIONAL_MATERIALS)
        require_within("a provisional's thickness (mm)", self.thickness_mm, 0, THICKEST_MM)


@dataclass(frozen=True)
class NextVisit:
    """The patient comes back: what closed the tooth for the time between is taken out."""

    kind: Literal["next_visit"] = "next_visit"


@dataclass(frozen=True)
class Seal:
    """Sealer carried into the canal, down to a length."""

    to_mm: float
    kind: Literal["seal_canal"] = "seal_canal"

    def __post_init__(self) -> None:
        require_length(self.to_mm)


@dataclass(frozen=True)
class FillCanal:
    """The canal filled, by one of four classes of method, with a cone or carrier set to a length."""

    method: FillMethod
    size: int
    taper: float
    to_mm: float
    kind: Literal["fill_canal"] = "fill_canal"

    def __post_init__(self) -> None:
        require_one_of("a method of filling", self.method, FILL_METHODS)
        iso3630.cone(self.size, self.taper)
        require_length(self.to_mm)


@dataclass(frozen=True)
class CoronalSeal:
    """The tooth closed for good above its fillings."""

    material: SealMaterial = "bonded composite"
    thickness_mm: float = 4.0
    kind: Literal["coronal_seal"] = "coronal_seal"

    def __post_init__(self) -> None:
        require_one_of("a coronal seal's material", self.material, SEAL_MATERIALS)
        require_within("a coronal seal's thickness (mm)", self.thickness_mm, 0, THICKEST_MM)


ClosingMove = TrialFit | Dry | Medicate | Provisional | NextVisit | Seal | FillCanal | CoronalSeal
