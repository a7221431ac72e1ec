"""How far irrigant gets: closed forms worked by hand, then what a record shows of it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casebank.instruments import EngineFile, FitCone, HandFile, Irrigate, Recapitulate, replay
from casebank.instruments.disinfection import (
    NOTES,
    ahead_mm,
    binds_short_mm,
    cone_play,
    disinfection_reach,
    planned_reach,
)
from tests.casebank.instruments.canals import molar
from tests.casebank.instruments.sequences import RINSE, SOUND

EDTA, WATER = Irrigate(solution="EDTA"), Irrigate(solution="water")
SHAPED = [move for canal, move in SOUND if canal == "MB"][:-3]  # without the last EDTA, hypochlorite and cone


def seen(*after, shaped=SHAPED):
    return disinfection_reach(replay(molar(), [("MB", move) for move in (*shaped, *after)]).record_of("MB"))


def test_a_needle_of_031_in_25_06_binds_one_millimetre_short_of_the_constriction():
    # (0.31 - 0.25) / 0.06
    assert binds_short_mm(0.31, 0.25, 0.06) == pytest.approx(1.0, abs=1e-6)


def test_a_needle_as_wide_as_the_end_or_finer_binds_nowhere():
    assert binds_short_mm(0.31, 0.31, 0.04) == 0
    assert binds_short_mm(0.31, 0.35, 0.04) == 0


@pytest.mark.parametrize("numbers", [(0.0, 0.25, 0.06), (0.31, -0.1, 0.06), (0.31, 0.25, 0.0), (float("nan"), 1, 1)])
def test_widths_and_tapers_that_are_none_are_refused(numbers):
    with pytest.raises(ValueError, match="give a number above 0"):
        binds_short_mm(*numbers)


@pytest.mark.parametrize(
    ("end_mm", "vent", "activation", "expected_mm"),
    [
        (0.30, "side-vented", "none", 1.25),
        (0.50, "side-vented", "none", 1.25),
        (0.25, "side-vented", "none", 0.8333),  # 1.25 x (0.25 - 0.15) / (0.30 - 0.15)
        (0.15, "side-vented", "none", 0.0),
        (0.10, "side-vented", "none", 0.0),
        (0.30, "open-ended", "none", 2.5),
        (0.30, "side-vented", "manual", 1.5625),  # 1.25 x 1.25
        (0.30, "side-vented", "ultrasonic", 1.875),  # 1.25 x 1.5
    ],
)
def test_the_exchange_ahead_of_the_needle_grows_with_the_end_the_vent_and_activation(
    end_mm, vent, activation, expected_mm
):
    assert ahead_mm(end_mm, vent, activation) == pytest.approx(expected_mm, abs=1e-4)


def test_an_unknown_activation_is_refused_with_those_there_are():
    with pytest.raises(ValueError, match="none, manual, sonic, ultrasonic"):
        ahead_mm(0.3, "side-vented", "stirring")


@pytest.mark.parametrize(
    ("size", "taper", "binds_mm", "safe_mm", "reach_mm", "reached"),
    [
        (25, 0.06, 1.0, 3.0, 2.1667, False),  # 3.0 - 0.8333
        (30, 0.02, 0.5, 2.5, 1.25, False),  # (0.31 - 0.30) / 0.02; 2.5 - 1.25
        (30, 0.06, 0.1667, 2.1667, 0.9167, True),  # the smallest that serves in the literature from memory
        (40, 0.04, 0.0, 2.0, 0.75, True),
    ],
)
def test_the_reach_planned_for_a_preparation_is_safe_depth_less_the_exchange(
    size, taper, binds_mm, safe_mm, reach_mm, reached
):
    reach = planned_reach(size, taper)
    assert reach.binds_short_mm == pytest.approx(binds_mm, abs=1e-4)
    assert reach.safe_short_mm == pytest.approx(safe_mm, abs=1e-4)
    assert reach.reach_short_mm == pytest.approx(reach_mm, abs=1e-4)
    assert reach.reached is reached
    assert f"{size}/.{round(taper * 100):02d}" in reach.said


def test_a_wider_needle_stands_further_off_and_a_finer_one_nearer():
    # 0.42: (0.42 - 0.30) / 0.06 = 2.0; 0.31: 0.1667; both and 2 mm
    assert planned_reach(30, 0.06, 0.42).safe_short_mm == pytest.approx(4.0)
    assert planned_reach(30, 0.06, 0.31).safe_short_mm == pytest.approx(2.1667, abs=1e-4)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([15, 20, 25, 30, 35, 40, 45]), st.sampled_from([0.02, 0.04, 0.06]), st.floats(0.25, 0.5))
def test_a_larger_end_never_shortens_the_reach_and_activation_never_either(size, taper, outer_mm):
    still = planned_reach(size, taper, outer_mm)
    assert planned_reach(size + 5, taper, outer_mm).reach_short_mm <= still.reach_short_mm + 1e-9
    assert planned_reach(size, taper, outer_mm, activation="sonic").reach_short_mm <= still.reach_short_mm + 1e-9
    assert still.safe_short_mm >= 2.0


@pytest.mark.parametrize(
    ("size", "taper", "end_mm", "short_mm", "past_mm"),
    [
        (35, 0.04, 0.35, 1.75, 1.75),  # 0.07 / 0.04 either way
        (25, 0.06, 0.25, 0.8333, 0.8333),  # 0.05 / 0.06
        (30, 0.04, 0.35, 0.5, 3.0),  # 0.37 in 0.35: 0.02 / 0.04; 0.23 in 0.35: 0.12 / 0.04
    ],
)
def test_a_label_leaves_so_much_open(size, taper, end_mm, short_mm, past_mm):
    play = cone_play(size, taper, end_mm)
    assert play.short_mm == pytest.approx(short_mm, abs=1e-4)
    assert play.past_mm == pytest.approx(past_mm, abs=1e-4)
    assert "no proof of fit" in play.said


def test_a_sound_last_rinse_meets_all_three():
    assert seen(EDTA, Irrigate(ml=5.0)).is_full


@pytest.mark.parametrize(
    ("after", "met", "note"),
    [
        pytest.param([EDTA, Irrigate(ml=2.0)], 3, "", id="5 mL may come in parts: 2 x 2 mL of the last file count"),
        pytest.param([Irrigate(ml=5.0), EDTA], 2, "EDTA and then hypochlorite", id="EDTA last"),
        pytest.param([Irrigate(ml=5.0)], 2, "EDTA and then hypochlorite", id="no EDTA"),
        pytest.param([EDTA, Irrigate(ml=5.0), WATER], 3, "", id="water afterwards changes nothing"),
        pytest.param(
            [EDTA, Irrigate(ml=5.0), WATER, Irrigate(solution="chlorhexidine")],
            2,
            "EDTA and then hypochlorite",
            id="chlorhexidine last",
        ),
    ],
)
def test_order_and_volume_of_the_last_rinse_are_told_apart(after, met, note):
    found = seen(*after)
    assert (found.met, found.of) == (met, 3)
    assert note in " ".join(found.notes)


def test_too_little_hypochlorite_is_said_in_millilitres():
    # the last file's own two rinses of 2 mL left out: 1 mL remains
    shaped = [move for move in SHAPED if move != RINSE or SHAPED.index(move) == 0]
    found = seen(RINSE, Recapitulate(19.8), EDTA, Irrigate(ml=1.0), shaped=[*shaped[:-4], EngineFile(35, 0.04, 19.3)])
    assert "3 mL of hypochlorite once it was shaped; 5 mL are asked" in " ".join(found.notes)


def test_a_narrow_end_keeps_the_irrigant_away_and_the_sentence_says_how_far():
    # MB shaped to 25/.04 alone; a 0.31 mm needle stays far off
    shaped = [RINSE, HandFile(10, 19.8), RINSE, HandFile(15, 19.3), RINSE, EngineFile(20, 0.04, 19.3), RINSE]
    shaped += [Recapitulate(19.8), RINSE, EngineFile(25, 0.04, 19.3), RINSE, Recapitulate(19.8)]
    found = seen(EDTA, Irrigate(ml=5.0), shaped=shaped)
    assert found.met == 2
    (note,) = found.notes
    assert "Canal MB" in note
    assert "short of working length" in note
    assert "finer needle, or a wider end" in note


def test_a_needle_that_stood_too_deep_counts_for_nothing():
    shaped = [move for move in SHAPED if not isinstance(move, Irrigate)]
    found = seen(EDTA, Irrigate(ml=5.0, depth_mm=19.3), shaped=[RINSE, *shaped])
    assert found.met == 2
    assert "no hypochlorite from a safe needle" in found.notes[0]


def test_a_canal_that_was_never_shaped_reaches_nothing():
    found = seen(EDTA, Irrigate(ml=5.0), FitCone(30, 0.04, 19.3), shaped=[RINSE, HandFile(10, 19.8)])
    assert (found.met, found.of) == (0, 3)


def test_every_number_names_its_basis_and_a_published_one_its_source():
    assert all(note.source for note in NOTES.values() if note.basis == "published")
    assert all("direction only" in NOTES[name].source for name in NOTES if name.startswith("activation_"))
