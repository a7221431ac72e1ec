"""Time in the chair: minutes of moves added up by hand."""

from typing import get_args

import pytest

from casebank.instruments import Bench, EngineFile, FilmLength, Gauge, HandFile, Irrigate, Move, replay
from casebank.instruments.chair_time import COSTS, FILM, chair_time, parsed
from tests.casebank.instruments.canals import molar, narrowed_molar


def test_every_kind_of_move_has_its_minutes_and_nothing_else_has():
    kinds = {move.__dataclass_fields__["kind"].default for move in get_args(Move)}
    assert set(COSTS) == kinds


def test_minutes_add_up_by_kind():
    # rinse of 2 mL: 0.25 + 2 x 0.25, twice; file 1; two passes: 0.5 + 2 x 0.5; gauge 0.5; film 3
    moves = [Irrigate(), HandFile(10, 19.8), Irrigate(), EngineFile(20, 0.04, 15.0, 2), Gauge(20, 15.0)]
    bench = replay(molar(), [("MB", move) for move in (*moves, FilmLength(10, 19.0))])
    time = chair_time(bench.record, films=2, finding_minutes=4.5)
    assert time.by_kind == {"irrigate": 1.5, "hand_file": 1.0, "engine_file": 1.5, "gauge": 0.5, "film_length": 3.0}
    assert time.films == 2 * FILM.minutes == 6.0
    assert time.minutes == pytest.approx(7.5 + 6.0 + 4.5)


def test_nothing_done_takes_no_time():
    assert chair_time(Bench.of(molar()).record).minutes == 0


def test_a_refused_move_takes_no_time():
    forced = [EngineFile(25, 0.06, 19.3, push="firm")] * 6
    before = replay(narrowed_molar(), [("MB", move) for move in (Irrigate(), *forced)])
    assert before.lumen("MB").fragment
    after, _ = before.make("MB", HandFile(10, 15.0))
    assert chair_time(after.record).minutes == chair_time(before.record).minutes


@pytest.mark.parametrize(("films", "minutes"), [(-1, 0.0), (0, -1.0), (0, float("nan"))])
def test_counts_below_nothing_are_refused(films, minutes):
    with pytest.raises(ValueError, match="counted from 0"):
        chair_time((), films=films, finding_minutes=minutes)


@pytest.mark.parametrize("entry", [{"minutes": -1.0, "meaning": ""}, {"minutes": 1.0}, {"minutes": 1.0, "cost": 2}])
def test_a_malformed_entry_is_named(entry):
    with pytest.raises(ValueError, match="chair time of gauge"):
        parsed({"film": {"minutes": 3.0, "meaning": "film"}, "move": {"gauge": entry}})
