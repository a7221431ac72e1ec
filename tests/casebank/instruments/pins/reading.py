"""Pins of what is read: marks on the ruler, the working length, the prepared end."""

from dataclasses import replace

from casebank.instruments import Gauge, untouched
from casebank.instruments.fitting import gauge
from casebank.instruments.gauging import near_the_end
from casebank.instruments.lumen import Terminus, shape_of
from casebank.instruments.record import Record
from tests.casebank.instruments.canals import straight
from tests.casebank.instruments.places import BUNDLED, MOLAR

EVERY = [untouched(shape_of(tooth, canal.name)) for tooth in BUNDLED.values() for canal in tooth.canals]


def the_working_length_ends_half_to_one_millimetre_short() -> bool:
    """Of the foramen (Sci Rep 2023, introduction)."""
    short = [lumen.shape.length_mm - lumen.shape.working_depth_mm for lumen in EVERY]
    return all(0.5 - 1e-9 <= short_mm <= 1.0 + 1e-9 for short_mm in short)


def a_fifth_of_a_millimetre_cannot_be_told_and_a_third_can() -> bool:
    """A ruler with half-millimetre marks: a gauge 0.2 mm short is at length, one 0.32 mm short is not."""
    found = []
    for size in (30, 40):
        for short_mm in (0.2, 0.32):
            lumen = straight(size / 100 - 0.05 * short_mm, 0.05)
            found.append(gauge(lumen, Gauge(size, 20.0)).reach.at_length)
    return found == [True, False] * 2


def a_prepared_end_half_a_millimetre_off_is_kept_and_a_whole_one_is_not() -> bool:
    """Usual tolerance of length measurement (several abstracts)."""
    found = []
    for place in MOLAR.values():
        lumen = place.lumen()
        for off_mm in (0.5, 1.0):
            prepared = replace(lumen, terminus=Terminus(lumen.shape.working_depth_mm - off_mm, 30, 0.04))
            found.append(near_the_end(Record(prepared, ()), lumen.shape.working_depth_mm))
    return found == [True, False] * len(MOLAR)
