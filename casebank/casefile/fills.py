"""Root fillings as they were made: what follows from a bench, the lengths that were answered and the kind of filling.

A canal that was filled at the bench has the filling made there. One that was not is taken as filled with the cone that
was last tried in it, laid in again after every later move, with sealer and dried; without a try, with the cone that
bears the last file's label, set to the answered length. How far sealer and packed filling close what the cone leaves
open is the bench's to say (`packing`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casebank.instruments import Bench, FitCone, Instrument, Record
from casebank.instruments.closing_moves import FillMethod
from casebank.instruments.contents import Fill
from casebank.instruments.filling import packing_of
from casebank.instruments.fitting import fit_cone
from casebank.instruments.iso3630 import cone
from casebank.instruments.packing import Beside, Packed, packed

Array = NDArray[np.float64]
FillKind = Literal["single cone", "cold lateral", "warm vertical", "carrier"]
ASSUMED_KIND: FillKind = "cold lateral"  # taught first in most schools: common practice, no source

METHODS: dict[FillKind, FillMethod] = {
    "single cone": "single cone with sealer",
    "cold lateral": "cold lateral",
    "warm vertical": "warm vertical",
    "carrier": "carrier",
}
KINDS: dict[FillMethod, FillKind] = {method: kind for kind, method in METHODS.items()}

# All teaching choices.
CUT_BELOW_ORIFICE_MM = 1.0  # where the orifices are sealed: the filling is cut back below them
# share of a lateral canal that sealer is pressed into, where the filling beside it is dense
SIDEWAYS: dict[FillKind, float] = {"single cone": 0.0, "cold lateral": 0.5, "warm vertical": 1.0, "carrier": 1.0}
SEEN_GAP_MM = 0.12  # on both sides together, over SEEN_GAP_LENGTH_MM, before it is called a gap
SEEN_GAP_LENGTH_MM = 0.5


@dataclass(frozen=True)
class Gap:
    """A stretch of canal beside which something stays open: depths below the orifice, mm."""

    top_mm: float
    end_mm: float

    @property
    def length_mm(self) -> float:
        return self.end_mm - self.top_mm


@dataclass(frozen=True, eq=False)
class CanalFill:
    """The filling of one canal.

    Attributes
    ----------
    canal : str
    kind : FillKind
    cone : Instrument
    tried : bool
        Whether the cone was tried in; otherwise its label was trusted.
    depths_mm, width_mm, lumen_mm : array, shape (n,)
        Depths below the orifice from the filling's coronal to its apical end, its width there and that of the canal,
        mesio-distally as everywhere at the bench.
    short_mm : float
        Its end, short of the foramen along the canal; below 0 it lies beyond.
    """

    canal: str
    kind: FillKind
    cone: Instrument
    tried: bool
    depths_mm: Array
    width_mm: Array
    lumen_mm: Array
    short_mm: float

    def __post_init__(self) -> None:
        if not (len(self.depths_mm) > 1 and self.depths_mm.shape == self.width_mm.shape == self.lumen_mm.shape):
            raise ValueError(f"the filling of canal {self.canal} needs two depths or more, each with both widths")
        if not (np.diff(self.depths_mm) > 0).all() or not (self.width_mm > 0).all():
            raise ValueError(f"the filling of canal {self.canal} needs rising depths and widths above 0 mm")

    @property
    def top_mm(self) -> float:
        return float(self.depths_mm[0])

    @property
    def end_mm(self) -> float:
        return float(self.depths_mm[-1])

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """Where so much of the canal beside the filling stays open that a film can show it; from coronal to apical."""
        is_open = self.lumen_mm - self.width_mm >= SEEN_GAP_MM
        edges = [0, *(np.flatnonzero(np.diff(is_open)) + 1).tolist(), len(is_open)]
        gaps = [
            Gap(float(self.depths_mm[low]), float(self.depths_mm[high - 1]))
            for low, high in pairwise(edges)
            if is_open[low]
        ]
        return tuple(gap for gap in gaps if gap.length_mm >= SEEN_GAP_LENGTH_MM)

    def sideways_share(self, at_mm: float) -> float:
        """Filled share of a lateral canal leaving at a depth, 0 to 1: nothing where no dense filling passes it."""
        if not self.top_mm < at_mm < self.end_mm:
            return 0.0
        left_open_mm = float(np.interp(at_mm, self.depths_mm, self.lumen_mm - self.width_mm))
        return SIDEWAYS[self.kind] if left_open_mm < 1e-6 else 0.0

    @property
    def dense_share(self) -> float:
        """Share of the canal's volume along the filling that the filling takes, 0 to 1."""
        return Packed(self.depths_mm, self.width_mm, self.lumen_mm).dense_share


def fills_of(
    bench: Bench, lengths_mm: Mapping[str, float], *, sealed: bool, kind: FillKind = ASSUMED_KIND
) -> tuple[CanalFill, ...]:
    """The fillings that follow from a bench; a canal with no room for one, or never worked, has none.

    Parameters
    ----------
    lengths_mm : mapping of canal to mm
        Working lengths that were answered, from the reference cusp.
    sealed : bool
        Whether the orifices are sealed over, so that the filling is cut back below them.
    """
    made = (_fill(bench.record_of(canal), lengths_mm.get(canal), sealed, kind) for canal in bench.canals)
    return tuple(fill for fill in made if fill is not None)


def _fill(record: Record, length_mm: float | None, sealed: bool, kind: FillKind) -> CanalFill | None:
    """One canal's filling, or none."""
    top_mm, made = CUT_BELOW_ORIFICE_MM if sealed else 0.0, record.lumen.contents.fill
    return _made(record, made, top_mm) if made else _inferred(record, length_mm, kind, top_mm)


def _made(record: Record, made: Fill, top_mm: float) -> CanalFill | None:
    """The filling made at the bench."""
    point = cone(made.size, made.taper, made.off_mm)
    return _placed(record, packing_of(record.lumen, top_mm=top_mm), point, KINDS[made.method], made.tried)


def _inferred(record: Record, length_mm: float | None, kind: FillKind, top_mm: float) -> CanalFill | None:
    """The filling that would follow, had the canal been filled as it was left."""
    move = _cone_laid(record, length_mm)
    if move is None:
        return None
    fitted = fit_cone(record.lumen, move)
    kept = fitted.lumen.contents.cone
    point = cone(move.size, move.taper, kept.off_mm if kept else 0.0)
    laid = packed(record.lumen, point, fitted.reach.tip_mm, METHODS[kind], Beside(), top_mm=top_mm)
    tried = any(isinstance(step.move, FitCone) for step in record.steps)
    return _placed(record, laid, point, kind, tried)


def _placed(record: Record, laid: Packed | None, point: Instrument, kind: FillKind, tried: bool) -> CanalFill | None:
    if laid is None:
        return None
    return CanalFill(
        canal=record.shape.name,
        kind=kind,
        cone=point,
        tried=tried,
        depths_mm=laid.depths_mm,
        width_mm=laid.width_mm,
        lumen_mm=laid.lumen_mm,
        short_mm=record.shape.length_mm - float(laid.depths_mm[-1]),
    )


def _cone_laid(record: Record, length_mm: float | None) -> FitCone | None:
    """The cone a canal is filled with: the last one tried, or the last file's label to the answered length."""
    tried = [step.move for step in record.steps if isinstance(step.move, FitCone)]
    if tried:
        return tried[-1]
    prepared = record.lumen.terminus
    if prepared is None:
        return None
    return FitCone(prepared.size, prepared.taper, length_mm or max(0.0, record.lumen.reading_of(prepared.at_mm)))
