"""What a filling fills: how wide it is at each depth beside how wide the canal is there, by the class of method.

How far sealer and packed filling close what a cone leaves open are teaching choices; their numbers stand in
`teaching.toml`.
"""

from dataclasses import dataclass

import numpy as np

from casebank.instruments.closing_moves import FillMethod
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import Levels, Lumen
from casebank.instruments.teaching import TEACHING

STEP_MM = 0.1
REMNANT_MM = 3.0  # a medicament that was not washed out lies in the last of the canal: a teaching choice


@dataclass(frozen=True)
class Beside:
    """What lies round a cone when a canal is filled: sealer down to a depth, moisture, rest of a medicament."""

    sealer_to_mm: float = np.inf
    dry: bool = True
    clean: bool = True


@dataclass(frozen=True, eq=False)
class Packed:
    """A filling from its coronal to its apical end: depths below the orifice, its width and the canal's, shape (n,)."""

    depths_mm: Levels
    width_mm: Levels
    lumen_mm: Levels

    @property
    def dense_share(self) -> float:
        """Share of the canal's volume along the filling that the filling takes, 0 to 1."""
        return float(np.trapezoid(self.width_mm**2, self.depths_mm) / np.trapezoid(self.lumen_mm**2, self.depths_mm))


def packed(
    lumen: Lumen, point: Instrument, tip_mm: float, method: FillMethod, beside: Beside, *, top_mm: float = 0.0
) -> Packed | None:
    """The filling round a cone whose tip lies at a depth; none where it would be too short to be one."""
    end_mm = flows_to_mm(lumen, tip_mm, method)
    if end_mm < top_mm + TEACHING.shortest_fill_mm:
        return None
    depths = np.linspace(top_mm, end_mm, int(np.ceil((end_mm - top_mm) / STEP_MM)) + 1)
    width = _width_mm(lumen, point, tip_mm, depths, method, beside)
    room = np.interp(depths, lumen.shape.levels_mm, lumen.width_mm)
    beyond = depths > lumen.shape.length_mm  # no canal there that could stay open
    return Packed(depths, width, np.where(beyond, width, np.maximum(room, width)))


def flows_to_mm(lumen: Lumen, tip_mm: float, method: FillMethod) -> float:
    """Where softened filling stops beyond the cone: at a foramen that holds it, or past a torn one; cold it stays."""
    torn = lumen.width_mm[-1] > TEACHING.foramen_torn * lumen.shape.width_mm[-1]
    most_mm = np.inf if torn else max(tip_mm, lumen.shape.length_mm)
    blocked = lumen.packed_mm3 > TEACHING.mud_share * lumen.cell_mm3
    ahead = np.flatnonzero(blocked & (lumen.shape.levels_mm > tip_mm))
    if ahead.size:
        most_mm = min(most_mm, float(lumen.shape.levels_mm[ahead[0]]))
    flow_mm = {"warm vertical": TEACHING.warm_flow_mm, "carrier": TEACHING.carrier_flow_mm}.get(method, 0.0)
    return float(min(tip_mm + flow_mm, most_mm))


def _width_mm(
    lumen: Lumen, point: Instrument, tip_mm: float, depths: Levels, method: FillMethod, beside: Beside
) -> Levels:
    """Width of the filling at depths: the whole lumen where it was packed, elsewhere the cone with its sealer."""
    levels, beyond = lumen.shape.levels_mm, depths > lumen.shape.length_mm
    room = np.interp(depths, levels, lumen.width_mm)
    from_tip = tip_mm - depths
    core = np.where(from_tip >= 0, point.diameters_mm(from_tip), point.tip_mm)
    sealer = (depths <= beside.sealer_to_mm + TEACHING.sealer_carried_mm) & beside.dry & ~beyond
    alone = np.where(beyond, core, np.minimum(core + 2 * TEACHING.sealer_mm * sealer, room))  # past it the cone is bare
    open_share = TEACHING.fill_void_share * ((not beside.dry) + (~sealer & beside.dry))
    dense = np.where(open_share > 0, np.maximum(np.minimum(core, room), room * np.sqrt(1 - open_share)), room)
    is_packed = np.full(depths.shape, method != "single cone with sealer")
    if method == "cold lateral":
        is_packed = from_tip >= TEACHING.spreader_short_mm
    chips = np.interp(depths, levels, (lumen.loose_mm3 + lumen.packed_mm3) / lumen.cell_mm3) > TEACHING.fill_chips_share
    if not beside.clean:
        chips = chips | (depths > lumen.shape.working_depth_mm - REMNANT_MM)
    return np.where(chips & ~beyond, np.minimum(core, room), np.where(is_packed & ~beyond, dense, alone))
