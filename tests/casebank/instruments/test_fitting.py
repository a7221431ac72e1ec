"""Cone and trial instrument: they match the last file at length, and a label alone proves nothing."""

import pytest

from casebank.instruments import FitCone, Gauge, TrialFit, replay
from casebank.instruments.disinfection import cone_tolerance_mm
from casebank.instruments.fitting import off_label_mm
from tests.casebank.instruments.canals import molar
from tests.casebank.instruments.closing import after, named, prepared
from tests.casebank.instruments.sequences import SOUND

LAST = {"MB": 35, "ML": 35, "D": 45}  # the largest file of the sound sequence in each canal
LENGTH_MM = {"MB": 19.3, "ML": 19.1, "D": 18.8}


def one_that_is(lumen, *, large):
    """The canal renamed until its cone 35/.04 comes large, or small, from the box."""
    names = (named(lumen, f"canal {number}") for number in range(200))
    return next(one for one in names if (off_label_mm(one, 35, 0.04) > 0) is large and off_label_mm(one, 35, 0.04))


@pytest.fixture(scope="module")
def shaped():
    return replay(molar(), SOUND)


@pytest.mark.parametrize("canal", LAST)
@pytest.mark.parametrize("kind", [FitCone, TrialFit])
def test_what_matches_the_last_file_holds_the_next_larger_is_short_the_next_smaller_loose(shaped, canal, kind):
    holds = [shaped.make(canal, kind(LAST[canal] + step, 0.04, LENGTH_MM[canal]))[1].reach.hold for step in (-5, 0, 5)]
    assert holds == ["loose", "snug", "short"]


def test_a_trial_instrument_has_words_of_its_own_and_is_remembered():
    lumen = prepared()
    snug, loose, short = (after(lumen, TrialFit(size, 0.04, 20.0)) for size in (35, 30, 45))
    assert snug.felt.words == "trial instrument, green 35/.04: goes to 20.0 mm and touches all round"
    assert loose.felt.words == "trial instrument, blue 30/.04: drops to 20.0 mm, it is loose"
    # 0.35 + 0.04 (12 - p) = 0.45 at 2.5 mm above the end
    assert short.felt.words == "trial instrument, white 45/.04: stops at 17.5 mm, 2.5 mm short of its stop"
    assert (snug.after.contents.trial.size, snug.after.contents.trial.hold) == (35, "snug")
    assert snug.before.contents.trial is None


def test_a_gauged_cone_is_as_its_label_says_and_is_remembered():
    kept = after(prepared(), FitCone(35, 0.04, 20.0)).after.contents.cone
    assert (kept.size, kept.off_mm, kept.hold) == (35, 0.0, "snug")
    assert kept.tip_mm == pytest.approx(12.0)


def test_a_large_cone_from_the_box_stops_short_and_a_small_one_is_loose():
    # from size 30 on 0.07 mm either way (ISO 6877:1995, from memory): 0.07 / 0.04 = 1.75 mm short, or 0.07 of play
    large = after(one_that_is(prepared(), large=True), FitCone(35, 0.04, 20.0, gauged=False))
    assert large.reach.short_mm == pytest.approx(1.75)
    assert large.felt.words.startswith("cone, green 35/.04: stops at 18.5 mm")
    small = after(one_that_is(prepared(), large=False), FitCone(35, 0.04, 20.0, gauged=False))
    assert small.reach.hold == "loose"
    assert small.after.contents.cone.off_mm == pytest.approx(-0.07)
    assert cone_tolerance_mm(25) == 0.05


def test_a_cone_from_the_box_is_the_same_each_time():
    lumen = one_that_is(prepared(), large=True)
    step = FitCone(35, 0.04, 20.0, gauged=False)
    assert after(lumen, step, step).felt == after(lumen, step).felt


def test_seven_cones_in_ten_are_in_gauge_and_more_are_small_than_large():
    # 71.2 % in gauge, 16.2 % small, 12.6 % large: Bielawiec et al., J Pre-Clin Clin Res 2023;17:70
    lumen = prepared()
    offs = [off_label_mm(named(lumen, f"canal {number}"), 35, 0.04) for number in range(2000)]
    assert sum(off == 0 for off in offs) / 2000 == pytest.approx(0.712, abs=0.03)
    assert sum(off < 0 for off in offs) / 2000 == pytest.approx(0.162, abs=0.03)
    assert sum(off > 0 for off in offs) / 2000 == pytest.approx(0.126, abs=0.03)


@pytest.mark.parametrize("move", [FitCone(35, 0.04, 0.0), TrialFit(35, 0.04, 8.0), Gauge(35, 0.0)])
def test_what_is_not_put_in_changes_nothing(move):
    step = after(prepared(), move)
    assert step.reach.hold == "not entered"
    assert step.after is step.before


def test_trying_in_cuts_nothing():
    step = after(prepared(), FitCone(60, 0.06, 20.0))
    for name in ("width_mm", "furcation_mm", "outer_mm", "loose_mm3", "packed_mm3", "wet", "terminus"):
        assert getattr(step.after, name) is getattr(step.before, name)
    assert step.events == ()
