"""Whole treatments: defensible ones succeed, one fault spoils them. Seeded, so every run sees the same operators."""

from functools import lru_cache

import pytest

from casebank.instruments import CoronalFlare, EngineFile, HandFile, ReadLength, Recapitulate, gauge_size, replay
from fixtures.operators import FAULTS, bend_deg, treated
from fixtures.sequences import CURVED_DEG, Ending, bundled_teeth, judged, rates, table, tooth_of
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.sequences import RINSE, sound_moves

DRAWN = ("11/1", "14/1", "16/1", "26/2", "36/2", "37/1", "45/2", "46/2")
HARMFUL = ("no path", "no irrigation", "skipped sizes", "brushed toward", "forced", "through the foramen")


@lru_cache(maxsize=1)
def teeth():
    return {**bundled_teeth(), **{name: tooth_of(name) for name in DRAWN}}


@lru_cache(maxsize=1)
def defensible() -> dict[str, list[Ending]]:
    seeds = {name: range(2) if name in DRAWN else range(8) for name in teeth()}
    return {
        name: [ending for rate in rates(tooth, (None,), seeds[name]) for ending in rate.endings]
        for name, tooth in teeth().items()
    }


@lru_cache(maxsize=16)
def faulty(fault: str) -> list[Ending]:
    found = [rates(tooth, (fault,), range(2), least_bend_deg=CURVED_DEG) for tooth in teeth().values()]
    return [ending for each in found for rate in each for ending in rate.endings]


def test_of_defensible_sequences_97_in_100_succeed_in_bundled_and_drawn_teeth():
    for names in (bundled_teeth(), DRAWN):
        endings = [ending for name in names for ending in defensible()[name]]
        assert len(endings) >= 40
        assert sum(ending.is_success for ending in endings) / len(endings) >= 0.97


def test_of_defensible_sequences_97_in_100_leave_nothing_to_point_at():
    endings = [ending for each in defensible().values() for ending in each]
    assert sum(ending.is_clean for ending in endings) / len(endings) >= 0.97


@pytest.mark.parametrize("fault", FAULTS)
def test_of_each_faulty_kind_20_in_100_at_most_end_clean_in_curved_canals(fault):
    endings = faulty(fault)
    assert len(endings) >= 20
    assert sum(ending.is_clean for ending in endings) / len(endings) <= 0.20


@pytest.mark.parametrize("fault", HARMFUL)
def test_of_a_harmful_kind_20_in_100_at_most_succeed_whatever_is_named(fault):
    endings = faulty(fault)
    assert sum(ending.is_success for ending in endings) / len(endings) <= 0.20


def test_operators_of_one_seed_do_the_same_and_those_of_others_do_not():
    one, again, other = (treated(molar(), "MB", seed) for seed in (1, 1, 2))
    moves = [[step.move for step in record.steps] for record in (one, again, other)]
    assert moves[0] == moves[1] != moves[2]


def test_operators_vary_order_and_sizes():
    moves = [[step.move for step in treated(molar(), "MB", seed).steps] for seed in range(12)]
    last = {next(move.size for move in reversed(each) if isinstance(move, EngineFile)) for each in moves}
    flared_at = {next(at for at, move in enumerate(each) if isinstance(move, CoronalFlare)) for each in moves}
    assert len(last) >= 2
    assert len(flared_at) >= 2
    assert len({len(each) for each in moves}) >= 4


def test_each_fault_is_in_the_moves_it_is_named_for():
    moves = {fault: [step.move for step in treated(narrowed_molar(), "MB", 3, fault).steps] for fault in FAULTS}
    assert not [move for move in moves["no irrigation"] if move.kind == "irrigate" and move.ml]
    assert not [move for move in moves["no recapitulation"] if isinstance(move, Recapitulate)]
    assert not [move for move in moves["no length"] if isinstance(move, ReadLength)]
    assert {move.brush for move in moves["brushed toward"] if isinstance(move, CoronalFlare)} == {"toward"}
    assert [move for move in moves["forced"] if isinstance(move, HandFile) and move.push == "firm"]
    assert {move.solution for move in moves["mixed solutions"] if move.kind == "irrigate"} >= {"chlorhexidine"}
    assert min(move.size for move in moves["skipped sizes"] if isinstance(move, EngineFile) and move.size > 15) >= 40


@pytest.mark.parametrize("fault", [None, *FAULTS])
def test_an_operator_makes_no_move_after_a_separation(fault):
    record = treated(narrowed_molar(), "MB", 5, fault)
    assert "refused" not in [step.reach.hold for step in record.steps]


def test_a_fault_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="no fault 'haste': take one of no path"):
        treated(molar(), "MB", 1, "haste")


@pytest.mark.parametrize("name", ["no such case", "36", "36/x"])
def test_a_case_nobody_knows_is_refused(name):
    with pytest.raises(ValueError, match="give one of bread-biter"):
        tooth_of(name)


def test_the_table_says_how_often_and_why_not():
    found = list(rates(narrowed_molar(), (None, "brushed toward"), range(2)))
    lines = table(found).splitlines()
    assert len(lines) == 1 + 2 * 3
    assert [line.split()[:2] for line in lines[1:4]] == [["defensible", canal] for canal in ("MB", "ML", "D")]
    assert lines[1].split()[3:5] == ["2/2", "2/2"]
    assert "0/2" in lines[4]


def test_the_bend_of_a_canal_is_schneiders():
    # MB of the lower molar is straight and then turns 36 degrees: the secant of an arc turns half as far
    assert bend_deg(molar(), "MB") == pytest.approx(18.0, abs=0.05)


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
    assert judged(bench.record_of(canal)).is_clean


def test_an_untouched_canal_has_not_ended_well():
    ending = judged(replay(molar(), [("MB", RINSE)]).record_of("MB"))
    assert "length not kept" in ending.spoilt
    assert not ending.is_success
