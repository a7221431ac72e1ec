"""Axes, keys, orders, reasons and openings in a rubric's file: what is refused, with file, criterion and field."""

import pytest

from casebank.rubric import OrderReference, RubricError, load
from tests.casebank.rubric.test_loading import HEAD, LENGTH, PLAN


def told(identity, kind, axis, rule, key, example, weight=100):
    """A criterion as it stands in a file."""
    return f"""
[[criterion]]
id = "{identity}"
stage = "weigh"
kind = "{kind}"
label = "Told"
ask = "What first?"
weight = {weight}
axis = "{axis}"
key_type = "panel judgement"
key_feature = false
per = "case"
competencies = ["emergency"]
{rule}
{key}
[criterion.reasons]
because = "Harm grows."
next_act = "Say the signs."
source = "Teaching choice."
[[criterion.example]]
{example}
"""


DILEMMA = told(
    "dilemma",
    "rank",
    "judgement",
    """[criterion.rule]
first = "first"
last = "last"
none_from = 0.5
items = { say = "Say so", rinse = "Rinse on", stop = "Stop", call = "Call for help" }
unsafe_first = { rinse = "More would follow." }""",
    '[criterion.key]\norder = ["stop", ["say", "call"], "rinse"]',
    """said = ["stop", "call", "say", "rinse"]
reference = { order = ["stop", ["say", "call"], "rinse"] }
credit = 1.0
working = "No pair wrong." """,
)
REASON = told(
    "reason",
    "written",
    "written",
    """[criterion.rule]
most_letters = 600
[[criterion.rule.line]]
id = "factor"
label = "What decides"
counts = "A factor is named"
points = 1
[[criterion.rule.line]]
id = "limit"
label = "Your limit"
counts = "It says what was done before"
points = 3""",
    "",
    """said = { text = "So.", met = ["limit"], by = "author" }
reference = { model = "Factor and limit" }
credit = 0.75
working = "3 / 4." """,
)
OPENING = told(
    "opening",
    "outline",
    "path",
    """[criterion.rule.reach]
share = 0.4
full_within_deg = 5
none_beyond_deg = 15
[criterion.rule.roof]
share = 0.2
full_within_of_roof = 0.06
none_beyond_of_roof = 0.5
[criterion.rule.removed]
share = 0.2
full_within_of_need = 0.25
none_beyond_of_need = 1.0
[criterion.rule.crown_wall]
share = 0.1
full_from_mm = 1.5
none_below_mm = 0.6
[criterion.rule.root_wall]
share = 0.1
full_from_mm = 1.5
none_below_mm = 0.8""",
    "",
    """said = { leans_deg = { C = 4 }, need_mm3 = 9, beyond_mm3 = 1, roof_left_mm2 = 0, roof_mm2 = 3 }
reference = { leans_deg = { C = 0 }, need_mm3 = 9, beyond_mm3 = 0, roof_left_mm2 = 0, roof_mm2 = 3 }
credit = 1.0
working = "All whole." """,
    weight=40,
)
SMALL = HEAD + LENGTH + OPENING + DILEMMA + REASON


def test_a_rubric_with_axes_loads():
    rubric = load(SMALL, "small.toml")
    assert rubric.axes == ("path", "judgement", "written")
    assert [criterion.axis for criterion in rubric.criteria] == ["path", "path", "judgement", "written"]
    assert rubric.criterion("dilemma").key == OrderReference(
        (frozenset({"stop"}), frozenset({"say", "call"}), frozenset({"rinse"}))
    )
    assert rubric.criterion("reason").key is None
    weights = [task.weight for task in rubric.tasks(canals=["MB", "D"], factors=["crown"])]
    # length 60 over two canals, then each axis whole
    assert weights == [30, 30, 40, 100, 100]


def test_without_an_axis_a_criterion_lies_on_the_path():
    assert load(HEAD + LENGTH + PLAN, "small.toml").axes == ("path",)


