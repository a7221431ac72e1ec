"""What lies round a tooth: usual by its number, refused where it cannot be."""

from dataclasses import fields, replace

import pytest

from casebank.anatomy import (
    Jaw,
    MentalForamen,
    NasalFloor,
    NerveCanal,
    ObliqueRidge,
    Sinus,
    Zygoma,
    usual_jaw,
)
from casebank.anatomy.tooth import FDI_NUMBERS
from tests.teeth import lower_molar

UPPER_ONLY = {"sinus", "zygoma", "nasal_floor", "palate_beyond_apex_mm"}
LOWER_ONLY = {"nerve_canal", "mental_foramen", "external_ridge", "internal_ridge"}


def shown(jaw: Jaw) -> set[str]:
    return {
        field.name for field in fields(jaw) if field.name != "lower_border_mm" and getattr(jaw, field.name) is not None
    }


@pytest.mark.parametrize("number", sorted(FDI_NUMBERS))
def test_the_usual_jaw_of_every_tooth_belongs_to_its_own_jaw(number):
    upper = number // 10 in (1, 2)
    jaw = usual_jaw(number)
    jaw.require_of(upper=upper)
    assert not shown(jaw) & (LOWER_ONLY if upper else UPPER_ONLY)


@pytest.mark.parametrize(
    ("number", "there"),
    [
        (11, {"nasal_floor"}),
        (13, set()),
        (25, {"sinus", "zygoma"}),
        (16, {"sinus", "zygoma"}),
        (31, set()),
        (45, {"mental_foramen"}),
        (36, {"nerve_canal", "internal_ridge"}),
        (47, {"nerve_canal", "external_ridge", "internal_ridge"}),
    ],
)
def test_what_a_film_of_a_tooth_usually_shows_depends_on_its_place(number, there):
    assert shown(usual_jaw(number)) == there


def test_both_sides_of_the_mouth_are_alike():
    for place in range(1, 9):
        assert usual_jaw(10 + place) == usual_jaw(20 + place)
        assert usual_jaw(30 + place) == usual_jaw(40 + place)


def test_the_zygoma_lies_at_the_same_place_of_the_skull_whichever_molar_is_looked_at():
    # molars stand about 9.5 mm apart, so seen from the next one back it lies that much further to the front
    assert usual_jaw(17).zygoma.at_mm == pytest.approx(usual_jaw(16).zygoma.at_mm - 9.5)


def test_an_anatomy_without_a_jaw_of_its_own_has_the_usual_one():
    anatomy = lower_molar()
    assert anatomy.jaw is None
    assert anatomy.jaw_here == usual_jaw(37)
    bare = replace(anatomy, jaw=Jaw())
    assert shown(bare.jaw_here) == set()


@pytest.mark.parametrize(
    "jaw", [Jaw(sinus=Sinus()), Jaw(zygoma=Zygoma()), Jaw(nasal_floor=NasalFloor()), Jaw(palate_beyond_apex_mm=8.0)]
)
def test_a_lower_tooth_with_a_part_of_the_upper_jaw_is_refused(jaw):
    with pytest.raises(ValueError, match="a lower tooth's jaw has no"):
        replace(lower_molar(), jaw=jaw)


@pytest.mark.parametrize(
    "jaw",
    [Jaw(nerve_canal=NerveCanal()), Jaw(mental_foramen=MentalForamen()), Jaw(external_ridge=ObliqueRidge())],
)
def test_an_upper_tooth_with_a_part_of_the_lower_jaw_is_refused(jaw):
    with pytest.raises(ValueError, match="an upper tooth's jaw has no"):
        jaw.require_of(upper=True)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Sinus(beyond_apex_mm=float("nan")), "beyond_apex_mm"),
        (lambda: Sinus(begins_mm=-41.0), "keep it within 40 mm"),
        (lambda: Sinus(begins_mm=5.0, ends_mm=6.0), "too short"),
        (lambda: Sinus(bays=5), "1 to 4 bays"),
        (lambda: Zygoma(width_mm=0.0), "width above 2 mm"),
        (lambda: NasalFloor(foramen_mm=9.0), "0 .* to 8 mm"),
        (lambda: NerveCanal(lumen_mm=0.0), "above 0 mm"),
        (lambda: NerveCanal(rise_deg=50.0), "45 degrees"),
        (lambda: MentalForamen(size_mm=-1.0), "size above 0 mm"),
        (lambda: ObliqueRidge(rise_deg=70.0), "0 to 60 degrees"),
        (lambda: Jaw(lower_border_mm=10.0), "20 to 60 mm"),
        (lambda: Jaw(palate_beyond_apex_mm=99.0), "no film"),
    ],
)
def test_what_cannot_be_is_refused(make, words):
    with pytest.raises(ValueError, match=words):
        make()
