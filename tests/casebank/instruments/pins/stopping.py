"""Pins of what lets an instrument go deeper: its stiffness, friction, bite, tip and push."""

import math

import numpy as np

from casebank.instruments import EngineFile, HandFile, Lumen
from casebank.instruments.enginework import shape_with_engine
from casebank.instruments.iso3630 import Instrument, engine_file, hand_file
from casebank.instruments.mechanics import (
    Grip,
    bending_drag_n,
    drive,
    passive_stop_mm,
    side_force_n,
    worked_stop_mm,
)
from casebank.instruments.teaching import TEACHING
from tests.casebank.instruments.canals import bent, straight
from tests.casebank.instruments.pins.canals import RADII_MM, SPAN_MM, arc, wet
from tests.casebank.instruments.places import BUNDLED, CURVED, NARROWED, RINSE


def the_longest_stop_is_the_longest_instrument() -> bool:
    """ISO 3630-1: usual lengths end at 31 mm, so every canal of the bundled teeth is within reach."""
    canals = [canal for tooth in BUNDLED.values() for canal in tooth.canals]
    try:
        HandFile(10, to_mm=31.0)
    except ValueError:
        return False
    try:
        HandFile(10, to_mm=32.0)
    except ValueError:
        return all(canal.total_mm < TEACHING.longest_mm for canal in canals)
    return False


def _force_over_bend_n(instrument: Instrument, radius_mm: float) -> float:
    """Force 2 mm behind a tip that stands at the end of a bend, times span over four times the bend: E I."""
    return float(side_force_n(arc(radius_mm), instrument, 12.0)[100]) * SPAN_MM * radius_mm / 4


def a_file_is_as_stiff_as_a_triangle() -> bool:
    """An equilateral triangle in a circle of diameter d has sides d √3/2 and I = √3/96 side⁴; within 5 % of it."""
    found = []
    for size, radius_mm in zip((40, 50), RADII_MM, strict=True):
        side_mm = (size / 100 + 0.04) * math.sqrt(3) / 2
        stiff = TEACHING.steel_n_per_mm2 * math.sqrt(3) / 96 * side_mm**4
        found.append(0.95 <= _force_over_bend_n(Instrument(size), radius_mm) / stiff <= 1.05)
    return all(found)


def _modulus(instrument: Instrument, radius_mm: float) -> float:
    across_mm = instrument.diameter_mm(2.0)
    return _force_over_bend_n(instrument, radius_mm) / (math.pi / 64 * (TEACHING.core_share * across_mm) ** 4)


def steel_is_as_stiff_as_handbooks_say() -> bool:
    """190 to 210 GPa for stainless steels (handbooks, from memory)."""
    return all(190e3 <= _modulus(hand_file(40), radius_mm) <= 210e3 for radius_mm in RADII_MM)


def nickel_titanium_leans_a_fifth_to_a_seventh_as_hard() -> bool:
    """28 to 41 GPa while it is martensite (handbooks, from memory), against 200 of steel."""
    engine = [_force_over_bend_n(engine_file(40, 0.02), radius_mm) for radius_mm in RADII_MM]
    hand = [_force_over_bend_n(hand_file(40), radius_mm) for radius_mm in RADII_MM]
    return all(28 / 200 <= one / other <= 41 / 200 for one, other in zip(engine, hand, strict=True))


def friction_drags_as_on_a_bent_beam() -> bool:
    """2 μ times side force over span, summed: 8 E π/64 κ/l² ∫ d⁴; μ 0.10 to 0.20 on wet dentine (from memory)."""
    found = []
    for size, radius_mm in zip((40, 50), RADII_MM, strict=True):
        tip, top = size / 100, size / 100 + 0.02 * SPAN_MM
        fourths = (top**5 - tip**5) / 5 / 0.02
        per_friction = 8 * TEACHING.steel_n_per_mm2 * math.pi / 64 / radius_mm / SPAN_MM**2 * fourths
        drag = bending_drag_n(arc(radius_mm), Instrument(size), 12.0) / TEACHING.core_share**4
        found.append(0.098 <= drag / per_friction <= 0.202)
    return all(found)


