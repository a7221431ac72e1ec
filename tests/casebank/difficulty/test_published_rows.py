"""Published cut-offs, totals and codes against the bundled sets, each beside its source.

"From memory" beside a source means that the figure is recalled: the set marks it so, and a page says "check your
edition".
"""

import pytest

from casebank.difficulty import Measured, Stated, angle_methods, criteria_named, judge

AAE, EARLIER = criteria_named("aae-2022"), criteria_named("aae-2005-2010")
RCS, ESE = criteria_named("rcs-2001"), criteria_named("ese-1992")


def bend(angle_deg):
    return {"seen_curvature_deg": Measured(angle_deg, "deg", "by hand", "film 1")}


def form(criteria, angle_deg):
    return judge(criteria, bend(angle_deg)).factor("canal-form").word


# AAE form: below 10, 10 to 30, above 30 degrees (lowest verified for 2022; moderate and high from memory)
@pytest.mark.parametrize(
    ("angle_deg", "in_2022", "earlier"),
    [
        (9.9, "low", "minimal"),
        (10, "moderate", "moderate"),
        (30, "moderate", "moderate"),
        (30.1, "high", "high"),
    ],
)
def test_a_bend_has_one_level_in_both_editions_of_the_form(angle_deg, in_2022, earlier):
    assert (form(AAE, angle_deg), form(EARLIER, angle_deg)) == (in_2022, earlier)


# AAE form: below 1, 1 to 1.5, above 1.5 mm (as above); longer than 25 mm is high (from memory)
@pytest.mark.parametrize(
    ("fact", "value_mm", "level"),
    [
        ("apical_opening_mm", 0.9, 1),
        ("apical_opening_mm", 1.0, 2),
        ("apical_opening_mm", 1.5, 2),
        ("apical_opening_mm", 1.6, 3),
        ("tooth_length_mm", 25.0, 1),
        ("tooth_length_mm", 25.1, 3),
    ],
)
@pytest.mark.parametrize("criteria", [AAE, EARLIER])
def test_openings_and_lengths_of_the_form(criteria, fact, value_mm, level):
    facts = {fact: Measured(value_mm, "mm", "by hand", "anatomy")}
    assert judge(criteria, facts).factor("canal-form").level == level


# AAE 2022, guidance page (verified); earlier printings: any moderate or high (from memory), "several" read as three
@pytest.mark.parametrize(
    ("moderate", "high", "in_2022", "earlier"),
    [
        (0, 0, "low", "minimal"),
        (1, 0, "moderate", "moderate"),
        (2, 0, "moderate", "moderate"),
        (3, 0, "high", "high"),
        (0, 1, "high", "high"),
    ],
)
def test_the_case_rule_of_either_edition(moderate, high, in_2022, earlier):
    levels = [2] * moderate + [3] * high + [1] * (17 - moderate - high)
    assert AAE.word(AAE.case_rule.level_of(levels)) == in_2022
    assert EARLIER.word(EARLIER.case_rule.level_of(levels)) == earlier


# AAE guide for educators to the earlier form (from memory): 1, 2 and 5 points; below 20, 20 to 40, above 40
@pytest.mark.parametrize(
    ("moderate", "high", "total", "band"),
    [
        (0, 0, 17, 1),  # 17 · 1
        (2, 0, 19, 1),  # 15 · 1 + 2 · 2
        (3, 0, 20, 2),  # 14 · 1 + 3 · 2
        (0, 5, 37, 2),  # 12 · 1 + 5 · 5
        (0, 6, 41, 3),  # 11 · 1 + 6 · 5
    ],
)
def test_the_educators_points(moderate, high, total, band):
    points = EARLIER.points
    assert points.total([1] * (17 - moderate - high) + [2] * moderate + [3] * high) == total
    assert points.band_of(total) == points.bands[band - 1]
    assert points.status == "from memory"


def test_the_three_bands_say_student_then_closely_supervised_then_not_a_student():
    below, middle, above = (band.says for band in EARLIER.points.bands)
    assert "a student may treat it" in below
    assert "closely supervised by a specialist" in middle
    assert "not for a student" in above


@pytest.mark.parametrize(
    ("asa_class", "earlier", "in_2022"),
    # 2005 and 2010: ASA 1, 2, 3 to 5 (from memory); 2022: ASA 1 and 2 are low (secondary summary, verified)
    [(1, "minimal", "low"), (2, "moderate", "low"), (3, "high", "high")],
)
def test_the_editions_differ_over_a_mild_condition(asa_class, earlier, in_2022):
    facts = {"asa_class": Stated(asa_class, "a")}
    assert judge(EARLIER, facts).factor("health").word == earlier
    assert judge(AAE, facts).factor("health").word == in_2022


def test_nothing_of_the_earlier_printings_is_called_verified():
    assert {cell.status for factor in EARLIER.factors for cell in factor.cells} == {"from memory"}
    assert {EARLIER.case_rule.status, EARLIER.points.status} == {"from memory"}


# RCS complexity booklet (verified): a modifier raises a component by one code, and several do not add up
def test_two_modifiers_raise_the_core_by_one_code_only():
    facts = bend(20.0) | {"gagging": Stated("strong", "c"), "opening": Stated("greatly limited", "d")}
    judged = judge(RCS, facts)
    assert judged.factor("canal-form").level == 2
    assert judged.overall.level == 3
    assert judged.overall.reason == (
        "Root canals high (moderate by itself; one step up for gagging and mouth opening, and several step up only "
        "once), gums moderate (low by itself; one step up for gagging and mouth opening, and several step up only "
        "once): high under the 2001 rule."
    )


