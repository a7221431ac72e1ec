"""What the trade says of the way down: flare, scouting, patency, glide path.

Each in canals of different teeth. Where no source is named it is common practice, no source.
"""

import pytest

from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    Gauge,
    HandFile,
    Patency,
    ReadLength,
    damage,
)
from tests.casebank.instruments.places import CURVED, MOLAR, NARROWED, RINSE, SHUT, SMALL_ENDED, TIGHT, Place


def each(places: dict[str, Place]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("place", places.values(), ids=places)


def path(place):
    """To a loose 15 in a narrowed canal."""
    small = [place.scout(8), RINSE, place.scout(10), RINSE, place.scout(10), ReadLength()]
    fifteen = HandFile(15, place.working_mm, 6, precurve_per_mm=0.1)
    start = [RINSE, place.scout(10, 3, 0.0), CoronalFlare(4.0), RINSE]
    return [*start, *small, RINSE, fifteen, RINSE, fifteen, RINSE]


def events_of(bench):
    return [event for step in bench.record for event in step.events]


# --- A: a coronal flare


@each(SHUT)
def test_a_flare_finds_no_room_where_no_size_10_enters_and_has_it_once_small_files_have_made_it(place):
    step = place.last(RINSE, CoronalFlare(4.0))
    assert "a size 10 must enter first" in step.felt.words
    assert step.after is step.before
    made = [move for size in (10, 15, 20) for move in (RINSE, HandFile(size, place.foramen_mm - 6.0, 8))]
    assert place.last(*made, RINSE, CoronalFlare(4.0)).reach.hold == "brushed"


@each(TIGHT)
def test_a_10_gripped_high_up_goes_deeper_after_a_flare(place):
    start = [RINSE, place.scout(10, 2, 0.0), RINSE]
    assert "grips higher up" in place.played(*start).record[1].felt.words
    plain, flared = (place.last(*start, *more, ReadLength()) for more in ([], [CoronalFlare(4.0), RINSE]))
    assert flared.reach.tip_mm > plain.reach.tip_mm + 0.5


@each(CURVED)
def test_a_flare_brushed_away_spares_the_furcation_wall(place):
    step = place.last(RINSE, place.scout(10), RINSE, CoronalFlare(4.0))
    assert step.before.outer_mm[0] - step.after.outer_mm[0] > 0.1
    assert step.before.furcation_mm[0] == pytest.approx(step.after.furcation_mm[0])


# --- B: an 08 leads a 10; length


@each(NARROWED)
def test_a_10_that_stops_short_lets_an_08_reach_and_then_goes(place):
    bench = place.played(RINSE, place.scout(10, 3, 0.0), CoronalFlare(4.0), RINSE)
    for _ in range(2):
        bench, ten = bench.make(place.canal, place.scout(10))
        assert ten.reach.short_mm > 2.0
    bench, eight = bench.make(place.canal, place.scout(8))
    assert eight.reach.hold == "loose"
    bench, _ = bench.make(place.canal, RINSE)
    bench, ten = bench.make(place.canal, place.scout(10))
    assert ten.reach.hold == "loose"
    bench, reading = bench.make(place.canal, ReadLength())
    assert reading.reach.hold == "read"


@each(NARROWED)
def test_no_length_is_read_while_the_file_stops_short(place):
    step = place.last(RINSE, place.scout(10), ReadLength())
    assert step.reach.hold == "short"
    assert "no steady reading" in step.felt.words


@each(CURVED)
def test_the_length_read_falls_a_little_as_a_curved_canal_is_flared_and_shaped(place):
    def foramen_reads_mm(*moves):
        lumen = place.lumen(RINSE, place.scout(10), RINSE, *moves)
        return lumen.reading_of(lumen.shape.length_mm)

    flare = [EngineFile(30, 0.06, place.working_mm - 2.0), *place.recapitulated()] * 4
    files = [EngineFile(size, 0.04, place.working_mm) for size in (20, 25, 30)]
    shaped = [move for file in files for move in (file, *place.recapitulated())]
    scouted_mm, flared_mm, shaped_mm = (foramen_reads_mm(*moves) for moves in ([], flare, [*flare, *shaped]))
    assert scouted_mm > flared_mm > shaped_mm
    assert 0.03 < scouted_mm - shaped_mm < 0.5


# --- C: patency and the foramen


@each(CURVED)
@pytest.mark.parametrize("size", [8, 10])
def test_a_small_file_taken_half_a_millimetre_through_leaves_the_foramen_as_it_was(place, size):
    natural_mm = place.lumen().width_mm[-1]
    worked = [HandFile(size, place.foramen_mm + 0.5), RINSE]
    bench = place.played(RINSE, place.scout(10), Patency(size), RINSE, *worked * 3)
    assert bench.lumen(place.canal).width_mm[-1] == natural_mm
    assert "slips just through" in bench.record[2].felt.words
    assert "free beyond the canal" in bench.record[-2].felt.words


@each(SMALL_ENDED)
def test_large_files_worked_through_the_foramen_widen_and_then_tear_it(place):
    # 0.7 mm through, a file is 0.03 mm wider at the foramen than its tip; the widest, 0.53 mm, is above 1.25 of 0.40
    bench = place.played(RINSE, place.scout(10))
    for size in (20, 25, 30, 35, 40, 45, 50):
        for _ in range(3):
            for move in (RINSE, EngineFile(size, 0.04, place.foramen_mm + 0.7), *place.recapitulated()):
                bench, _ = bench.make(place.canal, move)
    events = events_of(bench)
    assert events.index(damage.FORAMEN_WIDENED) < events.index(damage.FORAMEN_TORN)


# --- D: the glide path


@each(NARROWED)
def test_after_a_loose_10_a_15_and_a_small_engine_file_follow(place):
    # at least a loose size 10 before engine files: Ajina, Billis and Chong, Eur Endod J 2022; the 15, from memory
    bench = place.played(*path(place))
    assert bench.record[-2].reach.at_length
    assert bench.make(place.canal, EngineFile(20, 0.04, place.working_mm))[1].reach.at_length


@each(NARROWED)
def test_a_loose_10_may_be_followed_by_a_small_engine_file_at_once(place):
    to_a_10 = path(place)[:10]
    small = [EngineFile(15, 0.04, place.working_mm), *place.recapitulated()] * 2
    bench = place.played(*to_a_10, RINSE, *small)
    assert bench.record[-4].reach.at_length
    assert events_of(bench) == []


@each(NARROWED)
def test_forcing_an_engine_file_without_a_path_ends_in_a_ledge_or_a_fracture(place):
    start = [RINSE, place.scout(10, 3, 0.0), CoronalFlare(4.0), RINSE]
    bench = place.played(*start, *[EngineFile(25, 0.06, place.working_mm, push="firm")] * 4)
    assert not any(step.reach.at_length for step in bench.record)
    assert {damage.LEDGE, damage.SEPARATED} & set(events_of(bench))


@each(NARROWED)
def test_an_engine_file_without_a_path_does_not_come_to_length_even_with_a_light_hand(place):
    passes = [EngineFile(25, 0.06, place.working_mm), RINSE] * 4
    bench = place.played(RINSE, place.scout(10, 3, 0.0), CoronalFlare(4.0), RINSE, *passes)
    assert not any(step.reach.at_length for step in bench.record)


@each(NARROWED)
def test_a_stiff_straight_file_forced_into_a_bend_makes_a_ledge(place):
    forced = [HandFile(30, place.working_mm, 12, "firm")] * 3
    bench = place.played(RINSE, place.scout(10, 3, 0.0), RINSE, *forced)
    assert damage.LEDGE in events_of(bench)
    assert "ledge" in bench.record[-1].felt.words


@each({name: MOLAR[name] for name in ("lower molar MB", "lower molar D")})
def test_a_gauge_cuts_nothing(place):
    step = place.last(RINSE, Gauge(25, place.working_mm))
    assert step.after is step.before
