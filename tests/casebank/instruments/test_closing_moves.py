"""The moves beside shaping, as values: what is refused, and how a document reads them."""

import math
from dataclasses import FrozenInstanceError
from typing import Annotated

import pytest
from pydantic import Field, TypeAdapter, ValidationError

from assess.log import Moved
from casebank.instruments import (
    Bench,
    CoronalSeal,
    Dry,
    FillCanal,
    FilmLength,
    FitCone,
    Lubricate,
    Medicate,
    Move,
    NextVisit,
    Patency,
    Provisional,
    ReadElectronically,
    Seal,
    TrialFit,
)
from tests.casebank.instruments.canals import molar

READER = TypeAdapter(Annotated[Move, Field(discriminator="kind")])
EVERY: tuple[Move, ...] = (
    Lubricate("water-soluble gel"),
    Patency(8, 1.0),
    ReadElectronically(15),
    FilmLength(15, 19.5),
    FitCone(35, 0.04, 19.5, gauged=False),
    TrialFit(35, 0.04, 19.5),
    Dry(),
    Medicate("chlorhexidine gel"),
    Provisional("glass-ionomer cement", 3.5),
    NextVisit(),
    Seal(19.0),
    FillCanal("warm vertical", 35, 0.04, 19.5),
    CoronalSeal("bonded composite", 3.0),
)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Lubricate("oil"), "a lubricant is one of EDTA gel, water-soluble gel"),
        (lambda: Patency(15), "kept with a file of 06, 08 or 10, not 15"),
        (lambda: Patency(9), "no size 9"),
        (lambda: Patency(10, 1.5), "beyond the foramen .* from 0 to 1, not 1.5"),
        (lambda: Patency(10, -0.5), "beyond the foramen .* from 0 to 1, not -0.5"),
        (lambda: Patency(10, math.nan), "beyond the foramen .* from 0 to 1, not nan"),
        (lambda: ReadElectronically(40), "read with a hand file of 08 to 25, not 40"),
        (lambda: ReadElectronically(12), "no size 12"),
        (lambda: FilmLength(60, 19.0), "filmed with a hand file of 08 to 25, not 60"),
        (lambda: FilmLength(15, -1.0), "length of -1.0 mm cannot be set"),
        (lambda: FilmLength(15, 32.0), "beyond the longest instrument, 31 mm"),
        (lambda: TrialFit(35, 0.05, 19.0), "no taper .05"),
        (lambda: TrialFit(37, 0.04, 19.0), "no size 37"),
        (lambda: TrialFit(35, 0.04, math.inf), "length of inf mm cannot be set"),
        (lambda: Medicate("phenol"), "a medicament is one of calcium hydroxide, chlorhexidine gel"),
        (lambda: Provisional("cotton"), "a provisional's material is one of"),
        (lambda: Provisional(thickness_mm=9.0), "a provisional's thickness .* from 0 to 8, not 9.0"),
        (lambda: Seal(-0.5), "length of -0.5 mm cannot be set"),
        (lambda: FillCanal("paste", 35, 0.04, 19.0), "a method of filling is one of single cone with sealer"),
        (lambda: FillCanal("carrier", 33, 0.04, 19.0), "no size 33"),
        (lambda: FillCanal("carrier", 35, 0.04, 40.0), "beyond the longest instrument"),
        (lambda: CoronalSeal("amalgam"), "a coronal seal's material is one of bonded composite, glass-ionomer cement"),
        (lambda: CoronalSeal(thickness_mm=-1.0), "a coronal seal's thickness .* from 0 to 8, not -1.0"),
    ],
)
def test_a_move_that_cannot_be_made_is_refused_in_one_sentence(make, said):
    with pytest.raises(ValueError, match=said) as refusal:
        make()
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize("move", EVERY, ids=lambda move: move.kind)
def test_every_move_can_be_written_and_read_and_is_refused_in_an_unknown_canal(move):
    assert READER.validate_json(READER.dump_json(move)) == move
    with pytest.raises(ValueError, match="no canal P: this tooth has MB, ML, D"):
        Bench.of(molar()).make("P", move)


@pytest.mark.parametrize("move", EVERY, ids=lambda move: move.kind)
def test_every_move_can_stand_in_a_log(move):
    event = Moved(seq=1, case="a-case", canal="MB", move=move)
    assert Moved.model_validate_json(event.model_dump_json()) == event


def test_a_move_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        EVERY[-1].thickness_mm = 1.0


def test_a_document_with_a_large_patency_file_is_refused():
    with pytest.raises(ValidationError, match="size"):
        READER.validate_json('{"kind": "patency", "size": 15}')


def test_a_cone_in_an_old_log_counts_as_gauged():
    assert READER.validate_json('{"kind": "fit_cone", "size": 35, "taper": 0.04, "to_mm": 19.3}').gauged


def test_only_the_gel_of_edta_is_a_chelator():
    assert Lubricate("EDTA gel").chelates
    assert not Lubricate("water-soluble gel").chelates
