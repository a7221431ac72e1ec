"""The locator: within half a millimetre, the same each time, and wrong where current leaks."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.instruments import CoronalFlare, Dry, HandFile, Irrigate, ReadElectronically, Setting, replay
from casebank.instruments.contents import Contents
from casebank.instruments.lumen import Terminus
from tests.casebank.instruments.canals import molar, straight
from tests.casebank.instruments.closing import FORAMEN_MM, after, holding, named

READ = ReadElectronically()
METAL = Setting(metal=True)


def readings(lumen, *, count=60):
    """Steps of readings in canals that differ by name and prepared size alone."""
    ends = [(f"canal {number}", size) for number in range(count // 4) for size in (20, 25, 30, 35)]
    lumens = [replace(named(lumen, name), terminus=Terminus(11.5, size, 0.04)) for name, size in ends]
    return [after(one, READ) for one in lumens]


def test_a_steady_reading_lies_within_half_a_millimetre_and_is_not_always_right():
    # +-0.5 mm: the tolerance usual in studies of locators
    off_mm = [step.felt.at_mm - FORAMEN_MM for step in readings(straight(0.3, 0.02))]
    assert max(map(abs, off_mm)) <= 0.5
    half_between = straight(0.3, 0.02, orifice_mm=12.3)  # foramen at 20.3 mm, between two marks
    off_mm = [step.felt.at_mm - 20.3 for step in readings(half_between)]
    assert max(map(abs, off_mm)) <= 0.5 + 1e-9
    assert {round(off, 1) for off in off_mm} == {-0.3, 0.2}


def test_a_steady_reading_is_told_so_and_to_half_a_millimetre():
    for step in readings(straight(0.3, 0.02), count=8):
        assert step.reach.hold == "read"
        assert step.felt.words == f"purple 10/.02: steady, the end shows at {step.felt.at_mm:.1f} mm"
        assert step.felt.at_mm * 2 == round(step.felt.at_mm * 2)
        assert step.after is step.before


def test_the_same_canal_reads_the_same_whatever_the_file():
    lumen = straight(0.3, 0.02)
    assert len({after(lumen, ReadElectronically(size)).felt.at_mm for size in (8, 10, 15, 20)}) == 1
    assert after(lumen, READ, Irrigate(), READ).felt == after(lumen, READ).felt


def test_a_file_that_does_not_reach_the_end_shows_none():
    # 0.05 + 0.02 (12 - s) = 0.10 at s = 9.5, that is 17.5 mm from the cusp
    step = after(straight(0.05, 0.02), READ)
    assert step.reach.hold == "short"
    assert step.felt.words == "purple 10/.02: the end does not show, the file stands at 17.5 mm and goes no deeper"


def test_a_hole_in_the_wall_shows_as_the_end_and_unsteady():
    lumen = straight(0.3, 0.02)
    wall = lumen.furcation_mm.copy()
    wall[60:65] = 0.0  # a hole from 6 mm below the orifice on
    step = after(replace(lumen, furcation_mm=wall), READ)
    assert step.reach.hold == "unsteady"
    assert step.felt.at_mm == 14.0
    assert "unsteady" in step.felt.words
    assert step.why[0].cause == "perforation"


def test_a_hole_deeper_than_the_file_goes_spoils_nothing_yet():
    lumen = straight(0.0501, 0.01)  # a 10 stops far above the hole
    wall = lumen.outer_mm.copy()
    wall[95:100] = 0.0
    assert after(replace(lumen, outer_mm=wall), READ).reach.hold == "short"


@pytest.mark.parametrize("bleeding", ["pulp", "beyond"])
def test_blood_takes_a_reading_out_of_its_tolerance_short_or_long(bleeding):
    steps = readings(holding(straight(0.3, 0.02), Contents(bleeding=bleeding)))
    off_mm = np.array([step.felt.at_mm - FORAMEN_MM for step in steps])
    assert {step.reach.hold for step in steps} == {"unsteady"}
    assert (np.abs(off_mm) > 0.5).all()
    assert (np.abs(off_mm) <= 2.5).all()
    assert off_mm.min() < 0 < off_mm.max()


def test_metal_at_a_wet_chamber_reads_far_short_and_a_dried_one_reads_right():
    lumen = straight(0.3, 0.02)
    wet = after(lumen, Irrigate(), READ, setting=METAL)
    assert wet.reach.hold == "unsteady"
    assert wet.felt.at_mm < FORAMEN_MM - 4.0
    dried = after(lumen, Irrigate(), Dry(), READ, setting=METAL)
    assert dried.reach.hold == "read"
    assert abs(dried.felt.at_mm - FORAMEN_MM) <= 0.5


def test_an_inflamed_pulp_bleeds_until_files_and_hypochlorite_have_taken_it_out():
    flared = [HandFile(10, 15.0), CoronalFlare(4.0)]
    before = replay(molar(), [("MB", move) for move in (Irrigate(), *flared)], Setting(inflamed=True))
    assert before.make("MB", READ)[1].reach.hold != "read"
    water = before.make("MB", Irrigate(2.0, "water"))[0]
    assert water.lumen("MB").contents.bleeding == "pulp"
    clean = before.make("MB", Irrigate(2.0))[0]
    assert clean.lumen("MB").contents.bleeding == "none"
    assert clean.lumen("ML").contents.bleeding == "pulp"
