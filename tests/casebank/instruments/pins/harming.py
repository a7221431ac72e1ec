"""Pins of harm: ledges, torsion, fatigue, fragments, thin walls, a widened foramen."""

from dataclasses import replace

import numpy as np

from casebank.instruments import EngineFile, HandFile, Lumen, damage
from casebank.instruments.cutting import brush
from casebank.instruments.damage import harm_between, notched
from casebank.instruments.enginework import shape_with_engine
from casebank.instruments.iso3630 import Instrument
from casebank.instruments.lumen import shape_of, untouched
from tests.casebank.instruments.canals import bent, straight
from tests.casebank.instruments.pins.canals import RADII_MM, arc, wet
from tests.casebank.instruments.places import BUNDLED, CURVED, MOLAR, NARROWED, RINSE


def forcing_a_30_round_a_bend_makes_a_ledge_and_a_light_25_does_not() -> bool:
    """Common practice, no source: twelve firm strokes of a 30 against as many light ones of a 25."""
    found = []
    for place in NARROWED.values():
        start = (RINSE, place.scout(10, 3, 0.0), RINSE)
        forced = place.lumen(*start, HandFile(30, place.working_mm, 12, "firm"))
        light = place.lumen(*start, HandFile(25, place.working_mm, 12))
        found.append(forced.ledge_mm is not None and light.ledge_mm is None)
    return all(found)


def notches_a_third_of_a_millimetre_apart_are_one_and_four_fifths_apart_two() -> bool:
    """A dent is about as long as the tip that made it."""
    counts = []
    for radius_mm in RADII_MM:
        for apart_mm in (0.3, 0.8):
            lumen, _ = notched(arc(radius_mm), Instrument(40), 9.0, 2.0)
            lumen, _ = notched(lumen, Instrument(40), 9.0 + apart_mm, 2.0)
            counts.append(len(lumen.notches))
    return counts == [1, 2, 1, 2]


def _passes(lumen: Lumen, move: EngineFile, most: int = 12) -> list[tuple[str, ...]]:
    """Events of pass after pass, until the file separates."""
    events: list[tuple[str, ...]] = []
    while len(events) < most and not lumen.fragment:
        outcome = shape_with_engine(lumen, move)
        lumen = wet(outcome.lumen)
        events.append(outcome.events)
    return events


def _held(size: int, push: str, most: int = 12) -> list[list[tuple[str, ...]]]:
    """Passes of an engine file whose tip is held in straight canals too narrow for it."""
    tip_mm = size / 100
    canals = [wet(straight(share * tip_mm, 0.12)) for share in (0.2, 0.3)]
    return [_passes(lumen, EngineFile(size, 0.02, 20.0, push=push), most) for lumen in canals]  # type: ignore[arg-type]


def a_thin_file_held_at_its_tip_separates_on_the_second_light_pass() -> bool:
    """8 F / (π τ k³ D0²) of a 15 under a light push is 0.75, and 0.57 of its life: twice is too much."""
    return all(len(passes) == 2 and damage.SEPARATED in passes[-1] for passes in _held(15, "light"))


def a_25_forced_at_its_tip_separates_on_the_second_or_third_pass() -> bool:
    """Its share of strength under a firm push is 0.68, and 0.46 of its life."""
    return all(len(passes) in (2, 3) and damage.SEPARATED in passes[-1] for passes in _held(25, "firm"))


def an_instrument_shows_its_stress_before_it_separates_and_not_from_the_start() -> bool:
    """A 20 held lightly uses 0.18 of its life a pass: it shows from the third to the fifth, and goes on the sixth."""
    found = []
    for passes in _held(20, "light"):
        shown = [number for number, events in enumerate(passes, start=1) if damage.STRESSED in events]
        found.append(len(passes) == 6 and bool(shown) and 3 <= shown[0] <= 5)
    return all(found)


