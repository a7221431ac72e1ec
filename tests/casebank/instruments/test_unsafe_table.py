"""The table of unsafe acts: every entry whole, every one with code or an answer behind it."""

import pytest

from casebank.instruments.unsafe import LOOKS
from casebank.instruments.unsafe_table import COMMON, UNSAFE_RULES, parsed

WHOLE = {"id": "loud", "words": "Too loud", "reason": "It is loud.", "basis": "teaching choice"}


def test_every_rule_has_code_or_is_about_an_answer_and_the_other_way_round():
    assert {rule.id for rule in UNSAFE_RULES.values() if not rule.task} == set(LOOKS)


def test_the_acts_that_must_be_named_are_named():
    assert set(UNSAFE_RULES) >= {
        "no-rubber-dam",
        "wrong-tooth",
        "engine-before-path",
        "dry-shaping",
        "forced",
        "large-through-foramen",
        "brushed-toward-furcation",
        "needle-bound",
        "needle-close",
        "solutions-mixed",
        "fill-beyond-foramen",
        "length-never-read",
        "harm-not-disclosed",
    }


def test_every_basis_is_a_source_common_practice_or_a_teaching_choice():
    for rule in UNSAFE_RULES.values():
        assert rule.rests_on == (rule.source if rule.basis == "source" else rule.basis)
    assert UNSAFE_RULES["dry-shaping"].rests_on == COMMON
    assert UNSAFE_RULES["large-through-foramen"].rests_on == "teaching choice"


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"basis": "hearsay"}, "unsafe rule loud: a basis of 'hearsay'"),
        ({"basis": "source"}, "unsafe rule loud: name a source"),
        ({"source": "a book"}, "unsafe rule loud: name a source"),
        ({"task": "rubber-dam"}, "unsafe rule loud: a task needs the options"),
        ({"options": ["none"]}, "unsafe rule loud: a task needs the options"),
        ({"reason": "It is loud"}, "unsafe rule loud: give it words"),
        ({"colour": "red"}, "unsafe rule loud: .*colour"),
    ],
)
def test_a_malformed_entry_is_refused_by_its_id(changed, sentence):
    with pytest.raises(ValueError, match=sentence):
        parsed({"rule": [WHOLE | changed]})


def test_an_id_stands_once():
    with pytest.raises(ValueError, match="unsafe rule loud stands twice"):
        parsed({"rule": [WHOLE, WHOLE]})
