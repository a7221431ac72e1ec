"""What the trade says of shaping: mud, brushing, gauging, cone, needle.

Each in canals of different teeth. Where no source is named it is common practice, no source.
"""

from dataclasses import replace

import pytest

from casebank.anatomy import Section
from casebank.instruments import (
    SIZES,
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    TrialFit,
    apical_gauge,
    damage,
    gauge_size,
    next_larger,
)
from tests.casebank.instruments.canals import tight_mouthed_molar
from tests.casebank.instruments.places import CURVED, MOLAR, NARROWED, RINSE, SMALL_ENDED, Place
from tests.casebank.instruments.test_trade import each, events_of, path

GAUGED = {**MOLAR, **CURVED, **SMALL_ENDED}


def shaped(place: Place, *sizes: int, taper: float = 0.04):
    """A scouted canal taken up to a size, the way kept open in between."""
    bench = place.played(RINSE, place.scout(10), RINSE, HandFile(15, place.working_mm, 6), RINSE)
    for size in sizes:
        for _ in range(6):
            bench, step = bench.make(place.canal, EngineFile(size, taper, place.working_mm))
            for move in place.recapitulated():
                bench, _ = bench.make(place.canal, move)
            if step.reach.at_length:
                break
        assert step.reach.at_length, size
    return bench


def sizes_for(place: Place) -> tuple[int, ...]:
    """Three steps up from the gauge the canal has by itself."""
    gauge = apical_gauge(place.tooth, place.canal).size
    assert gauge is not None
    return tuple(max(15, gauge) + more for more in (5, 10, 15))


# --- E: mud, irrigation, recapitulation


@each(NARROWED)
def test_rinsing_and_recapitulating_brings_a_file_to_length_where_the_same_passes_dry_pack_mud(place):
    file = EngineFile(25, 0.06, place.working_mm)
    clean, step = place.played(*path(place)).make(place.canal, file)
    passes = 1
    assert "flutes full" in step.felt.words
    assert step.why[0].cause == "chips"
    while not step.reach.at_length and passes < 10:
        for move in place.recapitulated():
            clean, _ = clean.make(place.canal, move)
        clean, step = clean.make(place.canal, file)
        passes += 1
    assert step.reach.at_length
    dry = place.played(*path(place), *[file] * (passes + 3))
    assert not dry.record[-1].reach.at_length
    assert dry.lumen(place.canal).packed_mm3.sum() > 5 * clean.lumen(place.canal).packed_mm3.sum()


@each(NARROWED)
def test_after_mud_was_packed_a_10_no_longer_goes_where_it_went(place):
    packed = [EngineFile(25, 0.06, place.working_mm)] * 8
    before, after = (place.last(*path(place), *more, HandFile(10, place.foramen_mm, 1)) for more in ([], packed))
    assert before.reach.at_length
    assert not after.reach.at_length


# --- F: brushing


BRUSHED = {name: CURVED[name] for name in ("lower molar MB", "drawn 46 MB")}


@each(BRUSHED)
def test_a_file_brushed_on_its_first_pass_goes_deeper_on_its_second(place):
    def second(brush):
        file = EngineFile(30, 0.06, place.working_mm, brush=brush)
        start = [RINSE, place.scout(10), RINSE, HandFile(15, place.working_mm, 6), RINSE]
        again = EngineFile(30, 0.06, place.working_mm)
        return place.last(*start, file, *place.recapitulated(), again).reach.tip_mm

    assert second("away") > second(None) + 0.05


@each(CURVED)
def test_brushing_moves_the_axis_to_the_brushed_side_and_the_wrong_way_thins_and_holes_the_furcation_wall(place):
    def brushed(side):
        flare = CoronalFlare(6.0, 30, side)
        return place.played(RINSE, place.scout(10), RINSE, flare, RINSE, flare)

    away, toward = brushed("away"), brushed("toward")
    level = 20  # 2 mm below the orifice, inside the brushed part
    ways = [(bench.lumen(place.canal).furcation_mm, bench.lumen(place.canal).outer_mm) for bench in (away, toward)]
    moved = [(furcation[level] - outer[level]) / 2 for furcation, outer in ways]
    assert moved[0] > moved[1] + 0.5
    assert ways[1][0][level] < ways[0][0][level] - 0.1
    assert {damage.FURCATION_HOLED, damage.BRUSHED_TOWARD} <= set(events_of(toward))


@each({"lower molar D": MOLAR["lower molar D"], "map-engraver MB1": CURVED["map-engraver MB1"]})
def test_one_wrong_way_stroke_is_named_even_where_the_wall_forgives_it(place):
    assert place.last(RINSE, place.scout(10), RINSE, CoronalFlare(3.0, 1, "toward")).events == (damage.BRUSHED_TOWARD,)


# --- G: gauging


