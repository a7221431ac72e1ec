"""Orifice marks: paired so that distances are least in all, and held against the laws of the floor."""

from dataclasses import replace

import numpy as np
import pytest

from casebank.anatomy import Course, Leg
from casebank.anatomy.access_marks import judge_marks
from casebank.anatomy.occlusal import map_frame
from casebank.anatomy.vary import vary
from tests.casebank.anatomy.access_boxes import box_tooth

UPPER = vary(26, 7, paths={"MB": "2-1"}).tooth
LOWER = vary(36, 7, paths={"M": "IV"}).tooth


def orifices(tooth):
    return map_frame(tooth).on_map(np.array([tooth.orifice_of(canal) for canal in tooth.canals]))


def marked(places) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in places)


@pytest.mark.parametrize("tooth", [UPPER, LOWER], ids=["26", "36"])
def test_marks_on_every_orifice_find_all_and_none_is_false(tooth):
    true = orifices(tooth)
    judged = judge_marks(tooth, marked(true[::-1] + np.array([0.3, -0.4])))  # 0.3 and 0.4 mm aside: 0.5 mm off
    assert [orifice.mark for orifice in judged.orifices] == list(range(len(true), 0, -1))
    assert [orifice.off_mm for orifice in judged.orifices] == pytest.approx([0.5] * len(true))
    assert judged.false == ()


def test_a_missed_orifice_is_named_with_the_law_that_leads_to_it():
    names = [canal.name for canal in UPPER.canals]
    left = [n for n, name in enumerate(names) if name != "MB2"]
    judged = judge_marks(UPPER, marked(orifices(UPPER)[left]))
    missed = judged.orifices[names.index("MB2")]
    assert missed.mark is None
    assert "MB1" in missed.reason
    assert "do not hold in upper molars" in missed.reason
    assert "Krasner and Rankow" in missed.reason


def test_a_missed_orifice_of_a_lower_molar_is_looked_for_across_the_mirror_line():
    judged = judge_marks(LOWER, marked(orifices(LOWER)[1:]))
    assert judged.orifices[0].mark is None
    assert "on either side" in judged.orifices[0].reason


def test_a_mark_too_many_or_too_far_is_false():
    true = orifices(LOWER)
    judged = judge_marks(LOWER, marked([*true, true[0] + [0.1, 0.0], true[-1] + [3.0, 0.0]]))
    assert all(orifice.off_mm == pytest.approx(0, abs=1e-9) for orifice in judged.orifices)
    assert judged.false == (len(true) + 1, len(true) + 2)


def test_the_pairing_is_the_least_in_all_not_mark_by_mark():
    # two orifices 1.2 mm apart on a line; marks 0.5 and 0.75 mm beyond the first, so 0.7 and 0.45 mm short of the
    # second: both marks are nearest to an orifice of their own only if each takes one
    first, second = box_tooth().canals[0], box_tooth().canals[0]
    canals = (replace(first, name="B", orifice_mm=(0.0, -0.6)), replace(second, name="L", orifice_mm=(0.0, 0.6)))
    tooth = replace(box_tooth(), canals=tuple(replace(c, course=Course((Leg(12.9),))) for c in canals))
    frame = map_frame(tooth)
    marks = [(0.0, frame.along_down * y) for y in (-0.1, 0.15)]
    found = judge_marks(tooth, tuple(marks)).orifices
    assert [orifice.mark for orifice in found] == [1, 2]
    assert [orifice.off_mm for orifice in found] == pytest.approx([0.5, 0.45])


def test_the_laws_are_measured_on_the_marks_themselves():
    # in crown coordinates round the middle: 2.0 mm buccal and 0.8 mm lingual: they differ by 1.2 mm, more than 0.7 mm
    frame = map_frame(LOWER)
    middle = frame.on_map(np.zeros((1, 3)))[0]
    places = [
        middle + np.array([frame.x_right * x, frame.along_down * y]) for x, y in ((-1.5, -2.0), (-1.5, 0.8), (1.5, 0.0))
    ]
    laws = {name: (size, kept) for name, size, kept, _ in judge_marks(LOWER, marked(places)).laws}
    assert laws["mirror line"] == (pytest.approx(1.2), False)
    # the middle of the extremes lies at (0, -0.6)
    assert laws["centre"] == (pytest.approx(0.6), True)
    assert {name for name, *_ in judge_marks(UPPER, marked(places)).laws} == {"centre"}


def test_no_marks_miss_all():
    judged = judge_marks(LOWER, ())
    assert all(orifice.mark is None for orifice in judged.orifices)
    assert judged.false == ()
    assert judged.laws == ()
