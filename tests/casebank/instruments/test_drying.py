"""Paper points: dry, moist or bloody, and what each tells."""

from dataclasses import replace

import pytest

from casebank.instruments import Dry, Irrigate, Lubricate, Medicate
from casebank.instruments.contents import Contents
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.closing import after, holding, prepared


def torn():
    lumen = prepared()
    wide = lumen.width_mm.copy()
    wide[-1] = 1.3 * lumen.shape.width_mm[-1]  # torn from 1.25 on
    return replace(lumen, width_mm=wide)


def test_a_prepared_canal_comes_out_dry():
    step = after(prepared(), Irrigate(), Dry())
    assert step.felt.words == "paper points: the last one comes out dry"
    assert step.reach.hold == "dry"
    assert step.after.contents.dried
    assert (step.before.wet, step.after.wet) == (1.0, 0.0)


def test_a_torn_foramen_keeps_the_last_point_moist():
    step = after(torn(), Irrigate(), Dry())
    assert step.reach.hold == "moist"
    assert "lets fluid in" in step.felt.words
    assert not step.after.contents.dried


def test_blood_beyond_the_end_shows_on_the_tip():
    step = after(holding(prepared(), Contents(bleeding="beyond")), Dry())
    assert step.reach.hold == "bloody"
    assert step.felt.words == "paper points: one after the other comes out with blood on its tip"
    assert not step.after.contents.dried


def test_a_point_that_does_not_reach_leaves_the_end_undried():
    # 0.05 + 0.02 (12 - s) = 0.15 at s = 7, that is 15.0 mm
    step = after(straight(0.05, 0.02), Dry())
    assert step.felt.words == "paper points: stop at 15.0 mm; what lies deeper is not dried"
    assert not step.after.contents.dried


@pytest.mark.parametrize(("agent", "seen"), [("calcium hydroxide", "white paste"), ("chlorhexidine gel", "gel")])
def test_a_medicament_that_was_left_shows_on_the_points(agent, seen):
    assert after(prepared(), Medicate(agent), Dry()).felt.words.endswith(f"comes out dry, with {seen} on it")


@pytest.mark.parametrize("wetting", [Irrigate(), Lubricate(), Medicate()])
def test_what_is_wet_undoes_it_and_drying_takes_gel_away(wetting):
    assert not after(prepared(), Dry(), wetting).after.contents.dried
    assert after(prepared(), wetting, Dry()).after.contents.gel is None


def test_a_rinse_of_nothing_leaves_a_dried_canal_dried():
    assert after(prepared(), Dry(), Irrigate(ml=0.0)).after.contents.dried
