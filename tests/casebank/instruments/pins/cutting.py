"""Pins of what an instrument cuts: widening, brushing, and which wall it takes it from."""

from casebank.instruments import CoronalFlare, EngineFile, HandFile
from casebank.instruments.cutting import brush, widen
from casebank.instruments.enginework import shape_with_engine
from casebank.instruments.fitting import fit_cone, gauge
from casebank.instruments.handwork import work
from casebank.instruments.iso3630 import hand_file
from casebank.instruments.mechanics import side_force_n
from casebank.instruments.moves import FitCone, Gauge
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.pins.canals import RADII_MM, arc, wet
from tests.casebank.instruments.places import RINSE, TIGHT

SIZES = (25, 35)


def a_file_is_loose_after_the_third_to_fifth_stroke() -> bool:
    """Common practice, no source: a few strokes at length make a file loose, one or two do not."""
    found = []
    for size in SIZES:
        lumen = wet(straight(size / 100 - 0.01, 0.02))
        holds = [work(lumen, HandFile(size, 20.0, strokes)).reach.hold for strokes in (2, 5)]
        found.append(holds == ["snug", "loose"])
    return all(found)


def a_file_worked_loose_still_holds_the_next_larger_and_a_cone_of_its_size() -> bool:
    """The gauge is snug, the next larger stops 1 to 2 mm short, the next smaller is loose."""
    found = []
    for size in SIZES:
        lumen = work(wet(straight(size / 100 - 0.01, 0.02)), HandFile(size, 20.0, 12)).lumen
        smaller, same, larger = (gauge(lumen, Gauge(each, 20.0)).reach for each in (size - 5, size, size + 5))
        found.append((smaller.hold, same.hold, larger.hold) == ("loose", "snug", "short") and 1 <= larger.short_mm <= 2)
    return all(found)


def a_cone_of_the_last_size_holds_and_the_next_smaller_does_not() -> bool:
    """Clearance of a file worked loose, 0.02 mm, is still snug; a whole size step, 0.05 mm, is not."""
    found = []
    for size in SIZES:
        lumen = work(wet(straight(size / 100 - 0.01, 0.02)), HandFile(size, 20.0, 12)).lumen
        even = straight(size / 100, 0.02)
        same = fit_cone(lumen, FitCone(size, 0.02, 20.0, gauged=True)).reach.hold
        smaller = fit_cone(even, FitCone(size - 5, 0.02, 20.0, gauged=True)).reach.hold
        found.append((same, smaller) == ("snug", "loose"))
    return all(found)


def a_flare_frees_a_gripped_10_and_four_wrong_strokes_do_not_thin_the_wall() -> bool:
    """A 10 goes 1 mm deeper after four strokes; as many towards the furcation leave 0.5 mm of wall."""
    found = []
    for place in TIGHT.values():
        start = (RINSE, place.scout(10, 3, 0.0))
        before = place.last(*start).reach.slides_mm
        flared = place.lumen(*start, RINSE, CoronalFlare(4.0, 4))
        wrong = place.lumen(*start, RINSE, CoronalFlare(4.0, 4, "toward"))
        after = flared.shape.length_mm if before > flared.shape.length_mm - 1 else before + 1
        freed = work(flared, place.scout(10, 1, 0.0)).reach.slides_mm
        found.append(freed >= after and float(wrong.furcation_mm[:40].min()) >= 0.45)
    return all(found)


def four_strokes_of_the_flare_open_an_orifice_by_two_to_five_sizes() -> bool:
    """Four strokes open an orifice by 0.10 to 0.25 mm: two to five size steps."""
    opened = []
    for lumen in (straight(0.20, 0.02), arc(8.0)):
        after, _ = brush(lumen, 4.0, 4.0, "away")
        opened.append(float(after.width_mm[0] - lumen.width_mm[0]))
    return all(0.10 <= each <= 0.25 for each in opened)


def a_brushed_pass_takes_about_what_a_stroke_of_the_flare_does() -> bool:
    """Half as much to half as much again, at the orifice."""
    found = []
    for path_mm in (0.20, 0.24):
        lumen = wet(straight(path_mm, 0.04))
        plain, brushed = (
            shape_with_engine(lumen, EngineFile(25, 0.04, 20.0, brush=side)).lumen for side in (None, "away")
        )
        stroke, _ = brush(plain, 12.0, 1.0, "away")
        taken = float(plain.outer_mm[0] - brushed.outer_mm[0]) / float(plain.outer_mm[0] - stroke.outer_mm[0])
        found.append(0.5 <= taken <= 1.5)
    return all(found)


def a_file_leaning_with_one_newton_takes_a_fifth_to_two_fifths_to_one_side() -> bool:
    """The lean of the cut against the force there, in the middle of a bend."""
    halves_n = []
    for radius_mm in RADII_MM:
        lumen, file = arc(radius_mm), hand_file(25)
        force_n = side_force_n(lumen, file, 12.0)[85:96]
        after, _ = widen(lumen, file, 12.0)
        lost = lumen.furcation_mm - after.furcation_mm
        lean = 2 * lost[90] / (after.width_mm[90] - lumen.width_mm[90]) - 1
        halves_n.append(float(force_n.mean()) * (1 / lean - 1))
    return all(0.2 <= 1 / (1 + half_n) <= 0.4 for half_n in halves_n)


def _side_at(radius_mm: float, behind_mm: float) -> float:
    """Furcation wall's share of a cut less the outer wall's, behind a tip at the end of a bend."""
    lumen = arc(radius_mm)
    after, _ = widen(lumen, hand_file(35), 12.0)
    at = round((12.0 - behind_mm) * 10)
    return float((lumen.furcation_mm - after.furcation_mm)[at] - (lumen.outer_mm - after.outer_mm)[at])


def a_file_cuts_outside_the_bend_at_its_tip_and_inside_it_higher_up() -> bool:
    """Straightening (common knowledge, textbooks from memory): outside 1 mm behind the tip, inside 3 mm behind it."""
    return all(_side_at(radius_mm, 1.0) < 0 < _side_at(radius_mm, 3.0) for radius_mm in RADII_MM)


def a_file_bridges_the_beginning_of_a_bend_by_about_a_millimetre() -> bool:
    """0.8 mm before a bend begins it already leans, 1.5 mm before it does not."""
    return all(
        _side_at(radius_mm, 6.0 + 0.8) > 1e-6 and abs(_side_at(radius_mm, 6.0 + 1.5)) < 1e-9 for radius_mm in RADII_MM
    )
