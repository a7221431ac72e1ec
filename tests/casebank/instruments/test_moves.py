"""Moves as values: what is refused, and how a document reads them."""

import math
from typing import Annotated

import pytest
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
    ReadLength,
    Recapitulate,
)
from tests.casebank.instruments.canals import molar
from tests.casebank.instruments.sequences import SOUND

READER = TypeAdapter(Annotated[Move, Field(discriminator="kind")])


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: HandFile(12, 19.0), "no size 12"),
        (lambda: HandFile(10, -1.0), "length of -1.0 mm cannot be set"),
        (lambda: HandFile(10, math.nan), "length of nan mm cannot be set"),
        (lambda: HandFile(10, 31.5), "beyond the longest instrument, 31 mm"),
        (lambda: HandFile(10, 19.0, strokes=13), "strokes must lie from 0 to 12"),
        (lambda: HandFile(10, 19.0, push="hard"), "push is one of light, firm"),
        (lambda: HandFile(10, 19.0, precurve_per_mm=-0.1), "pre-curve"),
        (lambda: CoronalFlare(9.0), "flare's depth"),
        (lambda: CoronalFlare(4.0, brush="up"), "brush is one of away, toward"),
        (lambda: EngineFile(25, 0.08, 19.0), "no taper .08"),
        (lambda: EngineFile(55, 0.04, 19.0), "no engine file of size 55"),
        (lambda: EngineFile(25, 0.04, 19.0, passes=4), "passes must lie from 0 to 3"),
        (lambda: Irrigate(ml=-1.0), "rinse"),
        (lambda: Irrigate(solution="saline"), "solution is one of"),
        (lambda: Irrigate(needle_mm=2.0), "needle's outer diameter"),
        (lambda: Irrigate(depth_mm=-2.0), "length of -2.0 mm"),
        (lambda: Recapitulate(19.0, size=20), "small file"),
        (lambda: ReadLength(size=60), "read with a hand file"),
        (lambda: Gauge(10, 19.0), "gauge is a hand file of 15 or larger"),
        (lambda: FitCone(35, 0.05, 19.0), "no taper .05"),
    ],
)
def test_a_move_that_cannot_be_made_is_refused_in_one_sentence(make, said):
    with pytest.raises(ValueError, match=said) as refusal:
        make()
    assert "\n" not in str(refusal.value)


def test_an_unknown_canal_is_refused_by_name():
    with pytest.raises(ValueError, match="no canal P: this tooth has MB, ML, D"):
        Bench.of(molar()).make("P", Irrigate())


def test_a_document_writes_and_reads_every_move():
    kinds = set()
    for _, move in SOUND:
        assert READER.validate_json(READER.dump_json(move)) == move
        kinds.add(move.kind)
    assert len(kinds) == 8


def test_a_document_with_a_bad_move_is_refused_in_the_moves_own_words():
    with pytest.raises(ValidationError, match="no engine file of size 55"):
        READER.validate_json('{"kind": "engine_file", "size": 55, "taper": 0.04, "to_mm": 19}')
    with pytest.raises(ValidationError, match="kind"):
        READER.validate_json('{"kind": "laser", "to_mm": 19}')
