"""Canal names: every kind of tooth has a menu of its own, and each name on it has words on the pages."""

import pytest

from assess.presenting.naming import CANALS, canal_words
from casebank.anatomy import usual_canals
from casebank.anatomy.tooth import FDI_NUMBERS


@pytest.mark.parametrize("number", sorted(FDI_NUMBERS))
def test_a_menu_leaves_a_choice_and_names_nothing_twice(number):
    menu = usual_canals(number)
    assert len(menu) >= 3
    assert len(set(menu)) == len(menu)
    assert all(canal_words(name).startswith(f"{name}, ") for name in menu)


def test_left_and_right_have_the_same_menu_and_no_name_is_without_a_tooth():
    for place in range(1, 9):
        assert usual_canals(10 + place) == usual_canals(20 + place)
        assert usual_canals(30 + place) == usual_canals(40 + place)
    assert {name for number in FDI_NUMBERS for name in usual_canals(number)} == set(CANALS)
