"""Every harm says why: the level where it arose, its cause, the law, and the numbers that met."""

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import numpy as np
import pytest
from pydantic import Field, TypeAdapter

from casebank.instruments import CoronalFlare, EngineFile, HandFile, Irrigate, Move, Step, damage, replay
from casebank.instruments.reasons import reasons
from tests.casebank.instruments.canals import bent
from tests.casebank.instruments.places import BUNDLED, CURVED, MOLAR, NARROWED, RINSE

LOGS = Path(__file__).parents[3] / "fixtures" / "logs"
READER = TypeAdapter(Annotated[Move, Field(discriminator="kind")])
CAUSES = {
    damage.LEDGE: {"stuck tip"},
    damage.STRESSED: {"fatigue", "torsion"},
    damage.SEPARATED: {"fatigue", "torsion"},
    damage.FORAMEN_WIDENED: {"cut at the foramen"},
    damage.FORAMEN_TORN: {"cut at the foramen"},
    damage.FURCATION_THIN: {"thin wall"},
    damage.OUTER_THIN: {"thin wall"},
    damage.FURCATION_HOLED: {"holed wall"},
    damage.OUTER_HOLED: {"holed wall"},
    damage.BRUSHED_TOWARD: {"brushed wall"},
    damage.IRRIGANT_FORCED: {"needle"},
}


def unexplained(step: Step) -> list[str]:
    """Harm of a step that no reason of its own kind goes with."""
    told = {why.cause for why in step.why if why.equation and why.numbers and 0 <= why.level_mm <= 20}
    assert all(math.isfinite(number.value) and number.unit for why in step.why for number in why.numbers)
    return [event for event in step.events if event in CAUSES and not CAUSES[event] & told]


@pytest.mark.parametrize("name", sorted(path.name for path in LOGS.glob("*.json")))
def test_every_harm_of_a_log_says_why(name):
    events = json.loads((LOGS / name).read_text(encoding="utf-8"))["events"]
    log = [(event["canal"], READER.validate_python(event["move"])) for event in events if "move" in event]
    steps = replay(BUNDLED[name.split(".")[0]], log).record
    assert [unexplained(step) for step in steps if step.events] == [[] for step in steps if step.events]
    if ".weak." in name:
        assert any(step.events for step in steps), "a careless log does some harm"


@pytest.mark.parametrize("place", CURVED.values(), ids=CURVED)
def test_careless_work_in_any_curved_canal_says_why(place):
    flares = [CoronalFlare(6.0, 30, "toward")] * 3
    forced = [HandFile(30, place.working_mm, 12, "firm")] * 2
    through = [EngineFile(size, 0.04, place.foramen_mm + 0.5, 3) for size in (30, 40, 50)]
    needle = Irrigate(depth_mm=place.working_mm)
    bench = place.played(RINSE, place.scout(10), *forced, *flares, needle, *through)
    done = [event for step in bench.record for event in step.events]
    assert {damage.BRUSHED_TOWARD, damage.IRRIGANT_FORCED} <= set(done)
    assert not [missed for step in bench.record for missed in unexplained(step)]


@pytest.mark.parametrize("place", NARROWED.values(), ids=NARROWED)
def test_a_ledge_tells_where_it_is_and_what_dug_it(place):
    step = place.last(RINSE, place.scout(10, 3, 0.0), RINSE, HandFile(30, place.working_mm, 12, "firm"))
    (why,) = [why for why in step.why if why.cause == "stuck tip"]
    numbers = {number.symbol: number.value for number in why.numbers}
    assert why.level_mm == step.after.ledge_mm
    assert numbers["h"] == pytest.approx(numbers["b"] * numbers["Σ l·n·F"])
    assert numbers["h"] >= numbers["limit"]


def test_a_thin_wall_tells_the_level_and_what_was_cut_there():
    # walls of 0.55 mm; 0.30 mm is taken from the outer one 4 mm down and 0.10 mm 6 mm down: 0.25 mm is left at 4 mm
    lumen = bent(np.full(121, 0.3), np.zeros(121), wall_mm=0.55)
    outer = lumen.outer_mm.copy()
    outer[40], outer[60] = 0.25, 0.45
    after = replace(lumen, outer_mm=outer)
    (why,) = reasons(lumen, after, damage.harm_between(lumen, after))
    assert (why.cause, why.level_mm) == ("thin wall", pytest.approx(4.0))
    assert {number.symbol: number.value for number in why.numbers} == pytest.approx(
        {"w0": 0.55, "cut": 0.30, "w": 0.25, "limit": 0.3}
    )


@pytest.mark.parametrize("place", MOLAR.values(), ids=MOLAR)
def test_a_torn_foramen_tells_its_width_before_and_after(place):
    # half as wide again is more than the quarter that counts as torn
    lumen = place.lumen()
    width = lumen.width_mm.copy()
    width[-1] *= 1.5
    after = replace(lumen, width_mm=width)
    (why,) = reasons(lumen, after, damage.harm_between(lumen, after))
    numbers = {number.symbol: number.value for number in why.numbers}
    assert why.level_mm == lumen.shape.length_mm
    assert numbers["c0"] == pytest.approx(float(lumen.shape.width_mm[-1]))
    assert numbers["c / c0"] == pytest.approx(1.5)
