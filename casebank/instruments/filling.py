"""Sealer and filling: a canal closed for good, by one of four classes of method.

Nothing forbids filling a wet canal, without sealer or with a cone never tried; it is done, and it is worse. Length and
density follow from how the cone fits and from what lies beside it.
"""

from dataclasses import replace

import numpy as np

from casebank.instruments import damage
from casebank.instruments.closing_moves import FillCanal, Seal
from casebank.instruments.contents import Fill
from casebank.instruments.felt import Felt, Number, Outcome, Reach, Why, not_entered, read_off, stopped_words
from casebank.instruments.fitting import laid_in, off_label_mm
from casebank.instruments.iso3630 import Instrument, cone
from casebank.instruments.lumen import Lumen
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.packing import Beside, Packed, packed
from casebank.instruments.teaching import TEACHING

SEALER_CARRIER = Instrument(15)  # what carries sealer in, as wide as the hand file of its label: a teaching choice
BEYOND_MM = 0.05


def place_sealer(lumen: Lumen, move: Seal) -> Outcome:
    """Carry sealer in to a depth; set beyond the foramen it is carried through it."""
    goal_mm = lumen.depth_of(move.to_mm)
    if goal_mm <= 0:
        return Outcome(lumen, Felt("sealer: not carried in"), Reach(0.0, max(0.0, goal_mm), 0.0, "not entered"))
    tip_mm = passive_stop_mm(lumen, SEALER_CARRIER, goal_mm)
    at_mm = read_off(lumen, tip_mm)
    words = f"sealer: carried in to {at_mm:.1f} mm" + ("" if lumen.contents.dried else ", it beads on the wet wall")
    after = replace(lumen, contents=replace(lumen.contents, sealer_to_mm=tip_mm))
    through = tip_mm > lumen.shape.length_mm + BEYOND_MM
    reach = Reach(tip_mm, goal_mm - tip_mm, tip_mm, "placed")
    return Outcome(after, Felt(words, at_mm), reach, (), (damage.SEALER_BEYOND,) if through else ())


def fill_canal(lumen: Lumen, move: FillCanal) -> Outcome:
    """Fill a canal with a cone or carrier set to a length."""
    contents, goal_mm = lumen.contents, lumen.depth_of(move.to_mm)
    before = contents.trial if move.method == "carrier" else contents.cone
    tried = before is not None and (before.size, before.taper) == (move.size, move.taper)
    off_mm = before.off_mm if before and tried else off_label_mm(lumen, move.size, move.taper)
    point = cone(move.size, move.taper, off_mm)
    if goal_mm <= 0:
        return not_entered(lumen, point, goal_mm)
    tip_mm, fit = laid_in(lumen, point, goal_mm)
    if fit == "loose" and move.method != "single cone with sealer":
        tip_mm = passive_stop_mm(lumen, point, tip_mm + TEACHING.loose_slip_mm)
    sealed = contents.sealer_to_mm > 0
    beside = Beside(_sealer_mm(lumen), contents.dried, not contents.is_dressed)
    made = packed(lumen, point, tip_mm, move.method, beside)
    if made is None:
        return not_entered(lumen, point, goal_mm)
    end_mm = float(made.depths_mm[-1])
    fill = Fill(
        method=move.method,
        size=move.size,
        taper=move.taper,
        off_mm=off_mm,
        cone_mm=tip_mm,
        end_mm=end_mm,
        foramen_mm=lumen.shape.length_mm,
        dense_share=made.dense_share,
        hold=fit,
        tried=tried,
        dry=contents.dried,
        sealed=sealed,
        clean=beside.clean,
    )
    beyond = end_mm > lumen.shape.length_mm + BEYOND_MM
    after = replace(lumen, contents=replace(contents, fill=fill))
    at_mm = read_off(lumen, tip_mm)
    felt = Felt(f"{move.method}, {point.spoken}: {_words(fill, at_mm, goal_mm - tip_mm, beyond)}", at_mm)
    reach = Reach(tip_mm, goal_mm - tip_mm, tip_mm, fit)
    return Outcome(after, felt, reach, (_why(fill),), (damage.FILLED_BEYOND,) if beyond else ())


def packing_of(lumen: Lumen, *, top_mm: float = 0.0) -> Packed | None:
    """The filling that lies in a canal, from a depth at which it is cut back. ValueError if the canal is not filled."""
    fill = lumen.contents.fill
    if fill is None:
        raise ValueError(f"canal {lumen.shape.name} is not filled: fill it first")
    beside = Beside(_sealer_mm(lumen), fill.dry, fill.clean)
    return packed(lumen, cone(fill.size, fill.taper, fill.off_mm), fill.cone_mm, fill.method, beside, top_mm=top_mm)


def _sealer_mm(lumen: Lumen) -> float:
    """Depth down to which sealer lies; above the orifice where none was carried in."""
    placed_mm = lumen.contents.sealer_to_mm
    return placed_mm if placed_mm > 0 else -np.inf


def _words(fill: Fill, at_mm: float, short_mm: float, beyond: bool) -> str:
    """What the hand meets while it fills: where the cone holds, and what comes up beside it."""
    said = [f"in place at {at_mm:.1f} mm"]
    if fill.hold == "short":
        said = [stopped_words("stops", at_mm, short_mm)]
    if fill.hold == "loose" and fill.method != "single cone with sealer":
        said.append("packing moves it, nothing holds it")
    if beyond:
        said.append("the end gives, nothing resists")
    if not fill.dry:
        said.append("moisture comes up beside it")
    if not fill.sealed:
        said.append("it goes in without sealer")
    if not fill.clean:
        said.append("paste comes up beside it")
    if not fill.tried:
        what = "no trial instrument of this label" if fill.method == "carrier" else "no cone of this label"
        said.append(f"{what} was tried in before")
    return "; ".join(said)


def _why(fill: Fill) -> Why:
    numbers = (
        Number("cone", fill.cone_mm, "mm"),
        Number("off its label", fill.off_mm, "mm"),
        Number("end", fill.end_mm, "mm"),
        Number("dense", fill.dense_share, "share"),
    )
    return Why(fill.end_mm, "filling", "end = cone + flow; dense = filling² / canal², along it", numbers)
