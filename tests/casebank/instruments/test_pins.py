"""Every number of the bench is pinned; each of shaping by a check that holds in its range and fails out of it."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from casebank.instruments.teaching import NOTES, TEACHING
from tests.casebank.instruments.pins import PINS

HERE = Path(__file__).stem
MARGIN, FAR = 0.02, 0.25  # shares of the range by which a number is moved inside and outside of its ends


@contextmanager
def moved(name: str, value: float) -> Iterator[None]:
    """A number at another value for a while; no shape of a canal that is kept depends on one."""
    was = getattr(TEACHING, name)
    object.__setattr__(TEACHING, name, value)
    try:
        yield
    finally:
        object.__setattr__(TEACHING, name, was)


def holds(name: str, value: float) -> bool:
    with moved(name, value):
        return PINS[name]()


def test_every_number_is_pinned_by_a_test_that_stands_here():
    assert {name for name, note in NOTES.items() if note.pinned_by == HERE} == set(PINS)
    for note in NOTES.values():
        assert (Path(__file__).parent / f"{note.pinned_by}.py").is_file(), note.meaning


@pytest.mark.parametrize("name", PINS)
def test_a_number_meets_its_check_and_says_what_that_is(name):
    note = NOTES[name]
    assert PINS[name]()
    assert PINS[name].__doc__
    assert note.least <= note.value <= note.most


@pytest.mark.parametrize("name", PINS)
def test_a_check_holds_within_the_range(name):
    note = NOTES[name]
    inside = MARGIN * (note.most - note.least)
    assert holds(name, note.least + inside)
    assert holds(name, note.most - inside)


@pytest.mark.parametrize("share", [MARGIN, FAR])
@pytest.mark.parametrize("name", PINS)
def test_a_check_fails_out_of_the_range_at_either_end(name, share):
    note = NOTES[name]
    outside = share * (note.most - note.least)
    assert not holds(name, note.least - outside)
    assert not holds(name, note.most + outside)


def test_a_moved_number_is_put_back():
    with moved("bite_mm", 1.0):
        assert TEACHING.bite_mm == 1.0
    assert TEACHING.bite_mm == NOTES["bite_mm"].value
