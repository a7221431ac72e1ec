"""Dentine is conserved: what the walls lose is chips; those lie loose or packed, or are pushed or carried out."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from casebank.instruments import CoronalFlare, EngineFile, HandFile, Irrigate, Lumen, Patency, Recapitulate, replay
from casebank.instruments.teaching import TEACHING
from fixtures.sequences import tooth_of
from tests.casebank.instruments.canals import molar, narrowed_molar
from tests.casebank.instruments.sequences import SOUND

TEETH = {"lower molar": narrowed_molar(), "bread-biter": tooth_of("bread-biter"), "drawn 16": tooth_of("16/1")}
places = st.sampled_from([(name, canal.name) for name, tooth in TEETH.items() for canal in tooth.canals])
lengths = st.sampled_from([12.0, 15.0, 17.5, 18.8, 19.3, 19.8, 20.3])
pushes = st.sampled_from(["light", "firm"])
cutting = st.one_of(
    st.builds(HandFile, st.sampled_from([8, 10, 15, 20, 30]), lengths, st.integers(0, 8), pushes),
    st.builds(EngineFile, st.sampled_from([15, 25, 35]), st.sampled_from([0.04, 0.06]), lengths, st.just(1), pushes),
    st.builds(CoronalFlare, st.floats(0, 8), st.integers(0, 8)),
)
scripts = st.lists(st.one_of(cutting, st.builds(Irrigate, st.floats(0, 3)), st.just(Patency(10))), max_size=6)
law = settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))


def hollow_mm3(lumen: Lumen) -> float:
    """Volume of the canal: a round of its width at each level, half a step of canal at either end."""
    steps = np.full(lumen.width_mm.size, lumen.shape.levels_mm[1])
    steps[[0, -1]] /= 2
    return float(np.pi / 4 * (lumen.width_mm**2 * steps).sum())


def chips_mm3(lumen: Lumen) -> float:
    """Chips that have not left by the orifice: loose, packed, or beyond the foramen."""
    return float(lumen.loose_mm3.sum() + lumen.packed_mm3.sum() + lumen.extruded_mm3)


def played(place, script):
    return replay(TEETH[place[0]], [(place[1], move) for move in script])


@law
@given(places, scripts, cutting)
def test_of_what_a_cut_takes_from_the_walls_the_flutes_carry_a_share_and_the_rest_stays(place, script, move):
    # carried out: the share of a flooded canal, halved in a dry one
    before_bench, canal = played(place, script), place[1]
    step = before_bench.make(canal, move)[1]
    before, after = step.before, step.after
    taken = hollow_mm3(after) - hollow_mm3(before)
    carried = taken * TEACHING.carry_share * (0.5 + 0.5 * before.wet)
    assert chips_mm3(after) - chips_mm3(before) == pytest.approx(taken - carried, abs=1e-9)


@law
@given(places, scripts, st.floats(0, 5))
def test_a_rinse_takes_loose_chips_out_and_nothing_else(place, script, ml):
    step = played(place, script).make(place[1], Irrigate(ml))[1]
    before, after = step.before, step.after
    assert hollow_mm3(after) == hollow_mm3(before)
    assert after.packed_mm3.sum() == before.packed_mm3.sum()
    assert after.extruded_mm3 == before.extruded_mm3
    # a millilitre takes half of what it reaches at most
    assert before.loose_mm3.sum() * 0.5**ml - 1e-12 <= after.loose_mm3.sum() <= before.loose_mm3.sum() + 1e-12


@law
@given(places, scripts)
def test_no_move_makes_chips_from_nothing(place, script):
    bench, canal = played(place, [Irrigate(), *script]), place[1]
    for step in bench.record:
        made = chips_mm3(step.after) - chips_mm3(step.before)
        assert made <= hollow_mm3(step.after) - hollow_mm3(step.before) + 1e-9
    lumen = bench.lumen(canal)
    natural = bench.record[0].before
    assert chips_mm3(lumen) <= hollow_mm3(lumen) - hollow_mm3(natural) + 1e-9
    assert min(lumen.loose_mm3.min(), lumen.packed_mm3.min(), lumen.extruded_mm3) >= -1e-12


def test_stirring_turns_mud_into_loose_chips_and_loses_none():
    # dry passes pack mud; then a small file in a wet canal
    packed = [EngineFile(25, 0.06, 19.3)] * 4
    bench = replay(narrowed_molar(), [("MB", move) for move in (Irrigate(), HandFile(10, 17.0), *packed, Irrigate())])
    step = bench.make("MB", Recapitulate(19.8))[1]
    taken = hollow_mm3(step.after) - hollow_mm3(step.before)
    assert step.before.packed_mm3.sum() > 0
    assert step.after.packed_mm3.sum() < step.before.packed_mm3.sum()
    assert chips_mm3(step.after) - chips_mm3(step.before) == pytest.approx(taken * 0.3, abs=1e-9)  # 0.7 carried, wet


def test_a_whole_treatment_accounts_for_every_cubic_millimetre():
    bench = replay(molar(), SOUND)
    for canal in bench.canals:
        steps = bench.record_of(canal).steps
        taken = hollow_mm3(steps[-1].after) - hollow_mm3(steps[0].before)
        rinsed = sum(
            chips_mm3(step.before) - chips_mm3(step.after) for step in steps if isinstance(step.move, Irrigate)
        )
        carried = sum(
            (hollow_mm3(step.after) - hollow_mm3(step.before)) * 0.7 * (0.5 + 0.5 * step.before.wet) for step in steps
        )
        assert taken > 1.0
        assert rinsed > 0
        assert chips_mm3(steps[-1].after) + rinsed + carried == pytest.approx(taken, abs=1e-9)
