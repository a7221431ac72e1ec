"""Every instrument of the bench in every canal of the bank, as a shape on a film."""

import numpy as np
import pytest

from casebank.casefile.in_canal import instrument_rod
from casebank.instruments.iso3630 import ENGINE_SIZES, SIZES, TAPERS, cone, coronal_flare, engine_file, hand_file
from casebank.radiograph import Material
from tests.casebank.casefile.bank import CANALS, case

INSTRUMENTS = [
    *(hand_file(size) for size in SIZES),
    *(engine_file(size, taper) for size in ENGINE_SIZES for taper in TAPERS),
    *(cone(size, taper) for size in SIZES for taper in TAPERS),
    coronal_flare(),
]
KINDS = [hand_file(15), engine_file(30, 0.06), cone(40, 0.04), coronal_flare()]


def from_tip_mm(rod):
    return np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(rod.centre_line, axis=0), axis=1))]


def turn_per_mm(rod):
    """Greatest curvature along a rod, degrees a millimetre, where its points stand a tenth of a millimetre apart."""
    steps = np.diff(rod.centre_line, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    ways = steps / lengths[:, None]
    turns = np.degrees(np.arccos(np.clip((ways[1:] * ways[:-1]).sum(axis=1), -1, 1)))
    between = (lengths[1:] + lengths[:-1]) / 2
    return float((turns / between).max())


@pytest.mark.parametrize("instrument", INSTRUMENTS, ids=lambda one: f"{one.kind} {one.label}")
def test_an_instrument_is_as_thick_as_the_standard_says_behind_its_point(instrument):
    # D(x) = D0 + T x, ISO 3630-1, up to the working part's end and no thicker than the instrument grows
    rod = instrument_rod(case("leaning-abutment").anatomy, "MB", instrument, 1.0)
    far = from_tip_mm(rod)
    behind = far > instrument.tip_mm  # the point of 75 degrees is 0.65 D0 long, or a little more where it meets a taper
    part_mm = 8.0 if instrument.kind == "flare" else 16.0
    law = np.minimum(instrument.size / 100 + instrument.taper * np.minimum(far, part_mm), instrument.greatest_mm)
    assert 2 * rod.radius_mm[behind] == pytest.approx(law[behind], abs=0.002)
    assert rod.radius_mm[0] == 0.01


@pytest.mark.parametrize("instrument", KINDS, ids=lambda one: one.kind)
@pytest.mark.parametrize(("slug", "canal"), CANALS)
def test_no_instrument_has_a_kink_in_any_canal(slug, canal, instrument):
    anatomy = case(slug).anatomy
    tightest = np.linalg.norm(
        anatomy.tooth.canal(canal).course.bends(anatomy.tooth.canal(canal).levels()), axis=1
    ).max()
    rod = instrument_rod(anatomy, canal, instrument, 0.5)
    # the canal's own bend, or the way out of the orifice: nowhere tighter than a radius of 8 mm, 7.2 degrees a mm
    assert turn_per_mm(rod) < max(1.25 * np.degrees(tightest), 7.2)


@pytest.mark.parametrize("short_mm", [4.0, 0.5, 0.0, -0.5, -2.0])
@pytest.mark.parametrize(("slug", "canal"), CANALS)
def test_its_tip_stands_where_it_is_said_to(slug, canal, short_mm):
    anatomy = case(slug).anatomy
    tooth, one = anatomy.tooth, anatomy.tooth.canal(canal)
    line = tooth.centre_line(one, step_mm=0.005)
    if short_mm >= 0:
        kept = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))] <= one.length_mm - short_mm
        expected = line[kept][-1]
    else:
        last = line[-1] - line[-2]
        expected = line[-1] - short_mm * last / np.linalg.norm(last)
    rod = instrument_rod(anatomy, canal, hand_file(10), short_mm)
    assert rod.centre_line[0] == pytest.approx(anatomy.placement.to_jaw(expected[None])[0], abs=0.01)


def test_each_kind_is_of_its_own_material():
    anatomy = case("grey-incisor").anatomy
    materials = [instrument_rod(anatomy, "C", one, 0.5).material for one in KINDS]
    nickel_titanium = Material.NICKEL_TITANIUM
    assert materials == [Material.STEEL, nickel_titanium, Material.ROOT_FILLING, nickel_titanium]


def test_a_tip_far_beyond_the_end_and_an_unknown_canal_are_refused():
    anatomy = case("grey-incisor").anatomy
    with pytest.raises(ValueError, match="does not lie in canal C"):
        instrument_rod(anatomy, "C", hand_file(15), -6.0)
    with pytest.raises(KeyError, match="no canal MB"):
        instrument_rod(anatomy, "MB", hand_file(15), 0.5)
