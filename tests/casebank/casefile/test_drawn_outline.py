"""What is drawn over a crown's map: outlines, marks and pins, at the places they have, none covering another."""

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.anatomy.occlusal import map_frame
from casebank.casefile.chamber_map import chamber_map
from casebank.casefile.drawn_outline import PIN_MM, Pin, drawn_marks, drawn_outline, drawn_pins
from casebank.casefile.occlusal_map import extent, view_box
from tests.casebank.casefile.bank import SLUGS, case

SQUARE = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
PINNED = re.compile(r'<circle class="map-pin map-pin-(weighs|idle)" cx="([-\d.]+)" cy="([-\d.]+)"')


def pinned(parts):
    """Kind and place of each pin."""
    return [(kind, float(right), float(down)) for kind, right, down in PINNED.findall("".join(parts))]


def test_an_outline_is_closed_and_says_whose_it_is():
    assert drawn_outline(SQUARE, "own") == [
        '<path class="map-cut map-cut-own" d="M-1.00 -1.00L1.00 -1.00L1.00 1.00L-1.00 1.00Z"/>'
    ]
    assert drawn_outline((), "own") == []


def test_each_corner_has_its_number_outside_of_it():
    drawn = "".join(drawn_outline(SQUARE, "own", numbered=True))
    numbers = re.findall(r'<text class="map-corner map-mid" x="([-\d.]+)" y="([-\d.]+)">(\d+)<', drawn)
    assert [int(number) for _, _, number in numbers] == [1, 2, 3, 4]
    assert drawn.count("<circle") == 4
    for (right, down), (x, y, _) in zip(SQUARE, numbers, strict=True):
        # 0.42 mm out along the diagonal: 0.30 to either side; the letters' own middle lies 0.16 above their foot
        assert (float(x), float(y)) == pytest.approx((right * 1.297, down * 1.297 + 0.16), abs=0.01)


def test_corners_that_lie_close_together_share_the_first_ones_number():
    close = ((-1.0, -1.0), (1.0, -1.0), (1.2, -0.9), (1.0, 1.0))
    numbers = re.findall(r">(\d+)</text>", "".join(drawn_outline(close, "own", numbered=True)))
    assert numbers == ["1", "2", "4"]  # 3 lies 0.22 mm from 2


def test_marks_are_crosses_and_their_names_are_escaped():
    cross, name = drawn_marks([(1.0, -2.0)], ["a <MB>"])
    assert 'd="M0.65 -2.00H1.35M1.00 -2.35V-1.65"' in cross
    assert name.endswith(">a &lt;MB&gt;</text>")


@given(st.lists(st.tuples(st.floats(-4, 4), st.floats(-4, 4), st.booleans()), min_size=0, max_size=9))
def test_no_pin_covers_another_or_the_crown_and_each_leads_to_its_place(places):
    frame = map_frame(case("leaning-abutment").anatomy.tooth)
    pins = [Pin(number, (right, down), weighs) for number, (right, down, weighs) in enumerate(places, 1)]
    parts = drawn_pins(pins, frame)
    drawn = pinned(parts)
    assert len(drawn) == len(pins)
    assert sum(kind == "weighs" for kind, _, _ in drawn) == sum(pin.weighs for pin in pins)
    left, _, right, _ = extent(frame)
    assert all(x < left - PIN_MM or x > right + PIN_MM for _, x, _ in drawn)
    for number, (_, x, y) in enumerate(drawn):
        assert all(abs(x - other) > 2 * PIN_MM or abs(y - down) > 2 * PIN_MM for _, other, down in drawn[:number])
    feet = re.findall(r'map-pin-lead" d="M([-\d.]+) ([-\d.]+)L', "".join(parts))
    assert sorted(feet) == sorted((f"{pin.at[0]:.2f}", f"{pin.at[1]:.2f}") for pin in pins)


@pytest.mark.parametrize("slug", SLUGS)
def test_all_of_it_together_is_one_picture_within_its_sheet(slug):
    document = case(slug)
    frame = map_frame(document.anatomy.tooth)
    over = drawn_outline(document.opening.outline_mm, "own", numbered=True) + drawn_marks([(0.0, 0.0)], ["a"])
    over += drawn_pins([Pin(number, place, True) for number, place in enumerate(document.opening.outline_mm, 1)], frame)
    sheet = ET.fromstring(chamber_map(document.anatomy, "a tooth", over))
    title = sheet.find("{*}title")
    assert "Chamber and orifices" in title.text
    left, top, width, height = view_box(frame)
    for _, right, down in pinned(over):
        assert left + PIN_MM <= right <= left + width - PIN_MM
        assert top + PIN_MM <= down <= top + height - PIN_MM
