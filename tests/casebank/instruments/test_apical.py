"""The gauge a canal has by itself: the largest size that stops at length, the next larger short (common practice)."""

from dataclasses import replace

import pytest

from casebank.anatomy import Narrowing, Section
from casebank.instruments import apical_gauge
from tests.teeth import lower_molar


@pytest.mark.parametrize(
    ("canal", "size", "next_size", "short_mm"),
    [
        # widths fall evenly from orifice to constriction, which lies at working length:
        # MB 0.50 to 0.20 mm over 10.8 mm: 0.25 at 9.0 mm, so a 25 stops 1.8 mm short
        ("MB", 20, 25, 1.8),
        # ML 0.50 to 0.22 over 10.7: 0.25 at 0.25 / 0.28 * 10.7 = 9.554, 1.146 short
        ("ML", 20, 25, 1.146),
        # D 0.80 to 0.33 over 10.5: 0.35 at 0.45 / 0.47 * 10.5 = 10.053, 0.447 short
        ("D", 30, 35, 0.447),
    ],
)
def test_gauge_of_the_lower_molar(canal, size, next_size, short_mm):
    gauge = apical_gauge(lower_molar().tooth, canal)
    assert (gauge.size, gauge.next_size) == (size, next_size)
    assert gauge.next_short_mm == pytest.approx(short_mm, abs=0.01)


def test_a_canal_narrower_than_every_file_has_no_gauge():
    tooth = lower_molar().tooth
    tight = replace(tooth.canal("MB"), constriction=Section(0.05, 0.05))
    canals = (tight, *(canal for canal in tooth.canals if canal.name != "MB"))
    gauge = apical_gauge(replace(tooth, canals=canals), "MB")
    assert (gauge.size, gauge.next_size) == (None, 6)
    assert gauge.next_short_mm > 0


@pytest.mark.parametrize(("at_mm", "size"), [(0.8, 20), (7.0, 15)])
def test_hard_tissue_hides_the_end_only_below_the_reach_of_the_coronal_flare(at_mm, size):
    # MB is 11.3 mm long, so a flare opens its first 3.8 mm; 0.18 mm lets a 15 past and holds a 20
    tooth = lower_molar().tooth
    narrowed = replace(tooth.canal("MB"), narrowings=(Narrowing(at_mm, 0.18, 2.0),))
    canals = (narrowed, *(canal for canal in tooth.canals if canal.name != "MB"))
    assert apical_gauge(replace(tooth, canals=canals), "MB").size == size
