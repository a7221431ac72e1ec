"""Whole treatments: defensible ones succeed, one fault spoils them. Seeded, so every run sees the same operators."""

import pytest

from casebank.instruments import ReadLength, gauge_size, observe, replay, unsafe_steps
from tests.casebank.instruments.canals import FORAMEN_MM, molar, narrowed_molar
from tests.casebank.instruments.sequences import FAULTS, sound_moves, treated

TOOTH = narrowed_molar()
SEEDS = range(1000, 1034)


def sound(record) -> bool:
    harm = [event for step in record.steps for event in step.events]
    return not harm and not unsafe_steps(record) and all(each.is_full for each in observe(record))


def test_defensible_treatments_succeed_in_every_canal():
    results = [sound(treated(TOOTH, canal, seed)) for canal in FORAMEN_MM for seed in SEEDS]
    assert sum(results) / len(results) >= 0.97


@pytest.mark.parametrize("fault", FAULTS)
def test_one_fault_spoils_a_treatment_of_a_narrowed_canal(fault):
    assert not any(sound(treated(TOOTH, canal, seed, fault)) for canal in ("MB", "ML") for seed in range(3))


@pytest.mark.parametrize("fault", [fault for fault in FAULTS if fault != "skipped sizes"])
def test_a_wide_straight_canal_forgives_skipped_sizes_but_no_other_fault(fault):
    assert not any(sound(treated(TOOTH, "D", seed, fault)) for seed in range(3))


@pytest.mark.parametrize("fault", ["no path", "skipped sizes"])
def test_force_without_a_path_or_steps_does_harm_that_the_canal_keeps(fault):
    for seed in range(3):
        record = treated(TOOTH, "MB", seed, fault)
        assert record.lumen.fragment or record.lumen.ledge_mm is not None


@pytest.mark.parametrize(
    ("canal", "read_mm", "gauges", "files"),
    [
        # 19.8, 19.6 and 19.3 mm to the foramen, less a little slack, as a ruler with half-millimetre marks shows them
        ("MB", 20.0, (20, 25), (20, 25, 30, 35)),
        ("ML", 19.5, (20, 25), (20, 25, 30, 35)),
        ("D", 19.5, (30, 35), (30, 35, 40, 45)),
    ],
)
def test_lengths_set_from_what_was_felt_are_good_enough(canal, read_mm, gauges, files):
    moves = sound_moves(read_mm, gauges, files)
    bench = replay(molar(), [(canal, move) for move in moves])
    reading = next(step for step in bench.record if isinstance(step.move, ReadLength))
    assert reading.felt.at_mm == read_mm
    assert gauge_size(bench.record_of(canal)) == gauges[0]
    assert sound(bench.record_of(canal))
