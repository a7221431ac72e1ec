"""The drawings of a canal: true to the bench, whole as documents, and without an ink of their own."""

import re
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assess.presenting.canal_chart import canal_chart
from assess.presenting.chart_depths import depths
from assess.presenting.chart_labels import APART, heights
from assess.presenting.chart_paper import TALL, TOP, Paper
from assess.presenting.chart_section import Section, section
from assess.presenting.chart_sides import sides_of
from assess.presenting.move_truth import truth
from casebank.instruments import Bench, CoronalFlare, Gauge, HandFile, Irrigate, replay
from casebank.instruments.lumen import Fragment, Notch
from tests.casebank.instruments.canals import molar, straight
from tests.casebank.instruments.sequences import SOUND

TOOTH = molar()
BENCH = replay(TOOTH, SOUND)
CARELESS = replay(
    TOOTH,
    [
        *(("MB", CoronalFlare(5.0, 30, "toward")) for _ in range(3)),
        ("MB", Irrigate(depth_mm=19.0)),
        ("MB", HandFile(40, 21.0, 12, "firm")),
    ],
)
SIDES = sides_of(TOOTH, "MB")
MOVES = len(BENCH.record_of("MB").steps)


def chart(place=None, canal="MB", bench=BENCH, said_mm=None):
    return canal_chart(bench, TOOTH, canal, place, said_mm)


@pytest.mark.parametrize("canal", ["MB", "ML", "D"])
@pytest.mark.parametrize("draw", [section, depths])
def test_a_drawing_is_one_whole_document_with_a_name_and_a_description(draw, canal):
    drawn = ElementTree.fromstring(draw(chart(canal=canal)))
    title, said = drawn[0], drawn[1]
    assert (title.tag, said.tag) == ("title", "desc")
    assert drawn.get("role") == "img"
    assert drawn.get("aria-labelledby") == f"{title.get('id')} {said.get('id')}"
    assert canal in title.text


def test_a_drawing_has_no_ink_of_its_own_and_nothing_that_is_not_a_number():
    for bench in (BENCH, CARELESS):
        for draw in (section, depths):
            drawn = draw(chart(bench=bench))
            assert not re.search(r"style=|fill=|stroke=|#[0-9a-fA-F]{3}|nan|inf\b|None", drawn)


def test_the_description_names_everything_that_is_marked():
    drawn = section(chart(bench=CARELESS))
    for mark in chart(bench=CARELESS).marks:
        assert mark.sentence in drawn
    assert "wall holed" in drawn


def test_a_name_is_written_as_words_and_never_as_marks():
    odd = "<b>&"
    shape = replace(BENCH.lumen("MB").shape, name=odd)
    bench = Bench(MappingProxyType({odd: replace(BENCH.lumen("MB"), shape=shape)}))
    drawn = ElementTree.fromstring(section(canal_chart(bench, TOOTH, odd)))
    assert odd in drawn[0].text


@given(place=st.integers(0, MOVES), canal=st.sampled_from(["MB", "ML", "D"]))
@settings(max_examples=25, deadline=None)
def test_the_canal_is_never_drawn_narrower_than_it_was(place, canal):
    on = Section(chart(place, canal))
    (near, far), (was_near, was_far), (left, right) = on.now, on.was, on.root
    assert (near <= was_near + 1e-9).all()
    assert (far >= was_far - 1e-9).all()
    assert (left <= near + 1e-9).all()
    assert (right >= far - 1e-9).all()


def test_before_any_move_the_canal_is_drawn_as_it_was():
    on = Section(chart(0))
    np.testing.assert_allclose(on.now, on.was)
    assert chart(0).tool is None


def test_widths_and_walls_share_one_scale():
    on, lumen = Section(chart()), chart().now
    near, far = on.now
    shown = (far - near) / on.px_per_mm
    inner = slice(0, lumen.count_to(lumen.shape.length_mm - 2))
    np.testing.assert_allclose(shown[inner], lumen.width_mm[inner], atol=0.02)


def test_a_bend_towards_the_furcation_is_drawn_towards_its_side():
    """Left is the furcation's side: a canal that bends to it ends left of where its upper part points."""
    on = Section(chart(0))
    shape = on.chart.now.shape
    assert shape.bend_furcation_per_mm.sum() * shape.step_mm > 0.2
    middle, slope = on.middle, (on.middle[20] - on.middle[0]) / 20
    assert middle[-1] < middle[0] + slope * (middle.size - 1) - 5


def test_depths_of_the_paper_run_from_the_orifice_in_lengths_from_the_cusp():
    """12 mm of canal and 0.8 mm of paper beyond it on 470 px; the orifice 8.4 mm below the cusp."""
    paper = Paper(12.0, 8.4, deepest_mm=3.0)
    assert paper.px_per_mm == pytest.approx(470 / 12.8)
    assert paper.y(0) == TOP
    assert paper.at(5.0) == pytest.approx(13.4)
    assert [mm for mm, _y in paper.marks()] == list(range(9, 22))
    assert dict(paper.marks())[9] == pytest.approx(TOP + 0.6 * 470 / 12.8)


