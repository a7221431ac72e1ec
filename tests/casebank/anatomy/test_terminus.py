"""Published figures of the canal's end, and whether our lower molar could be such a tooth."""

import math
from dataclasses import replace

import pytest

from casebank.anatomy import Section
from casebank.anatomy.terminus import Figure, Literature, Range, departures, is_plausible, literature
from tests.teeth import lower_molar

MOLAR = lower_molar().tooth


@pytest.mark.parametrize(("group", "value_mm"), [("aged 18 to 25", 0.495), ("over 55", 0.607)])
def test_the_foramen_lies_off_the_apex_by_what_kuttler_measured(group, value_mm):
    # check value 82; Kuttler, J Am Dent Assoc 1955;50:544-552
    figure = literature().figure("foramen to apex", group)
    assert figure.value_mm == value_mm
    assert figure.status == "verified"
    assert "1955" in figure.source


def test_only_the_distance_to_the_constriction_is_recalled():
    recalled = {figure.quantity for figure in literature().figures if figure.status == "from memory"}
    assert recalled == {"foramen to constriction"}


def test_what_a_source_leaves_open_says_so():
    open_ones = [figure for figure in literature().figures if figure.status == "our reading"]
    assert {figure.group.split(",")[0] for figure in open_ones} == {"lower first molar"}
    assert all(figure.note for figure in open_ones)


def test_every_published_mean_lies_in_the_range_of_its_quantity():
    for figure in literature().figures:
        quantity = figure.quantity.replace("narrow ", "").replace("wide ", "")
        if quantity != "constriction to apex":  # no range: constriction and foramen have theirs
            assert literature().range_of(quantity).holds(figure.value_mm), figure


@pytest.mark.parametrize("canal", MOLAR.canals, ids=lambda canal: canal.name)
def test_every_canal_of_the_lower_molar_ends_plausibly(canal):
    assert departures(MOLAR, canal) == ()
    assert is_plausible(MOLAR, canal)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        pytest.param({"constriction": Section(0.11, 0.4)}, "narrow constriction diameter of 0.11", id="too tight"),
        pytest.param({"constriction": Section(0.2, 0.56)}, "wide constriction diameter of 0.56", id="too long an oval"),
        pytest.param({"foramen": Section(0.24, 0.4)}, "narrow foramen diameter of 0.24", id="foramen too small"),
        pytest.param({"foramen": Section(0.4, 0.91)}, "wide foramen diameter of 0.91", id="foramen too wide"),
        pytest.param({"constriction_to_foramen_mm": 1.3}, "foramen to constriction of 1.30", id="too far apart"),
    ],
)
def test_an_end_outside_its_range_is_named_with_value_range_and_reason(change, sentence):
    canal = replace(MOLAR.canal("MB"), **change)
    assert not is_plausible(MOLAR, canal)
    (said,) = departures(MOLAR, canal)
    assert said.startswith(f"canal MB: {sentence} mm lies outside ")
    assert "published means" in said


def test_an_open_apex_is_no_fully_formed_end():
    wide = Section(2.1, 2.3)
    said = departures(MOLAR, replace(MOLAR.canal("D"), constriction=wide, foramen=wide))
    assert len(said) == 4  # both diameters of both


def test_a_range_holds_its_ends_and_no_nan():
    chosen = Range("foramen diameter", 0.25, 0.90, "a reason")
    assert [chosen.holds(value) for value in (0.24, 0.25, 0.90, 0.91, math.nan)] == [False, True, True, False, False]


def test_asking_for_what_is_not_in_the_table_is_a_key_error():
    with pytest.raises(KeyError, match="no figure for foramen to apex, aged 30"):
        literature().figure("foramen to apex", "aged 30")
    with pytest.raises(KeyError, match="no range for colour"):
        literature().range_of("colour")


GOOD = Figure("foramen diameter", "aged 18 to 25", 0.502, "a source", "verified")


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        pytest.param(lambda: replace(GOOD, value_mm=math.nan), "value_mm is nan", id="figure nan"),
        pytest.param(lambda: replace(GOOD, value_mm=0.0), "above 0 mm", id="figure of nothing"),
        pytest.param(lambda: replace(GOOD, source=""), "needs its source", id="no source"),
        pytest.param(lambda: replace(GOOD, status="likely"), "none of verified", id="unknown status"),
        pytest.param(lambda: Literature((GOOD, GOOD), ()), "twice", id="figure twice"),
        pytest.param(lambda: Range("x", 0.5, 0.4, "because"), "out of order", id="range upside down"),
        pytest.param(lambda: Range("x", math.nan, 0.4, "because"), "low_mm is nan", id="range nan"),
        pytest.param(lambda: Range("x", 0.4, 0.5, ""), "needs its reason", id="no reason"),
    ],
)
def test_a_figure_or_range_without_what_it_needs_is_refused(make, sentence):
    with pytest.raises(ValueError, match=sentence):
        make()
