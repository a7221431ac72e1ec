"""What is ill in the bone: hard tissue lost beside a root, or grown too dense at its end."""

from dataclasses import dataclass
from typing import Literal

from casebank.anatomy.finite import require_finite

SIZES = ("mesiodistal_mm", "buccolingual_mm", "height_mm")


@dataclass(frozen=True)
class Lesion:
    """Bone lost round the end of a root, beside it, or between roots.

    Attributes
    ----------
    root : str
        Name of the root; several lesions may name the same. For a furcal lesion, any of the roots it lies between.
    mesiodistal_mm, buccolingual_mm, height_mm : float
        Sizes, above 0.
    cortex, side : str
        How far it has reached the cortical plate, and which one.
    seed : int
        Of its outline, 0 or more.
    site : str
        Round the apex, on a side of the root, or under the furcation.
    at_mm : float or None
        Of a lateral lesion alone: level below the root's coronal end, along the root.
    toward_deg : float
        Of a lateral lesion: bearing of the side it lies on.

    Raises
    ------
    ValueError
        If a size is not above 0 or not finite, the seed is below 0, or a lateral lesion has no level and another one
        has.
    """

    root: str
    mesiodistal_mm: float
    buccolingual_mm: float
    height_mm: float
    cortex: Literal["whole", "thinned", "perforated"] = "whole"
    side: Literal["buccal", "lingual"] = "buccal"
    seed: int = 1
    site: Literal["apical", "lateral", "furcal"] = "apical"
    at_mm: float | None = None
    toward_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite(
            f"a lesion on root {self.root}", [(name, getattr(self, name)) for name in (*SIZES, "at_mm", "toward_deg")]
        )
        if not min(self.mesiodistal_mm, self.buccolingual_mm, self.height_mm) > 0:
            raise ValueError(f"a lesion needs three sizes above 0 mm, and the one on root {self.root} has not")
        if not self.seed >= 0:
            raise ValueError(f"a lesion's seed is 0 or more, not {self.seed}")
        if (self.site == "lateral") != (self.at_mm is not None):
            raise ValueError(
                f"the lesion on root {self.root} is {self.site}: a lateral one needs its level at_mm, others have none"
            )
        if self.at_mm is not None and self.at_mm < 0:
            raise ValueError(f"a lesion {self.at_mm} mm down root {self.root} lies above it: give 0 or more")


@dataclass(frozen=True)
class DenseBone:
    """Marrow grown dense round the end of a root, as in condensing osteitis.

    Attributes
    ----------
    root : str
    mesiodistal_mm, buccolingual_mm, height_mm : float
        Sizes, above 0.
    seed : int
        Of its outline, 0 or more.

    Raises
    ------
    ValueError
        If a size is not above 0 or not finite, or the seed is below 0.
    """

    root: str
    mesiodistal_mm: float
    buccolingual_mm: float
    height_mm: float
    seed: int = 1

    def __post_init__(self) -> None:
        require_finite(f"dense bone at root {self.root}", [(name, getattr(self, name)) for name in SIZES])
        if not min(self.mesiodistal_mm, self.buccolingual_mm, self.height_mm) > 0 or not self.seed >= 0:
            raise ValueError(f"dense bone at root {self.root} needs three sizes above 0 mm and a seed of 0 or more")