def test_a_move_beyond_the_foramen_stays_on_the_paper():
    """A size 10 worked to 21 mm in a canal of 19.8 mm."""
    through = replay(TOOTH, [("MB", HandFile(10, 21.0, 12, precurve_per_mm=0.1))] * 3)
    beyond = chart(bench=through)
    deepest = max(one.tip_mm for one in beyond.columns)
    assert deepest > beyond.now.shape.length_mm + 0.5
    assert beyond.paper.y(deepest) < TOP + TALL
    assert re.search(r"It was 1\.\d mm beyond the foramen\.", truth(through.record[-1], SIDES).stood)


@given(st.lists(st.floats(TOP, TOP + TALL), max_size=20))
def test_words_keep_their_order_and_apart(wanted):
    placed = heights(sorted(wanted))
    assert all(lower - upper >= APART - 1e-6 for upper, lower in pairwise(placed))
    assert all(y <= TOP + TALL + 1e-6 for y in placed)


def test_words_that_have_room_stand_where_their_marks_are():
    assert heights([60.0, 100.0, 300.0]) == [60.0, 100.0, 300.0]
    assert heights([100.0, 105.0]) == [100.0, 120.0]


def test_each_move_has_its_column_and_those_to_come_are_pale():
    drawn = depths(chart(5))
    assert drawn.count("chart-hit") == MOVES
    assert "chart-later" in drawn
    assert "chart-later" not in depths(chart())


def test_harm_is_pinned_with_its_number_once_it_is_done():
    """The third flare, at the latest, has gone through a wall of the molar."""
    steps = CARELESS.record_of("MB").steps
    harmful = [step.number for step in steps if step.events]
    assert harmful[:3] == [1, 2, 3]
    assert f"Harm at moves 1 ({'; '.join(steps[0].events)})" in depths(chart(bench=CARELESS))
    assert depths(chart(1, bench=CARELESS)).count('class="chart-pin"') == 1
    assert depths(chart(0, bench=CARELESS)).count('class="chart-pin"') == 0


def test_the_answered_length_is_a_pointer_only_if_one_was_given():
    assert 'class="chart-you"' in section(chart(said_mm=19.3))
    assert 'class="chart-you"' not in section(chart())
    assert 'class="chart-you"' not in section(chart(said_mm=300.0))


def test_a_fragment_and_a_notch_are_drawn():
    lumen = replace(BENCH.lumen("MB"), fragment=Fragment(6.0, "25/.04"), notches=(Notch(5.0, 0.2),))
    bench = Bench(MappingProxyType({"MB": lumen}))
    drawn = section(canal_chart(bench, TOOTH, "MB"))
    assert 'class="chart-piece"' in drawn
    assert 'class="chart-notch"' in drawn


def test_no_place_beyond_the_last_move():
    with pytest.raises(ValueError, match="there is no place 999"):
        chart(999)


def test_what_was_true_is_worked_out_from_the_canal():
    """Width 0.20 mm at 12 mm and .02 wider a millimetre up: a 25/.02 stops where that is 0.25 mm, 2.5 mm up, at 9.5."""
    bench = Bench(MappingProxyType({"ideal": straight(0.2, 0.02)}))
    _bench, step = bench.make("ideal", Gauge(25, to_mm=20.0))
    told = truth(step, SIDES)
    assert told.stood == (
        "The tip stood at 17.5 mm from the cusp. That is 2.5 mm short of its stop. The foramen was 2.5 mm further."
    )
    (cause,) = told.causes
    assert (cause.at, cause.below) == ("17.5", "9.5")
    assert cause.numbers == (
        ("D0", "0.25 mm (tip diameter)"),
        ("T", "0.02 mm/mm (taper)"),
        ("p", "9.5 mm (reached below the orifice)"),
    )
    assert told.changes == ()
    assert told.harm == ""


def test_what_a_move_changed_is_told_with_what_was():
    _bench, step = BENCH.make("MB", CoronalFlare(4.0, 20, "toward"))
    said = " ".join(truth(step, SIDES).changes)
    assert step.after.furcation_mm[:30].min() < step.before.furcation_mm[:30].min()
    assert "Wall towards the furcation, where it is thinnest: now " in said
    assert "The canal was widened most at" in said


def test_a_wall_that_was_gone_is_not_told_again():
    """After the flares that went through it, one more takes nothing from a wall of 0 mm."""
    _bench, step = CARELESS.make("MB", CoronalFlare(5.0, 30, "toward"))
    assert step.before.furcation_mm.min() < 0
    assert not [said for said in truth(step, SIDES).changes if "furcation" in said or "-" in said]