@each({**MOLAR, **CURVED})
def test_the_gauge_is_the_largest_size_at_length_with_the_next_larger_short(place):
    # the natural narrowest width at working length is the closed form: the tip goes where the canal is as wide as it is
    gauge = apical_gauge(place.tooth, place.canal).size
    larger = next_larger(gauge)
    lumen = place.lumen()
    within = lumen.width_mm[40 : lumen.count_to(lumen.shape.working_depth_mm)]  # below the flare, 4 mm deep
    assert gauge / 100 <= within.min() + 0.004 < larger / 100 + 0.004
    start = [RINSE, place.scout(10), RINSE, CoronalFlare(4.0, 8), RINSE]
    tried = [size for size in SIZES if 15 <= size <= larger]
    bench = place.played(*start, *[Gauge(size, place.working_mm) for size in tried])
    holds = [step.reach.at_length for step in bench.record[-len(tried) :]]
    assert holds == [size <= gauge for size in tried]
    assert gauge_size(bench.record_of(place.canal)) == gauge


@each(GAUGED)
def test_the_prepared_canal_gauges_at_the_last_file_and_loose_means_the_next_size(place):
    sizes = sizes_for(place)
    bench = shaped(place, *sizes)
    for size in (sizes[-2], sizes[-1], sizes[-1] + 5):
        bench, _ = bench.make(place.canal, Gauge(size, place.working_mm))
    assert [step.reach.hold for step in bench.record[-3:]] == ["loose", "snug", "short"]


def test_a_gauge_before_the_flare_reads_too_small():
    # Wu 2002, Pecora 2005: the first file to bind under-reads until the coronal part is opened
    place = Place(tight_mouthed_molar(), "MB")
    start = [RINSE, place.scout(10)]
    assert place.last(*start, Gauge(20, place.working_mm)).reach.short_mm > 2.0
    assert place.last(*start, CoronalFlare(4.0), RINSE, Gauge(20, place.working_mm)).reach.at_length


@each({name: MOLAR[name] for name in ("lower molar MB", "lower molar D")})
def test_a_gauge_feels_the_narrow_side_only_so_an_oval_section_must_be_weighed_besides(place):
    canal = place.tooth.canal(place.canal)
    narrow_mm = canal.constriction.narrow_mm
    gauges = []
    for wide_mm in (narrow_mm, canal.constriction.wide_mm + 0.1):
        end = replace(canal, constriction=Section(narrow_mm, wide_mm))
        canals = tuple(end if each.name == canal.name else each for each in place.tooth.canals)
        other = Place(replace(place.tooth, canals=canals), place.canal)
        start = [RINSE, place.scout(10), RINSE, CoronalFlare(4.0, 8), RINSE]
        bench = other.played(*start, *[Gauge(size, place.working_mm) for size in (15, 20, 25, 30, 35)])
        gauges.append(gauge_size(bench.record_of(place.canal)))
    assert gauges[0] == gauges[1] == apical_gauge(place.tooth, place.canal).size


# --- H: cone and trial instrument


@each(GAUGED)
@pytest.mark.parametrize("tried", [FitCone, TrialFit], ids=["cone", "trial instrument"])
def test_a_cone_or_trial_instrument_of_the_last_file_holds_a_larger_stops_short_a_smaller_is_loose(place, tried):
    sizes = sizes_for(place)
    bench, last = shaped(place, *sizes), sizes[-1]
    fits = [bench.make(place.canal, tried(size, 0.04, place.working_mm))[1] for size in (last, last + 5, last - 5)]
    assert [step.reach.hold for step in fits] == ["snug", "short", "loose"]
    # 0.05 mm thicker in a canal of the same taper that is 0.005 to 0.02 mm wider than its file: (0.05 - 0.005) / 0.04
    assert 0.7 <= fits[1].reach.short_mm <= 1.3


# --- the needle


def test_a_needle_goes_deeper_in_a_shaped_canal():
    # 0.31 mm binds in MB as built where 0.5 - 0.3 s / 10.8 = 0.31, s = 6.84; safe is 2 mm coronal to it
    place = MOLAR["lower molar MB"]
    before = place.last(RINSE)
    assert before.reach.needle_limit_mm == pytest.approx(6.84, abs=0.01)
    assert before.reach.tip_mm == pytest.approx(4.84, abs=0.01)
    after = shaped(place, 20, 25, 30, 35).make("MB", RINSE)[1]
    assert after.reach.tip_mm > before.reach.tip_mm + 3.0


@each(CURVED)
def test_irrigation_asks_for_more_than_the_gauge(place):
    # a 0.31 mm needle (30 G, ISO 9626 from memory) binds far from the end in a canal prepared to its gauge only
    sizes = sizes_for(place)
    narrow, wide = (shaped(place, *sizes[:count]).make(place.canal, RINSE)[1] for count in (1, 3))
    assert wide.reach.needle_limit_mm > narrow.reach.needle_limit_mm + 1.0


@each(CURVED)
def test_a_needle_pushed_to_where_it_binds_forces_the_irrigant(place):
    step = place.last(replace(Irrigate(), depth_mm=place.working_mm))
    assert "needle tight" in step.felt.words
    assert step.events == (damage.IRRIGANT_FORCED,)
