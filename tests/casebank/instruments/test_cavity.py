"""What concerns the whole tooth: provisional, next visit, coronal seal."""

import numpy as np
import pytest

from casebank.instruments import (
    Bench,
    Closure,
    CoronalSeal,
    Dry,
    EngineFile,
    FillCanal,
    HandFile,
    Irrigate,
    Lubricate,
    Medicate,
    NextVisit,
    Provisional,
    Seal,
    replay,
)
from casebank.instruments.contents import Contents
from casebank.instruments.damage import LEAKED, LEFT_OPEN
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.closing import READY, holding, on_bench, prepared


def played(bench, canal, *moves):
    for move in moves:
        bench, step = bench.make(canal, move)
    return bench, step


def test_a_provisional_closes_every_canal_until_the_next_visit():
    bench, step = played(Bench.of(molar()), "MB", Irrigate(), Provisional("temporary cement", 4.0))
    assert bench.cavity.provisional == Closure("temporary cement", 4.0, lasting=False)
    assert bench.cavity.seal is None
    assert step.felt.words == "provisional: temporary cement, 4 mm thick, closes the tooth"
    refused, step = bench.make("D", HandFile(10, 15.0))
    assert step.felt.words == "The tooth is closed with temporary cement for now: begin the next visit first."
    assert step.after is bench.lumen("D")
    assert refused.cavity == bench.cavity
    assert bench.make("D", NextVisit())[1].reach.hold == "placed"


def test_at_the_next_visit_canals_are_as_they_were_but_neither_wet_nor_dried_nor_bleeding():
    lumen = holding(prepared(), Contents(bleeding="beyond"))
    before, _ = played(on_bench(lumen), "ideal", Irrigate(), Lubricate(), Medicate(), Provisional())
    bench, step = played(before, "ideal", NextVisit())
    after = bench.lumen("ideal")
    assert bench.cavity.visit == 2
    assert step.felt.words == "visit 2: the provisional is tight, and comes out"
    assert step.events == ()
    assert np.array_equal(after.width_mm, before.lumen("ideal").width_mm)
    assert after.contents.medication == before.lumen("ideal").contents.medication
    assert (after.wet, after.contents.dried, after.contents.gel, after.contents.bleeding) == (0.0, False, None, "none")
    assert before.cavity.visit == 1


@pytest.mark.parametrize(
    ("moves", "events"),
    [
        ((Provisional(thickness_mm=4.0),), ()),
        ((Provisional(thickness_mm=3.0),), (LEAKED,)),  # 3.5 mm: Webber et al. 1978, from memory
        ((Provisional(thickness_mm=0.0),), (LEFT_OPEN,)),
        ((), (LEFT_OPEN,)),
    ],
)
def test_a_thin_provisional_leaks_and_none_leaves_the_tooth_open(moves, events):
    assert played(Bench.of(molar()), "MB", *moves, NextVisit())[1].events == events


@pytest.mark.parametrize("move", [Provisional(thickness_mm=0.0), CoronalSeal(thickness_mm=0.0)])
def test_a_layer_of_no_thickness_changes_nothing(move):
    bench, step = played(Bench.of(molar()), "MB", move)
    assert step.reach.hold == "not entered"
    assert step.after is step.before
    assert bench.cavity.closure is None


def test_the_coronal_seal_ends_the_work_and_names_canals_without_a_filling():
    bench, step = played(Bench.of(molar()), "MB", CoronalSeal("glass-ionomer cement", 3.0))
    assert step.felt.words.endswith("closes the tooth; no filling lies in MB, ML, D")
    assert bench.cavity.seal == Closure("glass-ionomer cement", 3.0, lasting=True)
    for canal, move in (("ML", Irrigate()), ("D", NextVisit()), ("MB", CoronalSeal())):
        _, step = bench.make(canal, move)
        assert step.felt.words.startswith("The tooth is sealed with glass-ionomer cement, so no further move is made")
        assert step.reach.hold == "refused"


def test_a_filled_canal_is_not_named_and_the_step_keeps_how_the_tooth_stands():
    filled = (FillCanal("cold lateral", 35, 0.04, 19.5), CoronalSeal())
    bench, step = played(on_bench(holding(prepared(), READY)), "ideal", *filled)
    assert "no filling" not in step.felt.words
    assert step.cavity == bench.cavity
    assert bench.record[0].cavity.closure is None


def test_a_filling_outlasts_a_visit_and_sealer_that_was_not_covered_does_not():
    fill = FillCanal("cold lateral", 35, 0.04, 19.5)
    bench, _ = played(on_bench(holding(prepared(), READY)), "ideal", fill, Provisional(), NextVisit())
    assert bench.lumen("ideal").contents.fill is not None
    bench, _ = played(on_bench(prepared()), "ideal", Dry(), Seal(19.0), Provisional(), NextVisit())
    assert bench.lumen("ideal").contents.sealer_to_mm == 0.0


def test_a_tooth_in_which_a_piece_was_left_can_still_be_closed():
    forced = [Irrigate(), *[EngineFile(25, 0.06, 19.3, push="firm")] * 6]
    bench = replay(narrowed_molar(), [("MB", move) for move in forced])
    piece = bench.lumen("MB").fragment
    assert piece is not None
    for move in (Dry(), Medicate(), Seal(19.0), FillCanal("carrier", 35, 0.04, 19.3)):
        bench, step = bench.make("MB", move)
        assert step.felt.words.startswith("A piece of a 25/.06 lies in canal MB")
    bench, _ = played(bench, "MB", Provisional(), NextVisit(), CoronalSeal())
    assert bench.cavity.seal is not None
    assert bench.lumen("MB").fragment == piece
