"""Invented variations of the handbook's teeth on films: whatever may be asked of one has its figure in every view."""

import math

import pytest

from casebank.anatomy import usual_canals
from casebank.anatomy.tooth import FDI_NUMBERS
from casebank.anatomy.vary import vary
from casebank.radiograph import View
from casebank.radiograph.features import features_of
from casebank.radiograph.visibility import visible


@pytest.mark.parametrize("number", sorted(FDI_NUMBERS))
def test_every_canal_of_a_variation_can_be_named_by_a_student(number):
    for seed in range(12):
        named = {canal.name for canal in vary(number, seed).tooth.canals}
        assert named <= set(usual_canals(number)), seed


@pytest.mark.parametrize(("number", "seed", "horizontal"), [(36, 2, 20), (24, 5, -20), (12, 3, 0)])
def test_everything_that_may_be_asked_of_a_film_has_its_figure(number, seed, horizontal):
    anatomy = vary(number, seed)
    sights = {feature: visible(anatomy, View(horizontal), feature) for feature in features_of(anatomy)}
    assert len(sights) >= len(anatomy.tooth.canals) + len(anatomy.tooth.roots)
    for feature, sight in sights.items():
        assert math.isfinite(sight.figure), feature
        assert sight.figure >= 0, feature
        assert sight.why, feature
        assert not (sight.seen and sight.figure < sight.threshold), feature
