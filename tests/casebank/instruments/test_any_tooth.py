"""What holds in any tooth: each in canals of two teeth or more. Common practice, no source, unless one is named."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from casebank.instruments import (
    CoronalFlare,
    EngineFile,
    FitCone,
    Gauge,
    HandFile,
    Irrigate,
    ReadLength,
    Recapitulate,
    damage,
    observe,
)
from casebank.instruments.gauging import near_the_end
from casebank.instruments.iso3630 import engine_file, hand_file
from casebank.instruments.mechanics import Grip, binding, borne_n, drive, passive_stop_mm, side_force_n
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.places import BUNDLED, CURVED, NARROWED, RINSE, TIGHT, Place

WIDE = {
    "grey-incisor C": Place(BUNDLED["grey-incisor"], "C"),
    "map-engraver P": Place(BUNDLED["map-engraver"], "P"),
    "leaning-abutment D": Place(BUNDLED["leaning-abutment"], "D"),
}
every_wide = pytest.mark.parametrize("place", WIDE.values(), ids=WIDE)
every_curved = pytest.mark.parametrize("place", CURVED.values(), ids=CURVED)
every_narrowed = pytest.mark.parametrize("place", NARROWED.values(), ids=NARROWED)


# --- process beside mechanics


@every_wide
def test_a_wide_canal_forgives_what_the_process_does_not(place):
    # never rinsed between, never recapitulated, no length read: the canal ends whole and clear, and the work does not
    files = [EngineFile(size, 0.04, place.working_mm) for size in (30, 35, 40)]
    record = place.played(RINSE, place.scout(10), *files).record_of(place.canal)
    assert not [event for step in record.steps for event in step.events]
    assert passive_stop_mm(record.lumen, hand_file(10), 30.0) > record.shape.length_mm
    missed = {each.name for each in observe(record) if not each.is_full}
    assert {"length read", "irrigated at changes", "recapitulated"} <= missed


# --- the prepared end


@pytest.mark.parametrize("place", [*list(WIDE.values())[:2], CURVED["lower molar MB"]])
def test_a_gauge_counts_at_the_prepared_end_and_not_where_nothing_was_prepared(place):
    # the last file stopped 1.5 mm short of the working length on purpose: that is the end there is now
    short_mm = place.working_mm - 1.5
    start = [RINSE, place.scout(10), RINSE, HandFile(15, place.working_mm, 6, precurve_per_mm=0.1), RINSE]
    sizes = (30, 35) if place in WIDE.values() else (20, 25)
    record = place.played(*start, *[EngineFile(size, 0.04, short_mm) for size in sizes]).record_of(place.canal)
    end = record.lumen.terminus
    assert end is not None
    assert end.at_mm == pytest.approx(record.shape.working_depth_mm - 1.5, abs=0.3)
    assert near_the_end(record, end.at_mm)
    assert not near_the_end(record, record.shape.working_depth_mm)


# --- after a separation


@pytest.mark.parametrize("place", [*NARROWED.values(), TIGHT["bread-biter Li"]], ids=lambda place: place.canal)
def test_after_a_separation_no_move_changes_the_canal_or_the_piece(place):
    broken = place.played(RINSE, *[EngineFile(25, 0.06, place.working_mm, push="firm")] * 8)
    lumen = broken.lumen(place.canal)
    assert lumen.fragment is not None
    for move in (
        HandFile(10, place.foramen_mm, 12, "firm"),
        EngineFile(15, 0.02, place.working_mm, 3, "firm"),
        Recapitulate(place.foramen_mm),
        CoronalFlare(8.0, 30),
        Irrigate(5.0),
        ReadLength(),
        Gauge(15, place.working_mm),
        FitCone(25, 0.04, place.working_mm),
    ):
        broken, step = broken.make(place.canal, move)
        assert step.reach.hold == "refused"
        assert step.after is lumen


# --- notches


@every_curved
def test_two_near_notches_are_one_deeper_one_and_a_far_one_is_another(place):
    lumen, file = place.lumen(), hand_file(40)
    deep_mm = lumen.shape.length_mm - 1.0
    once, _ = damage.notched(lumen, file, deep_mm, 2.0)
    twice, _ = damage.notched(once, file, deep_mm + 0.3, 2.0)
    apart, _ = damage.notched(twice, file, deep_mm - 1.5, 2.0)
    assert [notch.at_mm for notch in twice.notches] == [notch.at_mm for notch in once.notches]
    assert twice.notches[0].depth_mm > 1.5 * once.notches[0].depth_mm
    assert len(apart.notches) == 2


# --- a bend out of the plane of the furcation


@every_curved
def test_a_bend_turned_out_of_the_plane_forces_a_file_as_hard_and_thins_the_furcation_less(place):
    shape, file = place.lumen().shape, engine_file(30, 0.04)
    bend = shape.bend_per_mm
    turned = [
        replace(
            place.lumen(),
            shape=replace(
                shape,
                bend_furcation_per_mm=bend * np.cos(np.radians(angle_deg)),
                bend_across_per_mm=bend * np.sin(np.radians(angle_deg)),
            ),
        )
        for angle_deg in (0.0, 45.0, 90.0)
    ]
    forces = [side_force_n(lumen, file, shape.length_mm) for lumen in turned]
    assert forces[0].max() > 0
    for force in forces[1:]:
        assert force == pytest.approx(forces[0])
    towards = [float(np.max(np.abs(lumen.shape.toward_furcation))) for lumen in turned]
    assert towards == pytest.approx([1.0, np.sqrt(0.5), 0.0], abs=1e-9)


# --- a profile that stops growing


@pytest.mark.parametrize(("size", "from_mm"), [(50, 0.50 / 0.06), (40, 0.60 / 0.06)])
def test_a_file_that_stops_growing_is_not_held_by_what_is_as_wide_as_its_shank(size, from_mm):
    # tip + 0.06 x is 1.0 mm, the widest an engine file gets, at (1.0 - tip) / 0.06; from there on it is even. A canal
    # as wide as that above, and as the file below, takes it to its end, where a file that grew on would be held
    file = engine_file(size, 0.06)
    depths = np.linspace(0, 16, 161)
    assert file.diameter_mm(from_mm) == pytest.approx(1.0)
    assert file.diameter_mm(16.0) == pytest.approx(1.0)
    lumen = straight(0.2, 0.02, orifice_mm=16.0)
    width = np.minimum(size / 100 + 0.06 * (16.0 - depths), 1.0)
    fitting = replace(lumen, width_mm=width)
    assert passive_stop_mm(fitting, file, 16.0) == pytest.approx(16.0)
    assert passive_stop_mm(replace(fitting, width_mm=width - 0.012), file, 16.0) < 15.9


# --- thin files bow


def test_a_thin_file_bears_what_buckles_its_last_millimetre():
    # pi^2 200000 pi/64 (0.67 d)^4 / 1^2 = 19 522 d^4: d = 0.07, 0.09, 0.11 mm half-way gives 0.47, 1.28, 2.86 N
    borne = [borne_n(hand_file(size), 10.0) for size in (6, 8, 10)]
    assert borne == pytest.approx([0.47, 1.28, 2.86], abs=0.01)
    assert borne_n(hand_file(8), 1.0) == 1.0


@every_narrowed
def test_a_thin_file_pushed_hard_bows_and_goes_no_deeper(place):
    # the narrowing made so tight that an 06 stops at it: 0.7 of 0.06 is 0.042 mm
    lumen = place.lumen()
    width = np.where(lumen.width_mm < 0.08, 0.035, lumen.width_mm)
    tight = replace(lumen, width_mm=width, wet=1.0)
    tip_mm = passive_stop_mm(tight, hand_file(6), lumen.shape.length_mm)
    firm = binding(tight, hand_file(6), tip_mm + 0.01, Grip(2.5))
    thick = binding(tight, hand_file(10), passive_stop_mm(tight, hand_file(10), 20.0) + 0.01, Grip(2.5))
    assert (firm.cause, thick.cause) == ("buckle", "tip")
    light, hard = (drive(tight, hand_file(6), tip_mm, Grip(push_n)) for push_n in (1.0, 2.5))
    assert light == pytest.approx(hard)


@every_narrowed
def test_an_08_lightly_held_still_leads_where_a_10_stops(place):
    ten = place.last(RINSE, place.scout(10, 6, 0.0))
    eight = place.last(RINSE, place.scout(8, 12), RINSE, place.scout(8, 12))
    assert ten.reach.short_mm > 1.0
    assert eight.reach.at_length


# --- the wrong way


@pytest.mark.parametrize("place", [*CURVED.values(), *WIDE.values()], ids=[*CURVED, *WIDE])
@pytest.mark.parametrize(
    "wrong", [CoronalFlare(3.0, 1, "toward"), EngineFile(20, 0.04, 14.0, brush="toward")], ids=["flare", "file"]
)
def test_one_wrong_way_stroke_is_named_even_where_the_wall_forgives_it(place, wrong):
    step = place.last(RINSE, place.scout(10), RINSE, wrong)
    assert step.events == (damage.BRUSHED_TOWARD,)
    assert float(step.after.furcation_mm[damage.watched(step.after)].min()) > 0.3


# --- mud


@pytest.mark.parametrize("place", [TIGHT["lower molar MB"], TIGHT["drawn 26 MB1"]], ids=["lower molar", "drawn 26"])
def test_mud_that_holds_a_small_engine_file_holds_a_larger_one(place):
    # what a file bores in one go keeps its share of mud: a larger one must not pass by making more room for it
    lumen = place.lumen(RINSE, place.scout(8), RINSE)
    mud = np.zeros_like(lumen.width_mm)
    mud[15] = 0.35 * lumen.cell_mm3[15]
    muddy = replace(lumen, packed_mm3=mud)
    bench = place.played(RINSE)
    stops = []
    for size in (15, 20, 25, 30, 40):
        held = replace(bench, lumens={**bench.lumens, place.canal: muddy})
        stops.append(held.make(place.canal, EngineFile(size, 0.02, place.working_mm))[1].reach.tip_mm)
    assert all(larger <= smaller + 1e-2 for smaller, larger in pairwise(stops))
