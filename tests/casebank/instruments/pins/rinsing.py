"""Pins of chips, mud and rinsing."""

from dataclasses import replace

import numpy as np

from casebank.instruments import EngineFile, HandFile, Irrigate, Lumen, ReadLength, Recapitulate
from casebank.instruments.debris import rinse, settle
from casebank.instruments.handwork import recapitulate
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import passive_stop_mm
from casebank.instruments.record import Record
from casebank.instruments.unsafe import unsafe_steps
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.pins.canals import arc, wet
from tests.casebank.instruments.places import MOLAR, NARROWED, RINSE, Place

CANALS = (straight(0.30, 0.02), arc(8.0, 0.4))


def a_file_bogs_down_in_a_tight_canal_and_comes_through_on_the_third_or_fourth_pass() -> bool:
    """Common practice, no source: rinsed and recapitulated, a 25/.06 takes three or four passes."""
    return all(3 <= _goes(place) <= 4 for place in NARROWED.values())


def _goes(place: Place) -> int:
    fifteen = HandFile(15, place.working_mm, 6, precurve_per_mm=0.1)
    small = [place.scout(8), RINSE, place.scout(10), RINSE, place.scout(10), ReadLength()]
    bench = place.played(RINSE, *small, RINSE, fifteen, RINSE, fifteen, RINSE)
    for number in range(1, 9):
        bench, step = bench.make(place.canal, EngineFile(25, 0.06, place.working_mm))
        if step.reach.at_length:
            return number
        for move in place.recapitulated():
            bench, _ = bench.make(place.canal, move)
    return 9


def most_chips_come_out_on_the_flutes_of_a_flooded_canal() -> bool:
    """Half to nine tenths; the rest is what irrigation is for (teaching choice)."""
    carried = []
    for lumen in CANALS:
        chips = np.full_like(lumen.width_mm, 0.001)
        after = settle(wet(lumen), hand_file(10), 8.0, chips)
        carried.append(1 - float(after.loose_mm3.sum()) / float(chips.sum()))
    return all(0.5 <= share <= 0.9 for share in carried)


def a_file_pushes_through_a_tenth_of_mud_and_not_through_three_tenths() -> bool:
    """Share of the section, at a level 6 mm down that is as wide as the file there."""
    found = []
    for lumen in (straight(0.25, 0.02), straight(0.35, 0.02)):
        size = round(float(lumen.width_mm[-1]) * 100)
        stops = []
        for share in (0.1, 0.3):
            mud = np.zeros_like(lumen.width_mm)
            mud[60] = share * lumen.cell_mm3[60]
            stops.append(passive_stop_mm(replace(lumen, packed_mm3=mud), hand_file(size), 12.0))
        found.append(stops[0] > 12.0 - 1e-9 > stops[1])
    return all(found)


def a_flooded_canal_is_dry_after_three_to_five_uses() -> bool:
    """Teaching choice: so that irrigating at every change keeps it wet."""
    found = []
    for lumen in CANALS:
        state, uses = wet(lumen), 0
        while state.wet > 0 and uses < 9:
            state, uses = settle(state, hand_file(10), 8.0, np.zeros_like(lumen.width_mm)), uses + 1
        found.append(3 <= uses <= 5)
    return all(found)


def _left_share(lumen: Lumen, ahead_mm: float) -> float:
    """Loose chips left at a depth ahead of a needle at 6 mm after 20 mL."""
    after = rinse(replace(lumen, loose_mm3=np.full_like(lumen.width_mm, 0.001)), 6.0, 20.0)
    return float(after.loose_mm3[60 + round(ahead_mm * 10)]) / 0.001


def irrigant_is_exchanged_for_about_a_millimetre_ahead_of_the_needle() -> bool:
    """Side-vented needles (Boutsioukis, from memory): most of it 0.5 mm ahead, next to nothing 3 mm ahead."""
    return all(_left_share(lumen, 0.5) <= 0.5 and _left_share(lumen, 3.0) >= 0.9 for lumen in CANALS)


def a_stirred_canal_is_rinsed_well_and_not_wholly() -> bool:
    """Where a small file has just stirred, 60 to 90 % goes, however far ahead of the needle."""
    left = [_left_share(replace(lumen, stirred_mm=11.5), 5.0) for lumen in CANALS]
    return all(0.1 <= share <= 0.4 for share in left)


def a_recapitulation_frees_nearly_all_mud() -> bool:
    """Each stroke frees half: 15/16 of it or more, and never the last hundredth."""
    freed = []
    for lumen in CANALS:
        mud = np.where(lumen.shape.levels_mm < 11.0, 0.1 * lumen.cell_mm3, 0.0)
        after = recapitulate(wet(replace(lumen, packed_mm3=mud)), Recapitulate(20.0)).lumen
        freed.append(1 - float(after.packed_mm3.sum()) / float(mud.sum()))
    return all(0.93 <= share <= 0.99 for share in freed)


def a_needle_two_millimetres_from_where_it_binds_is_as_near_as_may_be() -> bool:
    """The rule of the trade (no source): 1.8 mm is too close, 2.2 mm is not."""
    found = []
    for place in MOLAR.values():
        bench = place.played(RINSE)
        lumen, limit_mm = bench.lumen(place.canal), bench.record[0].reach.needle_limit_mm
        for back_mm in (1.8, 2.2):
            move = Irrigate(depth_mm=lumen.reading_of(limit_mm - back_mm))
            steps: Record = place.played(move).record_of(place.canal)
            found.append(any(act.rule == "needle-close" for act in unsafe_steps(steps)))
    return found == [True, False] * len(MOLAR)
