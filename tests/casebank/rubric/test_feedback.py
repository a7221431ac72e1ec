"""What feedback must be able to show before a task is published: each of place, size and reason, left out in turn."""

from dataclasses import dataclass, field, replace

import pytest

from casebank.rubric import (
    BenchReference,
    ChoiceReference,
    LevelReference,
    MarkReference,
    MeasureReference,
    OutlineReference,
    Reasons,
    Reference,
    Task,
    Verdict,
    WallLeft,
    compare,
)
from casebank.rubric import feedback as feedback_room
from casebank.rubric.feedback import feedback_gaps
from tests.casebank.rubric.cast import ANGLE, BENCH, COUNT, LEVEL, MARK, ONE, OUTLINE

WORKED = ("On film 1 it lies in the middle.",)
BEND = MeasureReference(18.0, frozenset({"MB"}))
TIP = MarkReference(((1.0, 2.0),))
USUAL = OutlineReference(
    leans_deg={"C": 0.0},
    need_mm3=20.0,
    beyond_mm3=1.0,
    roof_left_mm2=0.0,
    roof_mm2=5.0,
    walls=(WallLeft("crown", 2.0, "labial"),),
)


@dataclass(frozen=True)
class Keyed:
    value: Reference
    working: tuple[str, ...] = WORKED
    by_film: dict[int, Reference] = field(default_factory=dict)


def gaps(asked, keyed, *, read_on_film=False):
    return feedback_gaps(Task("asked", asked, None, 1.0), keyed, read_on_film=read_on_film)


@pytest.mark.parametrize(
    ("asked", "keyed", "read_on_film"),
    [
        (MARK, Keyed(TIP, by_film={1: TIP}), True),
        (ANGLE, Keyed(BEND, by_film={1: BEND, 2: replace(BEND, value=9.0)}), True),
        (OUTLINE, Keyed(USUAL), False),
        (COUNT, Keyed(MeasureReference(3.0)), True),
        (ONE, Keyed(ChoiceReference(frozenset({"roots"}))), False),
        (LEVEL, Keyed(LevelReference(2)), False),
        (BENCH, Keyed(BenchReference("after each file")), False),
    ],
)
def test_what_shows_place_size_and_reason_has_no_gap(asked, keyed, read_on_film):
    assert gaps(asked, keyed, read_on_film=read_on_film) == ()


@pytest.mark.parametrize(
    ("asked", "keyed", "words"),
    [
        (MARK, Keyed(TIP), "asked: feedback shows no place: give its reference on at least one film"),
        (ANGLE, Keyed(BEND), "asked: feedback shows no place: give its reference on at least one film"),
        (
            ANGLE,
            Keyed(BEND, by_film={1: MeasureReference(18.0)}),
            "asked: feedback shows no place: name the canal that its reference was read on",
        ),
        (
            OUTLINE,
            Keyed(replace(USUAL, walls=(WallLeft("crown", 2.0, " "),))),
            "asked: feedback shows no place: name the side of each wall of the usual opening",
        ),
    ],
)
def test_a_picture_without_a_place_is_named(asked, keyed, words):
    assert gaps(asked, keyed, read_on_film=True) == (words,)


def test_a_number_that_is_read_on_no_film_needs_no_place():
    assert gaps(ANGLE, Keyed(BEND)) == ()


@pytest.mark.parametrize("asked", [MARK, ANGLE, OUTLINE])
def test_a_comparison_that_names_no_size_is_named(monkeypatch, asked):
    monkeypatch.setattr(feedback_room, "compare", lambda *_: Verdict(0.0, "Wrong."))
    value = {MARK: TIP, ANGLE: BEND, OUTLINE: USUAL}[asked]
    (gap,) = gaps(asked, Keyed(value, by_film={1: value}), read_on_film=True)
    assert gap == "asked: feedback gives no size: word the comparison with a number and its unit"


@pytest.mark.parametrize("because", ["Limits.", "", "It matters"])
def test_a_criterion_without_a_reason_is_named(because):
    asked = replace(ONE, reasons=Reasons(because, "Do this.", "Teaching choice."))
    (gap,) = gaps(asked, Keyed(ChoiceReference(frozenset({"roots"}))))
    assert gap == "asked: feedback gives no reason: say in reasons.because why this is asked"


@pytest.mark.parametrize("working", [(), ("",), ("Yes.",)])
def test_a_reference_that_comes_from_nowhere_is_named(working):
    (gap,) = gaps(ONE, Keyed(ChoiceReference(frozenset({"roots"})), working))
    assert gap == "asked: nothing says how its reference came about: add the key's reason to the case"


def test_every_gap_is_named_at_once():
    bare = replace(MARK, reasons=Reasons("So.", "Do this.", "Teaching choice."))
    assert len(gaps(bare, Keyed(TIP, ()))) == 3


def test_a_reference_of_another_kind_is_refused():
    with pytest.raises(ValueError, match="a mark cannot have a ChoiceReference as its reference"):
        gaps(MARK, Keyed(ChoiceReference(frozenset({"roots"})), by_film={1: TIP}))


def test_the_near_miss_that_is_tried_is_one():
    # what the size is looked for in is the comparison's own sentence, so it has to say something of distance
    why = compare(MARK, feedback_room.MarkSaid(((2.5, 2.0),)), TIP).why
    assert "1.5 mm" in why