# the booklet's own worked example (verified): gums at code 2, root canals at code 3 with retreatment, overall 3
def test_the_worked_example_of_the_index():
    facts = bend(41.0) | {"gum_state": Stated("moderate disease", "e"), "earlier": Stated("root filled", "f")}
    judged = judge(RCS, facts)
    assert judged.factor("gums").level == 2
    assert judged.factor("again").word == "present"
    assert judged.overall.level == 3
    assert judged.overall.reason == (
        "Root canals high (high by itself; no higher level to step up to for treated again), gums moderate: "
        "high under the 2001 rule."
    )


# RCS index (from memory): below 15, between 15 and 40, above 40 degrees
@pytest.mark.parametrize(("angle_deg", "code"), [(14, 1), (20, 2), (41, 3)])
def test_the_codes_of_a_bend_in_the_index(angle_deg, code):
    assert judge(RCS, bend(angle_deg)).overall.level == code
    assert RCS.factor("canal-form").cells[code - 1].status == "from memory"


# ESE undergraduate guideline, Int Endod J 1992;25:169 (verified): below 15 degrees
@pytest.mark.parametrize(("angle_deg", "word"), [(14.9, "uncomplicated"), (15, "complicated")])
def test_what_the_guideline_calls_uncomplicated(angle_deg, word):
    assert judge(ESE, bend(angle_deg)).overall.word == word


@pytest.mark.parametrize(
    "facts",
    [
        # the guideline's other conditions (verified): formed fully, canals seen, way in free, no damage or resorption
        {"apical_opening_mm": Measured(1.2, "mm", "by hand", "anatomy")},
        {"canal_sight": Measured("unclear", "", "by hand", "anatomy")},
        {"canal_contents": Measured("post", "", "by hand", "anatomy")},
        {"resorption": Measured("internal", "", "by hand", "anatomy")},
        {"earlier": Stated("opened, with a complication", "a")},
    ],
)
def test_any_condition_of_the_guideline_that_fails_makes_a_case_complicated(facts):
    assert judge(ESE, {}).overall.word == "uncomplicated"
    assert judge(ESE, facts).overall.word == "complicated"


# Schneider, Oral Surg 1971;32:271 (classes from memory): up to 5, 10 to 20, 25 to 70 degrees
@pytest.mark.parametrize(
    ("angle_deg", "word"),
    [(5, "straight"), (7, "unclassed"), (15, "moderate"), (22, "unclassed"), (30, "severe"), (71, "unclassed")],
)
def test_the_classes_of_the_construction_leave_gaps(angle_deg, word):
    classes = angle_methods().method("Schneider").classes
    assert (classes.of(angle_deg), classes.status) == (word, "from memory")


@pytest.mark.parametrize(
    ("criteria", "angle_deg", "said"),
    [
        (AAE, 10.0, "On a boundary: exactly 10° and exactly 30° are read as moderate"),
        (AAE, 30.04, "On a boundary: exactly 10° and exactly 30° are read as moderate"),  # printed as 30.0
        (AAE, 7.0, "In a gap: Schneider's classes leave 5 to 10° open; the form's bands decide, so low."),
        (AAE, 22.0, "In a gap: Schneider's classes leave 20 to 25° open; the form's bands decide, so moderate."),
        (EARLIER, 22.0, "In a gap: Schneider's classes leave 20 to 25° open"),
        (RCS, 15.0, "On a boundary: the index leaves exactly 15° and exactly 40° open; the harder code is read"),
        (RCS, 40.0, "On a boundary: the index leaves exactly 15° and exactly 40° open; the harder code is read"),
        (ESE, 15.0, "On a boundary: the guideline says less than 15°, so exactly 15° is complicated."),
        (ESE, 22.0, "In a gap: Schneider's classes leave 20 to 25° open; the guideline's bound decides"),
    ],
)
def test_a_value_that_the_source_leaves_open_says_how_the_set_reads_it(criteria, angle_deg, said):
    assert said in judge(criteria, bend(angle_deg)).factor("canal-form").reason


@pytest.mark.parametrize("criteria", [AAE, EARLIER, RCS, ESE])
@pytest.mark.parametrize("angle_deg", [4.0, 12.0, 26.0, 50.0])
def test_a_value_that_the_source_settles_says_nothing_of_it(criteria, angle_deg):
    reason = judge(criteria, bend(angle_deg)).factor("canal-form").reason
    assert "boundary" not in reason
    assert "gap" not in reason


def test_the_index_reads_both_its_open_points_as_the_harder_code():
    assert (form(RCS, 15.0), form(RCS, 40.0)) == ("moderate", "high")


def test_three_moderate_factors_say_that_the_number_is_our_reading():
    moderate = {name: Stated(value, "a") for name, value in
                (("gagging", "now and then"), ("urgency", "marked"), ("opening", "slightly limited"))}  # fmt: skip
    reason = judge(EARLIER, moderate).overall.reason
    assert reason.startswith("Three moderate: high under the 2005–2010 rule. The form says several moderate factors")
    with_one_high = judge(EARLIER, moderate | {"asa_class": Stated(3, "a")}).overall.reason
    assert "several" not in with_one_high
