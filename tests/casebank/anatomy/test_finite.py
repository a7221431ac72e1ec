"""No number of an anatomy may be infinite or not a number: such a tooth would draw, measure and grade as nonsense."""

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest

from casebank.anatomy import Leg, Narrowing
from casebank.anatomy.finite import evenly_spaced, finite_array, require_finite
from tests.teeth import lower_molar


def values_within(value: Any) -> Iterator[Any]:
    """Every dataclass within a value, itself included, one of each kind."""
    seen: set[type] = set()
    waiting = [value]
    while waiting:
        part = waiting.pop()
        if isinstance(part, tuple):
            waiting.extend(part)
        elif is_dataclass(part):
            waiting.extend(getattr(part, field.name) for field in fields(part))
            if type(part) not in seen:
                seen.add(type(part))
                yield part


def spoilt(bad: float) -> Iterator[Any]:
    """Each place of each kind of value that holds a float, as value, field and the field's spoilt content."""
    arc, narrowing = (
        Leg(2.0, 8.0, 45.0),
        Narrowing(6.0, 0.1),
    )  # the lower molar has a straight leg first, and no narrowing
    for part in [*values_within(lower_molar()), arc, narrowing]:
        for field in fields(part):
            content = getattr(part, field.name)
            name = f"{type(part).__name__}.{field.name}"
            if isinstance(content, float):
                yield pytest.param(part, field.name, bad, id=f"{name}={bad}")
            elif isinstance(content, tuple) and content and all(isinstance(number, float) for number in content):
                for place in range(len(content)):
                    changed = (*content[:place], bad, *content[place + 1 :])
                    yield pytest.param(part, field.name, changed, id=f"{name}[{place}]={bad}")


PLACES = [*spoilt(math.nan), *spoilt(math.inf), *spoilt(-math.inf)]


def test_the_search_for_numbers_reaches_every_kind_of_value():
    kinds = {type(place.values[0]).__name__ for place in PLACES}
    assert kinds == {
        *("Canal", "Course", "Leg", "Narrowing", "Section", "Root", "Station", "Crown", "Chamber", "Tooth"),
        *("Placement", "Support", "Crest", "Bone", "Lesion", "Prosthesis", "Neighbour"),
    }


@pytest.mark.parametrize(("part", "name", "content"), PLACES)
def test_no_number_of_an_anatomy_may_be_infinite_or_not_a_number(part, name, content):
    with pytest.raises(ValueError, match=r"finite|above 0|needs|keep it|give"):
        replace(part, **{name: content})


def test_a_number_left_out_passes_and_a_bad_one_is_named():
    require_finite("a leg", [("length_mm", 1.0), ("radius_mm", None)])
    with pytest.raises(ValueError, match="a leg: radius_mm is -inf, give a finite number"):
        require_finite("a leg", [("length_mm", 1.0), ("radius_mm", -math.inf)])


def test_an_array_is_passed_on_as_it_is_or_refused_by_its_subject():
    assert finite_array("depths", [1, 2]).tolist() == [1.0, 2.0]
    with pytest.raises(ValueError, match="depths: a value is not finite"):
        finite_array("depths", [1.0, math.nan])


def test_even_depths_keep_both_ends():
    assert evenly_spaced(1.0, 5.0).tolist() == [0.0, 1.0]
    # 0.3 / 0.1 is a little above 3 in floating point; still three steps
    assert evenly_spaced(0.3, 0.1) == pytest.approx(np.array([0.0, 0.1, 0.2, 0.3]))
