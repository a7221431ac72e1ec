"""Observations of how a canal was worked: each met by a sound treatment, each missed by leaving out one thing."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from casebank.instruments import (
    Bench,
    CoronalFlare,
    EngineFile,
    FilmLength,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    Patency,
    ReadElectronically,
    ReadLength,
    Recapitulate,
    gauge_size,
    observe,
    process,
    replay,
)
from tests.casebank.instruments.canals import FORAMEN_MM, molar
from tests.casebank.instruments.sequences import RINSE, SOUND

MB = [move for canal, move in SOUND if canal == "MB"]


def record(moves):
    return replay(molar(), [("MB", move) for move in moves]).record_of("MB")


def without(drop: Callable[[Move], bool]) -> list[Move]:
    return [move for move in MB if not drop(move)]


def swapped(old: Callable[[Move], bool], new: Move) -> list[Move]:
    return [new if old(move) else move for move in MB]


def stepped(to_mm: float, *sizes: int) -> list[Move]:
    """From a scouted path up through the sizes, rinsed and recapitulated after each of two uses."""
    after = (RINSE, Recapitulate(19.8), RINSE)
    uses = [EngineFile(size, 0.04, to_mm) for size in sizes for _ in range(2)]
    return [RINSE, HandFile(10, 19.8), RINSE, *[each for use in uses for each in (use, *after)]]


def seen(look, moves):
    found = look(record(moves))
    return found.met, found.of


@pytest.mark.parametrize("canal", list(FORAMEN_MM))
def test_a_sound_treatment_is_seen_as_full_in_every_respect(canal):
    observations = observe(replay(molar(), SOUND).record_of(canal))
    assert len(observations) == 11
    assert [each.name for each in observations if not each.is_full] == []


def test_an_untouched_canal_meets_nothing():
    for each in observe(Bench.of(molar()).record_of("MB")):
        assert each.met == 0, each.name
        assert each.of >= 1, each.name


def test_a_canal_only_rinsed_meets_nothing():
    for each in observe(record([RINSE])):
        assert each.met == 0, each.name
        assert each.of >= 1, each.name


def test_an_engine_file_beyond_a_loose_10_is_an_unverified_path():
    assert seen(process.path_verified, [RINSE, EngineFile(20, 0.04, 19.3)]) == (0, 1)


def test_an_engine_file_within_the_scouted_part_is_flaring_and_allowed():
    early = [RINSE, HandFile(10, 15.0), RINSE, EngineFile(30, 0.04, 14.5), RINSE, HandFile(10, 19.8)]
    assert seen(process.path_verified, early) == (1, 1)


def test_a_path_never_taken_to_length_is_not_verified():
    assert seen(process.path_verified, [RINSE, HandFile(10, 15.0)]) == (0, 1)


FILE = EngineFile(20, 0.04, 19.3)
FLARE = CoronalFlare(4.0)


@pytest.mark.parametrize(
    ("moves", "met"),
    [
        pytest.param([RINSE, ReadLength(), FLARE, FILE], 1, id="not re-read"),
        pytest.param([RINSE, FLARE, FILE, ReadLength()], 1, id="only afterwards"),
        pytest.param([RINSE, FLARE, ReadLength(), FILE], 2, id="once, at the right time"),
        pytest.param([RINSE, FLARE, FILE], 0, id="never"),
        pytest.param([RINSE, ReadLength(), FILE, ReadLength()], 2, id="no flare, re-read after shaping"),
    ],
)
def test_length_is_read_before_shaping_and_again_later(moves, met):
    assert seen(process.length_read, moves) == (met, 2)


def test_changes_of_instrument_are_counted_and_repeats_are_not():
    # 10 to flare unrinsed, flare to 10 rinsed, 10 to 10 no change, 10 to 15 rinsed: 2 of 3
    moves = [HandFile(10, 15.0), CoronalFlare(4.0), RINSE, HandFile(10, 19.8), HandFile(10, 19.8), RINSE]
    found = process.irrigated_at_changes(record([*moves, HandFile(15, 19.3)]))
    assert (found.met, found.of) == (2, 3)
    assert "coronal flare" in found.notes[0]


def test_a_rinse_of_nothing_does_not_count():
    moves = [HandFile(10, 15.0), Irrigate(ml=0.0), HandFile(15, 15.0)]
    assert seen(process.irrigated_at_changes, moves) == (0, 1)


def test_each_use_of_a_shaping_file_asks_for_a_small_file_at_length():
    moves = [RINSE, EngineFile(20, 0.04, 19.3), RINSE, Recapitulate(19.8), RINSE, EngineFile(25, 0.04, 19.3)]
    assert seen(process.recapitulated, moves) == (1, 2)
    short = [RINSE, EngineFile(20, 0.04, 19.3), RINSE, Recapitulate(15.0)]
    assert seen(process.recapitulated, short) == (0, 1)


def test_a_gauge_needs_the_next_larger_to_stop_short_at_the_same_length():
    flared = [RINSE, HandFile(10, 15.0), CoronalFlare(4.0), RINSE]
    assert gauge_size(record([*flared, Gauge(20, 19.3), Gauge(25, 19.3)])) == 20
    assert gauge_size(record([*flared, Gauge(25, 19.3), Gauge(20, 19.3)])) == 20
    assert gauge_size(record([*flared, Gauge(20, 19.3)])) is None
    assert gauge_size(record([*flared, Gauge(15, 19.3), Gauge(25, 19.3)])) is None
    assert gauge_size(record([*flared, Gauge(20, 17.0), Gauge(25, 19.3)])) is None
    assert gauge_size(record([RINSE, Gauge(20, 19.3), Gauge(25, 19.3)])) is None


def test_gauges_with_cutting_between_them_do_not_belong_together():
    flared = [RINSE, HandFile(10, 15.0), CoronalFlare(4.0), RINSE]
    assert gauge_size(record([*flared, Gauge(20, 19.3), HandFile(10, 19.8), Gauge(25, 19.3)])) is None


def test_the_gauge_for_the_record_is_that_of_the_unshaped_canal():
    assert gauge_size(record(MB)) == 20
    assert "Gauge 20, then 35" in process.gauged_after_flaring(record(MB)).said
    assert seen(process.gauged_after_flaring, without(lambda move: isinstance(move, Gauge))) == (0, 1)


@pytest.mark.parametrize(
    ("cone", "said"),
    [
        (FitCone(30, 0.04, 19.3), "does not match"),
        (FitCone(35, 0.06, 19.3), "does not match"),
        (FitCone(35, 0.04, 17.0), "prepared length"),
    ],
)
def test_a_cone_must_match_the_last_file_at_the_prepared_length(cone, said):
    found = process.cone_fits(record(swapped(lambda move: isinstance(move, FitCone), cone)))
    assert (found.met, found.of) == (0, 1)
    assert said in found.said


def test_no_cone_is_no_fit():
    assert seen(process.cone_fits, without(lambda move: isinstance(move, FitCone))) == (0, 1)


def test_shaping_far_short_keeps_the_way_but_not_the_length():
    # every shaping file stopped 2 mm coronal to the working length of 19.3 mm; the 10 still passes
    found = process.length_kept(record(stepped(17.3, 20, 25, 30)))
    assert (found.met, found.of) == (1, 2)
    assert "short of working length" in found.notes[0]


def test_the_prepared_end_is_the_apical_files_not_that_of_a_larger_one_used_higher_up():
    moves = [RINSE, HandFile(10, 19.8), RINSE, EngineFile(40, 0.04, 14.0), RINSE, EngineFile(25, 0.04, 19.3)]
    end = record(moves).lumen.terminus
    assert end is not None
    assert end.size == 25
    assert end.at_mm == pytest.approx(10.8, abs=0.2)


def test_a_scouting_file_prepares_nothing():
    assert record([RINSE, HandFile(10, 19.8)]).lumen.terminus is None


def test_working_through_the_foramen_is_seen():
    assert seen(process.foramen_respected, stepped(20.3, 20, 25)) == (0, 1)
    assert seen(process.foramen_respected, [RINSE, HandFile(10, 20.3)]) == (1, 1)


def test_a_torn_foramen_loses_patency_as_it_was():
    found = process.patency_kept(record(stepped(20.3, 20, 25, 30, 35, 40, 45, 50)))
    assert (found.met, found.of) == (0, 1)
    assert "foramen" in found.notes[0]


def test_a_holed_wall_loses_the_axis():
    flares = [CoronalFlare(6.0, 30, "toward")] * 2
    moves = [RINSE, HandFile(10, 19.8), *flares, RINSE, EngineFile(20, 0.04, 19.3)]
    found = process.axis_kept(record(moves))
    assert found.met == 0
    assert any("furcation wall perforated" in note for note in found.notes)


def test_the_walls_left_are_those_of_the_root_less_what_was_cut():
    found = process.walls_left(record(MB))
    assert (found.met, found.of) == (2, 2)
    assert "towards the furcation" in found.said
    assert seen(process.walls_left, [RINSE]) == (0, 2)


def test_a_wall_brushed_away_is_named_with_what_is_left_and_where():
    # 1.45 mm at the orifice: two flares of 30 strokes of 0.04 mm take it all
    found = process.walls_left(record([RINSE, HandFile(10, 19.8), *[CoronalFlare(6.0, 30, "toward")] * 2]))
    assert (found.met, found.of) == (1, 2)
    assert found.notes[0].startswith("Canal MB: 0.00 mm of wall towards the furcation at ")


def test_a_patency_file_counts_as_the_small_file_back_at_length():
    shaped = [RINSE, HandFile(10, 19.8), RINSE, EngineFile(20, 0.04, 19.3), RINSE]
    assert seen(process.recapitulated, [*shaped, Patency(10, 0.5)]) == (1, 1)
    assert seen(process.recapitulated, shaped) == (0, 1)


def test_an_electronic_reading_and_a_film_of_a_file_are_readings_of_length():
    before = [RINSE, HandFile(10, 19.8), ReadElectronically(10), FLARE, RINSE]
    assert seen(process.length_read, [*before, FilmLength(10, 19.3), FILE]) == (2, 2)
    assert seen(process.length_read, [*before, FILE]) == (1, 2)


def labelled(**label):
    """The sound record of MB, its cone held at length as ever, under another label."""
    sound = record(MB)
    *before, last = sound.steps
    return process.cone_fits(replace(sound, steps=(*before, replace(last, move=replace(last.move, **label)))))


def test_of_a_cone_from_the_box_the_fit_decides_and_not_the_label():
    assert labelled(size=30, gauged=True).met == 0
    assert labelled(size=30, gauged=False).met == 1
    loose = record(swapped(lambda move: isinstance(move, FitCone), FitCone(30, 0.04, 19.3, gauged=False)))
    assert process.cone_fits(loose).met == 0
    assert "loose" in process.cone_fits(loose).said


@pytest.mark.parametrize(("size", "suits"), [(20, 0), (25, 1), (35, 1), (40, 1), (45, 0)])
def test_a_prepared_end_suits_that_is_5_to_20_above_the_canals_own_gauge(size, suits):
    """The molar's mesiobuccal canal is 0.20 mm wide at its constriction, so 5 to 20 above its gauge are 25 to 40."""
    sizes = [one for one in (20, 25, 30, 35, 40, 45, 50) if one <= size]
    assert seen(process.size_suits, stepped(19.3, *sizes)) == (suits, 1)
