"""Levels with reasons: the leaning molar by hand, silence, and what may never lower a level."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casebank.difficulty import BandsRule, Measured, Stated, criteria_named, judge, measured_from, together
from tests.teeth import lower_molar

CRITERIA = criteria_named("aae-2022")
RULES = {rule.fact: rule for factor in CRITERIA.factors for rule in factor.rules}
UNTROUBLED = {
    "asa_class": Stated(2, "a"),
    "numbing": Stated("no trouble", "a"),
    "cooperation": Stated("works with you", "a"),
    "gagging": Stated("none", "a"),
    "urgency": Stated("little", "a"),
    "opening": Stated("full", "b"),
    "isolation": Stated("as usual", "b"),
    "crown_form": Stated("as usual", "b"),
    "gum_state": Stated("healthy or mild", "j"),
    "label_fit": Stated("agree", "g"),
    "film_taking": Stated("no trouble", "b"),
    "trauma": Stated("none", "a"),
    "earlier": Stated("none", "a"),
}
SEEN = Measured(18.0, "deg", "Schneider 1971", "film, canal MB, tube at 0°")


def leaning_molar(**stated):
    return together(measured_from(lower_molar()) | {"seen_curvature_deg": SEEN}, UNTROUBLED | stated)


def test_the_leaning_molar_is_high_for_place_and_crown():
    judged = judge(CRITERIA, leaning_molar())
    # second molar; a bridge 24 degrees off the roots; seen bend of 18; chamber 1.5 mm high; everything else untroubled
    raised = {"position": "high", "crown": "high", "canal-form": "moderate", "canal-sight": "moderate"}
    assert {level.factor_id: level.word for level in judged.factors if level.word != "low"} == raised
    assert judged.overall.word == "high"
    assert judged.overall.reason == "Two moderate, two high: high under the 2022 rule."
    assert judged.silent == ()


def test_a_reason_names_number_method_view_and_how_sure_the_cell_is():
    level = judge(CRITERIA, leaning_molar()).factor("canal-form")
    assert level.reason == (
        "Moderate (cell from memory): canal curvature 18.0°, 10 to 30° (Schneider 1971; film, canal MB, tube at 0°); "
        "crown axis off the roots' 24.0°, 10° or more "
        "(larger of mesio-distal and bucco-lingual; anatomy; bands: teaching choice)."
    )
    assert level.evidence == ("film, canal MB, tube at 0°", "anatomy")


def test_the_evidence_of_a_stated_fact_is_its_finding():
    level = judge(CRITERIA, leaning_molar(opening=Stated("slightly limited", "k"))).factor("opening")
    assert (level.word, level.evidence) == ("moderate", ("k",))
    assert level.reason == "Moderate (cell from memory): mouth opening slightly limited (finding k)."


def test_the_worst_rule_met_decides_a_factor():
    gums = {
        "crest_depth_mm": Measured(4.0, "mm", "deepest side", "anatomy"),
        "gum_state": Stated("combined lesion", "k"),
    }
    assert judge(CRITERIA, gums).factor("gums").word == "high"
    assert judge(CRITERIA, gums).factor("gums").evidence == ("k",)


def test_missing_facts_count_lowest_and_are_listed():
    judged = judge(CRITERIA, {"trauma": Stated("subluxation", "a")})
    assert judged.factor("numbing").reason == "Nothing stated about numbing, so low."
    assert judged.factor("numbing").evidence == ()
    assert "numbing" in judged.silent
    assert "trauma" not in judged.silent
    assert set(judged.silent) == set(CRITERIA.facts) - {"trauma"}


def test_a_factor_judged_on_some_of_its_facts_says_which_are_missing():
    facts = leaning_molar()
    del facts["crown_form"]
    level = judge(CRITERIA, facts).factor("crown")
    assert level.word == "high"
    assert level.reason.endswith("Nothing stated about crown form.")


@pytest.mark.parametrize(
    ("moderates", "reason"),
    [
        ({}, "No moderate, no high: low under the 2022 rule."),
        ({"gagging": "now and then"}, "One moderate: moderate under the 2022 rule."),
        (
            {"gagging": "now and then", "urgency": "marked", "opening": "slightly limited"},
            "Three moderate: high under the 2022 rule.",
        ),
        ({"urgency": "strong"}, "One high: high under the 2022 rule."),
    ],
)
def test_the_case_s_reason_counts_what_decided(moderates, reason):
    facts = {name: Stated(value, "a") for name, value in moderates.items()}
    assert judge(CRITERIA, facts).overall.reason == reason


# 9.96 is printed as 10.0, and 25.04 as 25.0: a student must never see a number beside a level that does not fit it
@pytest.mark.parametrize(
    ("fact", "unit", "value", "printed", "word"),
    [
        ("seen_curvature_deg", "deg", 9.94, "9.9°", "low"),
        ("seen_curvature_deg", "deg", 9.96, "10.0°", "moderate"),
        ("tooth_length_mm", "mm", 25.04, "25.0 mm", "low"),
        ("apical_opening_mm", "mm", 0.994, "0.99 mm", "low"),
    ],
)
def test_a_value_is_judged_as_it_is_printed(fact, unit, value, printed, word):
    level = judge(CRITERIA, {fact: Measured(value, unit, "by hand", "a film")}).factor("canal-form")
    assert level.word == word
    assert printed in level.reason


@pytest.mark.parametrize(
    ("facts", "message"),
    [
        (
            {"openning": Stated("full", "c")},
            "finding c states openning, which no rule of aae-2022 reads and no other set knows: .*opening",
        ),
        ({"opening": Stated("wide", "c")}, "finding c: opening cannot be 'wide': use one of full, slightly limited"),
        ({"tilt_deg": Stated("steep", "c")}, "finding c: tilt_deg is 'steep': give a number in deg"),
        ({"tilt_deg": Measured(12.0, "mm", "m", "anatomy")}, "anatomy: tilt_deg is given in mm: give it in deg"),
        ({"tooth_group": Measured(7.0, "mm", "m", "anatomy")}, "anatomy: tooth_group is 7.0: give one of anterior"),
    ],
)
def test_a_fact_that_does_not_fit_its_rule_is_refused_in_words(facts, message):
    with pytest.raises(ValueError, match=message):
        judge(CRITERIA, facts)


def test_asking_for_a_factor_that_was_not_judged_names_those_that_were():
    with pytest.raises(KeyError, match="no factor teeth: judged were health"):
        judge(CRITERIA, {}).factor("teeth")


def a_value(rule):
    """Any value of a rule, with its place on the way from easy to hard."""
    if isinstance(rule, BandsRule):
        return st.floats(0, 60).map(lambda value: (value, Measured(value, rule.unit, "by hand", "a film")))
    return st.sampled_from(sorted(rule.levels)).map(lambda word: (rule.levels[word], Stated(word, "a")))


ANY_CASE = st.fixed_dictionaries({}, optional={name: a_value(rule) for name, rule in RULES.items()})


@given(ANY_CASE, st.sampled_from(sorted(RULES)), st.data())
def test_making_any_one_fact_harder_never_lowers_a_level(case, raised, data):
    before = {name: fact for name, (_, fact) in case.items()}
    least = case[raised][0] if raised in case else 0
    harder = data.draw(a_value(RULES[raised]).filter(lambda pair: pair[0] >= least))
    easy, hard = judge(CRITERIA, before), judge(CRITERIA, before | {raised: harder[1]})
    assert hard.overall.level >= easy.overall.level
    for one, other in zip(easy.factors, hard.factors, strict=True):
        assert other.level >= one.level


@given(ANY_CASE)
def test_the_order_of_the_facts_changes_nothing(case):
    facts = {name: fact for name, (_, fact) in case.items()}
    assert judge(CRITERIA, facts) == judge(CRITERIA, dict(reversed(facts.items())))
