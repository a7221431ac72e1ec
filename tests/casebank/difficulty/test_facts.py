"""Facts measured on a tooth, each expected value worked by hand from the tooth's description."""

from dataclasses import replace

import pytest

from casebank.anatomy import Fragment, Restorations, RootFilling, Section
from casebank.difficulty import BandsRule, Measured, Stated, criteria_named, known_facts, measured_from, together
from tests.teeth import lower_molar


def with_tooth(**changes):
    anatomy = lower_molar()
    return replace(anatomy, tooth=replace(anatomy.tooth, **changes))


def with_crown(**changes):
    return with_tooth(crown=replace(lower_molar().tooth.crown, **changes))


@pytest.mark.parametrize(
    ("fact", "value"),
    [
        ("tooth_group", "second or third molar"),  # 37
        ("tilt_deg", 26.0),
        ("rotation_deg", 6.0),
        ("crown_off_root_deg", 24.0),  # larger of 24 and 4
        ("crown_state", "alignment hidden"),  # a bridge, 24 degrees off
        ("crest_depth_mm", 2.8),  # deepest of 2.8, 2.5, 2.5, 2.5
        ("apical_opening_mm", 0.48),  # distal canal
        ("canal_shape", "straight or bent one way"),
        ("root_number", "as usual"),
        ("canal_division", "none"),  # mesial orifices 2.9 mm apart
        ("canal_sight", "narrowed"),  # chamber 8.3 - 6.8 = 1.5 mm high
        ("lesion", "present"),
        ("resorption", "none described"),
        ("pulp_stones", "none described"),
    ],
)
def test_the_leaning_molar(fact, value):
    assert measured_from(lower_molar())[fact].value == pytest.approx(value)


def test_tooth_length_reaches_from_the_cusp_to_the_lowest_apex():
    # distal root: start +0.4, straight 9.6, arc of 3.1 mm at radius 40 (4.44 degrees, 3.097 mm deep), and the tip
    # 0.66 cos 4.44 = 0.658 mm beyond: -12.955; the crown stands 7.0 mm above the neck
    length = measured_from(lower_molar())["tooth_length_mm"]
    assert (length.value, length.unit) == (pytest.approx(7.0 + 12.955, abs=0.002), "mm")


@pytest.mark.parametrize(
    ("number", "group"),
    [
        (11, "anterior"),
        (43, "anterior"),
        (24, "premolar"),
        (35, "premolar"),
        (16, "first molar"),
        (48, "second or third molar"),
    ],
)
def test_tooth_groups_follow_the_place_in_the_arch(number, group):
    assert measured_from(with_tooth(number=number))["tooth_group"].value == group


def test_the_sign_of_tilt_and_rotation_does_not_matter():
    anatomy = lower_molar()
    mirrored = replace(anatomy, placement=replace(anatomy.placement, tilt_deg=-26.0, rotation_deg=-6.0))
    for fact in ("tilt_deg", "rotation_deg"):
        assert measured_from(mirrored)[fact] == measured_from(anatomy)[fact]


def test_the_apical_opening_is_the_widest_foramen_not_the_widest_canal():
    tooth = lower_molar().tooth
    open_ended = replace(tooth.canal("ML"), foramen=Section(0.50, 0.90))
    opening = measured_from(with_tooth(canals=(tooth.canal("MB"), open_ended, tooth.canal("D"))))["apical_opening_mm"]
    assert (opening.value, opening.source) == (0.90, "anatomy, canal ML")


@pytest.mark.parametrize(
    ("off_root_deg", "covered", "state"),
    [
        (24.0, False, "natural"),  # a natural crown shows its own line, whatever its angle
        (9.9, True, "full coverage or abutment"),
        (10.0, True, "alignment hidden"),
        (-12.0, True, "alignment hidden"),
    ],
)
def test_a_restored_crown_hides_the_roots_line_from_10_degrees(off_root_deg, covered, state):
    anatomy = with_crown(off_root_mesiodistal_deg=off_root_deg)
    if not covered:
        anatomy = replace(anatomy, prosthesis=None)
    assert measured_from(anatomy)["crown_state"].value == state


def test_every_fact_names_method_and_source_and_fits_its_rule():
    criteria = criteria_named("aae-2022")
    facts = measured_from(lower_molar())
    assert set(facts) - set(criteria.facts) == {"lesion", "canal_contents"}
    for name, fact in facts.items():
        assert fact.method
        assert fact.source.startswith("anatomy")
        for rule in criteria.rules_reading(name):
            assert not isinstance(rule, BandsRule) or fact.unit == rule.unit


def test_every_measured_fact_has_the_unit_or_the_values_that_the_vocabulary_knows():
    facts, known = measured_from(lower_molar()), known_facts()
    assert all(fact.unit == known[name].unit for name, fact in facts.items())
    assert all(fact.value in known[name].values for name, fact in facts.items() if not fact.unit)


def test_what_stands_in_a_canal_is_the_hardest_to_remove():
    anatomy = lower_molar()
    canal = anatomy.tooth.canals[-1].name  # the distal one
    filling = RootFilling(canal, short_mm=1.0)
    filled = replace(anatomy, restorations=Restorations(root_fillings=(filling,)))
    broken = replace(anatomy, restorations=Restorations(fragments=(Fragment(canal, short_mm=1.0, length_mm=3.0),)))
    for tooth, word in ((anatomy, "nothing"), (filled, "root filling"), (broken, "broken instrument")):
        assert measured_from(tooth)["canal_contents"].value == word


def test_a_finding_may_state_what_the_anatomy_does_not_describe():
    facts = together(
        measured_from(lower_molar()), {"resorption": Stated("minor apical", "d"), "gagging": Stated("none", "e")}
    )
    assert facts["resorption"] == Stated("minor apical", "d")
    assert facts["gagging"] == Stated("none", "e")
    assert facts["tilt_deg"].value == 26.0


def test_a_finding_may_not_contradict_the_anatomy():
    with pytest.raises(ValueError, match=r"finding d states tooth_group, .* 'second or third molar': remove it"):
        together(measured_from(lower_molar()), {"tooth_group": Stated("anterior", "d")})


@pytest.mark.parametrize(
    ("value", "unit", "method", "source", "message"),
    [
        (18.0, "", "Schneider", "film", "a number needs a unit"),
        ("open", "mm", "seen", "film", "a word has none"),
        (float("nan"), "deg", "Schneider", "film", "give a finite number"),
        (18.0, "deg", "", "film", "without method or source"),
        (18.0, "deg", "Schneider", "", "without method or source"),
    ],
)
def test_a_measured_fact_is_complete(value, unit, method, source, message):
    with pytest.raises(ValueError, match=message):
        Measured(value, unit, method, source)


@pytest.mark.parametrize(("value", "finding", "message"), [(True, "a", "give a word"), ("none", "", "name its letter")])
def test_a_stated_fact_is_complete(value, finding, message):
    with pytest.raises(ValueError, match=message):
        Stated(value, finding)
