"""What cannot be done is refused in one sentence, and the state is left exactly as it was."""

from types import MappingProxyType
from typing import Annotated

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import Field, TypeAdapter, ValidationError

from casebank.instruments import (
    Bench,
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    Move,
    Patency,
    ReadLength,
    Recapitulate,
    replay,
)
from casebank.instruments.setting import Setting
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.places import BUNDLED
from tests.casebank.instruments.sequences import RINSE

READER: TypeAdapter[Move] = TypeAdapter(Annotated[Move, Field(discriminator="kind")])
MOVES = (
    HandFile(10, 19.0),
    EngineFile(25, 0.04, 19.0),
    CoronalFlare(4.0),
    RINSE,
    Recapitulate(19.0),
    Patency(10),
    ReadLength(),
    Gauge(25, 19.0),
    FitCone(35, 0.04, 19.0),
)


@pytest.mark.parametrize(
    ("document", "said"),
    [
        ({"kind": "hand_file", "size": 12, "to_mm": 19}, "no size 12"),
        ({"kind": "hand_file", "size": -10, "to_mm": 19}, "no size -10"),
        ({"kind": "recapitulate", "size": 12, "to_mm": 19}, "not 12"),
        ({"kind": "engine_file", "size": 22, "taper": 0.04, "to_mm": 19}, "no size 22"),
        ({"kind": "engine_file", "size": 25, "taper": 0.08, "to_mm": 19}, "no taper .08"),
        ({"kind": "fit_cone", "size": 33, "taper": 0.04, "to_mm": 19}, "size 33"),
        ({"kind": "gauge", "size": 12, "to_mm": 19}, "size 12"),
        ({"kind": "hand_file", "size": 10, "to_mm": -0.5}, "length of -0.5 mm cannot be set"),
        ({"kind": "engine_file", "size": 25, "taper": 0.04, "to_mm": -3}, "length of -3.0 mm cannot be set"),
        ({"kind": "irrigate", "depth_mm": -1}, "length of -1.0 mm cannot be set"),
        ({"kind": "coronal_flare", "depth_mm": -1}, "must lie from 0"),
        ({"kind": "hand_file", "size": 10, "to_mm": 31.5}, "beyond the longest instrument, 31 mm: shorten it"),
        ({"kind": "gauge", "size": 25, "to_mm": 45}, "beyond the longest instrument"),
        ({"kind": "fit_cone", "size": 35, "taper": 0.04, "to_mm": 1e9}, "beyond the longest instrument"),
        ({"kind": "hand_file", "size": 10, "to_mm": float("nan")}, "finite number|cannot be set"),
        ({"kind": "coronal_flare", "depth_mm": 20}, "depth below the orifice"),
    ],
)
def test_a_move_out_of_range_is_refused_before_it_reaches_the_bench(document, said):
    with pytest.raises(ValidationError, match=said) as refusal:
        READER.validate_python(document)
    (error,) = refusal.value.errors()
    assert "\n" not in error["msg"]


@pytest.mark.parametrize("tooth", [molar(), BUNDLED["map-engraver"]], ids=["lower molar", "map-engraver"])
@pytest.mark.parametrize("move", MOVES, ids=lambda move: move.kind)
def test_a_move_in_a_canal_the_tooth_has_not_is_refused_by_name_and_nothing_happens(tooth, move):
    bench = replay(tooth, [(tooth.canals[0].name, RINSE)])
    lumens, record = dict(bench.lumens), bench.record
    with pytest.raises(ValueError, match=r"there is no canal Q9: this tooth has \w+, \w+") as refusal:
        bench.make("Q9", move)
    assert "\n" not in str(refusal.value)
    assert dict(bench.lumens) == lumens
    assert bench.record is record


@pytest.fixture(scope="module")
def separated() -> Bench:
    forced = [RINSE, *[EngineFile(25, 0.06, 19.3, push="firm")] * 8]
    bench = replay(narrowed_molar(), [("MB", move) for move in forced])
    assert bench.lumen("MB").fragment is not None
    return bench


@pytest.mark.parametrize("move", MOVES, ids=lambda move: move.kind)
def test_after_a_separation_every_move_is_refused_in_a_sentence_and_leaves_every_canal(separated, move):
    after, step = separated.make("MB", move)
    assert step.felt.words.startswith("A piece of a 25/.06 lies in canal MB")
    assert step.felt.words.endswith(".")
    assert step.events == ()
    assert all(after.lumen(canal) is separated.lumen(canal) for canal in separated.canals)


def test_the_other_canals_go_on_after_a_separation(separated):
    after, step = separated.make("ML", RINSE)
    assert step.reach.hold == "rinsed"
    assert after.lumen("ML").wet == 1.0


@pytest.mark.parametrize("move", MOVES, ids=lambda move: move.kind)
def test_a_canal_nothing_is_done_in_says_so_and_stays(move):
    closed = Setting(closed=MappingProxyType({"D": "Canal D holds a post, so nothing is done in it."}))
    bench = Bench.of(molar(), closed)
    after, step = bench.make("D", move)
    assert step.felt.words == "Canal D holds a post, so nothing is done in it."
    assert after.lumen("D") is bench.lumen("D")


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(st.sampled_from(MOVES), max_size=5), st.sampled_from(MOVES))
def test_a_refused_move_leaves_the_state_however_it_came_about(separated, others, move):
    bench = separated
    for other in others:
        bench, _ = bench.make("ML", other)
    after, step = bench.make("MB", move)
    assert step.reach.hold == "refused"
    assert step.after is step.before
    assert all(after.lumen(canal) is bench.lumen(canal) for canal in bench.canals)
    assert len(after.record) == len(bench.record) + 1  # what was tried stays in the record


def test_a_move_of_another_kind_is_refused_by_the_document():
    with pytest.raises(ValidationError, match="kind"):
        READER.validate_python({"kind": "laser", "to_mm": 19})


def test_an_irrigation_beyond_the_canal_is_no_error_but_unsafe():
    # a needle set to the longest length is pressed home: possible to do, so the bench does it and names it
    step = Bench.of(molar()).make("MB", Irrigate(depth_mm=31.0))[1]
    assert step.events
    assert "needle tight" in step.felt.words