def test_a_choice_may_be_keyed_in_the_rubric():
    keyed = PLAN.replace("[criterion.reasons]", '[criterion.key]\nbest = ["refer"]\n[criterion.reasons]')
    assert load(HEAD + LENGTH + keyed, "small.toml").criterion("plan").key.best == frozenset({"refer"})


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            'axis = "judgement"',
            'axis = "taste"',
            "criterion dilemma, axis: 'taste' is not known: write one of path",
        ),
        (
            'axis = "judgement"',
            'axis = "written"',
            "weight: the weights on the axis written add up to 200: change",
        ),
        ('axis = "judgement"', 'axis = "path"', "weight: the weights add up to 200: change"),
        ('order = ["stop", ["say", "call"], "rinse"]\n[crit', "[crit", "criterion dilemma, key.order: missing: add it"),
        (
            '[criterion.key]\norder = ["stop", ["say", "call"], "rinse"]\n',
            "",
            "criterion dilemma, key: missing: the rubric itself carries the reference of a",
        ),
        (
            'order = ["stop", ["say", "call"], "rinse"]\n',
            'order = "stop"\n',
            "criterion dilemma, key.order: 'stop' is no list",
        ),
        (
            'order = ["stop", ["say", "call"], "rinse"]\n',
            'order = ["stop", [1], "rinse"]\n',
            r"criterion dilemma, key.order: \[1\] is no list of texts",
        ),
        (
            'order = ["stop", ["say", "call"], "rinse"]\n',
            'order = ["stop", "say", "rinse"]\n',
            "criterion dilemma, key: the reference puts call in order or leaves it out",
        ),
        (
            'order = ["stop", ["say", "call"], "rinse"]\n',
            'order = ["rinse", "stop", "say", "call"]\n',
            "criterion dilemma, key: rinse is unsafe at first and leads the reference",
        ),
        # one group of one before three alike: stop comes first in a quarter of all orders, second in a quarter and so
        # on, 0 to 3 of 3 pairs wrong: (1 + 1/3) / 4 of the credit
        (
            'order = ["stop", ["say", "call"], "rinse"]\n',
            'order = ["stop", ["say", "call", "rinse"]]\n',
            "criterion dilemma, key: a random order earns 33 % of the credit, more than 25 %: add items",
        ),
        (
            'said = ["stop", "call", "say", "rinse"]',
            'said = ["stop", "call", "say"]',
            "criterion dilemma, example 1: criterion dilemma: the answer leaves out 'rinse'",
        ),
        ("none_from = 0.5", "none_from = 0.7", "criterion dilemma, rule: none_from: 0.7 of the pairs"),
        ('rinse = "More would', 'pray = "More would', "criterion dilemma, rule: unsafe_first names pray"),
        ("points = 1", "points = 0", "criterion reason, rule: line factor: 0 points: give 1 to 10"),
        ('id = "limit"', 'id = "factor"', "criterion reason, rule: line: an id stands twice"),
        ('met = ["limit"]', 'met = ["charm"]', "criterion reason, example 1: .* meets 'charm', which is no line here"),
        ('by = "author"', 'by = "machine"', "criterion reason, example 1.said.by: 'machine' is not known"),
        ("full_within_deg = 5", "full_within = 5", "rule.reach.full_within: .* write full_within_deg"),
        ("full_from_mm = 1.5", "full_from_um = 1500", "rule.crown_wall.full_from_um: .* write full_from_mm"),
        (
            "none_beyond_of_need = 1.0",
            "none_beyond_mm3 = 40",
            "rule.removed.none_beyond_mm3: .* write none_beyond_of",
        ),
        ("none_beyond_deg = 15", "none_beyond_deg = 5", "criterion opening, rule: reach: none_beyond must lie above"),
        ("share = 0.4", "share = 0.5", "criterion opening, rule: share: the shares of the five aspects add up to 1.1"),
        ("share = 0.4", "share = 0.4\ncurve = 2", "criterion opening, rule.reach.curve: this key is not known here"),
        ("leans_deg = { C = 4 }", "leans_deg = { C = nan }", "example 1.said.leans_deg.C: nan is not finite"),
        ("leans_deg = { C = 4 }", "leans_deg = { D = 4 }", "example 1: canal C stands on one side only"),
    ],
)
def test_a_fault_is_refused_with_file_criterion_field_and_what_to_do(old, new, words):
    assert old in SMALL
    with pytest.raises(RubricError, match=f"small.toml.*{words}"):
        load(SMALL.replace(old, new, 1), "small.toml")


@pytest.mark.parametrize("old", ['[criterion.reasons]\nbecause = "It ends'])
def test_what_follows_from_the_case_is_keyed_nowhere_else(old):
    keyed = SMALL.replace(old, f"[criterion.key]\nvalue = 19\n{old}", 1)
    with pytest.raises(RubricError, match="criterion length, key: the reference of a measure follows from the case"):
        load(keyed, "small.toml")


def test_a_rubric_without_a_path_is_refused():
    with pytest.raises(RubricError, match=r"small.toml, axis: nothing lies on the axis path"):
        load(HEAD + DILEMMA, "small.toml")


def test_key_features_beside_the_path_do_not_carry_it():
    # the dilemma's 100 do not help the path, whose key features hold none
    text = SMALL.replace("key_feature = true", "key_feature = false").replace(
        'axis = "judgement"\nkey_type = "panel judgement"\nkey_feature = false',
        'axis = "judgement"\nkey_type = "panel judgement"\nkey_feature = true',
    )
    with pytest.raises(RubricError, match="key_feature: the key features hold 0 of 100"):
        load(text, "small.toml")
