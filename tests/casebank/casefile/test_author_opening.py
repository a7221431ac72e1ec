"""An author's own opening has to be right by the verdict that students get, or the author is told what it costs."""

import json
from dataclasses import replace

import pytest

from casebank.casefile import derive
from casebank.casefile.consistency import inconsistencies
from casebank.casefile.document import Opening
from casebank.casefile.opened import judged, usual_plan_of
from casebank.casefile.opening_words import opening_record, verdict_words
from tests.casebank.casefile.bank import SLUGS, case


def with_opening(slug, **other):
    document = case(slug)
    return document.model_copy(update={"opening": document.opening.model_copy(update=other)})


@pytest.mark.parametrize("slug", SLUGS)
def test_the_bundled_cases_openings_are_right(slug):
    assert case(slug).opening is not None
    assert [said for said in inconsistencies(case(slug)) if said.startswith("opening")] == []


def test_one_that_reaches_no_canal_is_told_with_what_stands_in_the_way():
    small = ((-0.8, -0.6), (0.8, -0.6), (0.8, 0.6), (-0.8, 0.6))
    (said,) = [said for said in inconsistencies(with_opening("map-engraver", outline_mm=small)) if "opening" in said]
    assert said.startswith("opening: by the verdict that students get, this opening is too small. ")
    assert "no straight shaft reaches it" in said
    assert said.endswith("Redraw it, or take the field out: then it is worked out from the chamber")


def test_one_that_goes_on_into_the_furcation_is_told():
    (said,) = [said for said in inconsistencies(with_opening("map-engraver", depth_mm=12.0)) if "opening" in said]
    assert "this opening is gouged" in said


def test_one_off_the_crown_is_told_with_its_field():
    off = ((0.0, 0.0), (9.0, 0.0), (0.0, 2.0))
    with pytest.raises(ValueError, match="opening: point 2 of the outline"):
        derive(with_opening("map-engraver", outline_mm=off))


def test_a_case_without_one_is_asked_nothing():
    document = case("map-engraver").model_copy(update={"opening": None, "rubric": "treatment-path"})
    assert not any(said.startswith("opening") for said in inconsistencies(document))


@pytest.mark.parametrize("slug", SLUGS)
def test_a_plan_written_and_read_again_is_the_plan_to_a_hundredth(slug):
    plan = usual_plan_of(case(slug))
    again = Opening.model_validate_json(json.dumps(opening_record(plan))).plan()
    assert replace(again, outline=plan.outline, depth_mm=plan.depth_mm, axis=plan.axis) == plan
    gaps = [
        abs(one - other)
        for before, after in zip(plan.outline, again.outline, strict=True)
        for one, other in zip(before, after, strict=True)
    ]
    assert max(gaps) <= 0.005 + 1e-9


def test_a_verdict_in_words_begins_with_the_sum_and_has_a_line_for_each_finding():
    verdict = judged(case("map-engraver"), usual_plan_of(case("map-engraver")))
    said = verdict_words(verdict)
    assert said[0] == "In short: right."
    assert len(said) == 1 + len(verdict.findings)
    assert said[1].startswith("Costs something: ")
