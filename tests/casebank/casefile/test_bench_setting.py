"""What a case brings to its bench."""

from dataclasses import replace

import pytest

from casebank.anatomy import Post, Restorations
from casebank.casefile.bench_setting import INFLAMED, bench_setting
from casebank.casefile.diagnosis_fits import PULPAL
from tests.casebank.casefile.bank import SLUGS, case


def diagnosed(term):
    document = case("bread-biter")
    return document.model_copy(update={"diagnosis": document.diagnosis.model_copy(update={"pulpal": term})})


@pytest.mark.parametrize("slug", SLUGS)
def test_every_canal_of_a_bundled_case_is_worked(slug):
    assert bench_setting(case(slug)).closed == {}


def test_only_the_tooth_that_carries_a_metal_crown_has_metal():
    assert [slug for slug in SLUGS if bench_setting(case(slug)).metal] == ["leaning-abutment"]


def test_an_inflamed_pulp_bleeds_and_a_dead_one_does_not():
    assert set(INFLAMED) <= set(PULPAL)
    assert all(bench_setting(diagnosed(term)).inflamed for term in INFLAMED)
    assert not bench_setting(diagnosed("pulp necrosis")).inflamed


def test_a_post_closes_its_canal():
    document = case("bread-biter")
    placed = Restorations(posts=(Post("La", 3.0, 0.6, "fibre"),))
    changed = document.model_copy(update={"anatomy": replace(document.anatomy, restorations=placed)})
    assert set(bench_setting(changed).closed) == {"La"}