def _stroke_mm(lumen: Lumen, size: int) -> float:
    """How far one light stroke takes a file beyond where it stops by itself."""
    start = passive_stop_mm(lumen, hand_file(size), 12.0)
    return worked_stop_mm(lumen, hand_file(size), Grip(1.0), start_mm=start, limit_mm=12.0) - start


def a_file_gripped_along_its_body_advances_about_a_millimetre_a_stroke() -> bool:
    """In a canal that tapers as the file does, the bite over the taper: 0.5 to 1.5 mm (common practice, no source)."""
    return all(0.5 <= _stroke_mm(wet(straight(size / 100 - 0.05, 0.02)), size) <= 1.5 for size in (30, 40))


def a_tip_in_an_even_canal_cuts_about_a_millimetre_ahead_of_its_body() -> bool:
    """In a canal 0.03 mm narrower than the tip, the body grips as soon as the zone behind the tip has passed."""
    return all(
        0.5 <= _stroke_mm(wet(bent(np.full(121, size / 100 - 0.03), np.zeros(121))), size) <= 1.5 for size in (25, 35)
    )


def an_08_passes_where_a_10_does_not() -> bool:
    """Narrowings of 0.066 to 0.069 mm (common practice, no source)."""
    found = []
    for place in NARROWED.values():
        ten = place.last(RINSE, place.scout(10, 12, 0.0)).reach
        eight = place.last(RINSE, place.scout(8, 12), RINSE, place.scout(8, 12)).reach
        found.append(ten.hold == "short" and eight.at_length)
    return all(found)


def a_small_engine_file_follows_a_loose_15_and_a_large_one_does_not() -> bool:
    """A 20 follows the path of a 15, the tip of a 30 does not (common practice, no source)."""
    found = []
    for path_mm in (0.160, 0.170):
        lumen = wet(bent(np.interp(np.arange(121), (0, 90, 95), (0.8, 0.6, path_mm)), np.zeros(121)))
        reaches = [shape_with_engine(lumen, EngineFile(size, 0.02, 20.0)).reach.at_length for size in (20, 30)]
        found.append(reaches == [True, False])
    return all(found)


def _thickest_cutting(push_n: float) -> list[int]:
    """The thickest hand file that still cuts at the ends of curved canals, before anything is widened."""
    found = []
    for place in CURVED.values():
        lumen = wet(place.lumen())
        end_mm, grip = lumen.shape.length_mm, Grip(push_n)
        found.append(
            max(size for size in (15, 20, 25, 30, 35, 40, 45, 50, 55) if drive(lumen, hand_file(size), end_mm, grip))
        )
    return found


def a_light_hand_cuts_round_a_bend_with_a_30_and_not_with_a_40() -> bool:
    """Teaching choice: stiffness stops a thick straight file in a bend of 7 to 10 mm."""
    return all(30 <= size < 40 for size in _thickest_cutting(TEACHING.push_light_n))


def a_firm_hand_cuts_round_a_bend_with_a_40_and_not_with_a_50() -> bool:
    """Teaching choice: force takes a file or two more, which is why it harms."""
    return all(40 <= size < 50 for size in _thickest_cutting(TEACHING.push_firm_n))


def a_precurve_relieves_the_last_millimetres() -> bool:
    """Bent as the canal is, a file leans on nothing 3 mm behind its tip, and leans again 5 mm behind it."""
    found = []
    for radius_mm in RADII_MM:
        force = side_force_n(arc(radius_mm), hand_file(40), 12.0, 1 / radius_mm)
        found.append(force[90] < 1e-9 < force[70])
    return all(found)


def a_small_file_is_bent_as_canals_are() -> bool:
    """The pre-curve of recapitulation lies within the sharpest bends of the curved canals, 6 to 14 mm in radius."""
    bends = [float(place.lumen().shape.bend_per_mm.max()) for place in CURVED.values()]
    return 0.7 * min(bends) <= TEACHING.recapitulation_precurve_per_mm <= max(bends)