def a_file_turning_in_a_sharp_bend_lasts_for_ten_to_forty_passes() -> bool:
    """d/2R of 0.06 at the start of a bend of 5 mm: a few hundred turns, fewer with strain (Pruett et al. 1997)."""
    found = []
    for radius_mm, width_mm in ((5.0, 0.9), (5.5, 0.9)):
        lumen = wet(arc(radius_mm, width_mm))
        once = shape_with_engine(lumen, EngineFile(25, 0.06, 20.0)).lumen
        found.append(1 / 40 <= dict(once.life)["25/.06"] <= 1 / 10)
    return all(found)


def a_pass_turns_for_two_to_five_seconds() -> bool:
    """At 300 a minute (common practice, no source): 10 to 25 turns, as the reason for its wear says."""
    turns = []
    for place in CURVED.values():
        why = place.last(RINSE, place.scout(10), RINSE, EngineFile(20, 0.04, place.working_mm)).why
        turns += [number.value for each in why for number in each.numbers if number.symbol == "n"]
    return len(turns) == len(CURVED) and all(10 <= each <= 25 for each in turns)


def a_piece_two_to_four_millimetres_long_separates() -> bool:
    """Pieces left behind are a few millimetres long (common practice, no source)."""
    lengths_mm = []
    for share in (0.2, 0.3):
        lumen = wet(straight(share * 0.15, 0.12))
        step = shape_with_engine(lumen, EngineFile(15, 0.02, 20.0, push="firm"))
        if step.lumen.fragment:
            lengths_mm.append(step.reach.tip_mm - step.lumen.fragment.top_mm)
    return len(lengths_mm) == 2 and all(2 <= length_mm <= 4 for length_mm in lengths_mm)


def a_wall_is_called_thin_when_a_third_of_a_millimetre_is_gone_below() -> bool:
    """0.3 mm (Lim and Stock 1987, from memory): 0.35 mm is not named, 0.25 mm is."""
    named = []
    for side in ("away", "toward"):
        for wall_mm in (0.55, 0.45):
            lumen = bent(np.full(121, 0.3), np.zeros(121), wall_mm=wall_mm)
            after, _ = brush(lumen, 4.0, 5.0, side)  # type: ignore[arg-type]  # 0.2 mm at the orifice
            named.append(bool(harm_between(lumen, after)))
    return named == [False, True, False, True]


def walls_are_watched_where_the_root_is_still_a_root() -> bool:
    """Roots taper to nothing round the foramen; 3 mm above it a hole is named, and no natural canal is near thin."""
    found = []
    for place in MOLAR.values():
        lumen = place.lumen()
        at = lumen.count_to(lumen.shape.length_mm - 3.0) - 1
        wall = lumen.outer_mm.copy()
        wall[at] = -0.01
        found.append(damage.OUTER_HOLED in harm_between(lumen, replace(lumen, outer_mm=wall)))
    for tooth in BUNDLED.values():
        for canal in tooth.canals:
            lumen = untouched(shape_of(tooth, canal.name))
            doomed = replace(lumen, furcation_mm=lumen.furcation_mm - 0.35, outer_mm=lumen.outer_mm - 0.35)
            found.append(not set(harm_between(lumen, doomed)) & set(damage.PERFORATIONS))
    return all(found)


def _foramen(ratio: float) -> list[tuple[str, ...]]:
    """What is said of a foramen so many times as wide as it was, in every canal of the lower molar."""
    said = []
    for place in MOLAR.values():
        lumen = place.lumen()
        width = lumen.width_mm.copy()
        width[-1] *= ratio
        said.append(harm_between(lumen, replace(lumen, width_mm=width)))
    return said


def a_foramen_a_twentieth_wider_is_as_it_was_and_a_sixth_wider_is_not() -> bool:
    """A 10 passing leaves it; a 45 half a millimetre through, 0.47 mm against 0.40, does not."""
    return not any(_foramen(1.05)) and all(damage.FORAMEN_WIDENED in said for said in _foramen(0.47 / 0.40))


def a_foramen_a_sixth_wider_is_not_torn_and_a_third_wider_is() -> bool:
    """A 50 half a millimetre through, 0.52 mm against 0.40."""
    torn = [[damage.FORAMEN_TORN in said for said in _foramen(ratio)] for ratio in (0.47 / 0.40, 0.52 / 0.40)]
    return not any(torn[0]) and all(torn[1])
