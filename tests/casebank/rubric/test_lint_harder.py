"""Twenty more flawed tasks and twenty more clean ones, whose flaws stand less in the open than those of test_lint."""

import pytest

from casebank.rubric import bundled
from casebank.rubric.lint import flaws, flaws_of
from casebank.rubric.lint_levels import unmeasured
from casebank.rubric.ordering import OrderRule
from casebank.rubric.reason import Line, WrittenRule
from casebank.rubric.rules import BenchRule, ChoiceRule, LevelRule
from tests.casebank.rubric.cast import BENCH, LEVEL, ONE, ORDER, WRITTEN, criterion

FLAWED = [
    ("negative question", "Which irrigant can never meet chlorhexidine?", ["Hypochlorite", "Saline", "EDTA"]),
    ("negative question", "What doesn't a periapical film show?", ["The cheek side of a root", "The tip", "The neck"]),
    ("negative question", "Unlike a hand file, what does an engine file do?", ["It turns by itself", "It bends"]),
    ("hinged question", "With the length from the preceding step, where does the needle stop?", ["17 mm", "19 mm"]),
    (
        "catch-all option",
        "Which sign speaks for a crack?",
        ["Pain on release", "A deep narrow pocket", "Both of these two"],
    ),
    ("catch-all option", "Which sign speaks for a crack?", ["Pain on release", "Warmth", "None of those"]),
    ("catch-all option", "Which sign speaks for a crack?", ["A pocket", "A line in the light", "a and b"]),
    (
        "absolute term",
        "What does a dam do?",
        ["A dry field is guaranteed", "It keeps files out"],
    ),
    ("absolute term", "What does percussion tell?", ["The ligament is inflamed", "The pulp is certainly dead"]),
    ("vague frequency", "How do lower incisors branch?", ["They seldom do", "In some two of five"]),
    ("vague frequency", "How do lower incisors branch?", ["Typically at mid-root", "In some two of five"]),
    (
        "longest is best",
        "Who decides?",
        ["The patient, once findings, choices and risks were told", "The dentist", "The form"],
    ),
    (
        "echoed word",
        "Where was the root perforated?",
        ["At the perforation's rim, seen on film 2", "At the neck", "At the tip"],
    ),
    ("echoed word", "Which test says most of the ligament?", ["Pressing the ligament by biting", "Cold", "Heat"]),
    ("overlapping options", "How wide is the end?", ["up to 0.30 mm", "0.25 to 0.40 mm", "over 0.40 mm"]),
    ("overlapping options", "How old may the film be?", ["less than 12 months", "at least 6 months"]),
    ("unordered numbers", "When is the review?", ["After a year", "After six weeks", "After ten years"]),
    ("unordered numbers", "How long does EDTA stay?", ["one minute", "ten minutes", "two minutes"]),
    ("article gives it away", "The finding at the tip is called an", ["abscess", "granuloma", "cyst"]),
    ("opposite options", "What holds here?", ["The canal is open", "The canal is not open", "The root is fused"]),
]
CLEAN = [
    (
        "Which sign speaks for a crack?",
        ["Pain when biting is released", "A wide, shallow pocket", "Warmth from outside"],
    ),
    ("What goes in first?", ["Size 10 by hand", "Size 25 by engine", "The cone"]),
    ("How wide is the end?", ["up to 0.25 mm", "0.25 to 0.40 mm", "over 0.40 mm"]),
    ("When is the review?", ["After six weeks", "After a year", "After ten years"]),
    ("When is the review?", ["After ten years", "After a year", "After six weeks"]),
    ("How long does EDTA stay?", ["one minute", "two minutes", "ten minutes"]),
    ("The finding at the tip is called", ["an abscess", "a granuloma", "a cyst"]),
    ("What is left of the roof?", ["Nothing", "A ledge over MB", "All but a pinhole"]),
    ("Which canal bends most?", ["MB", "ML", "D"]),
    ("Who is told of a broken file?", ["The patient and the supervisor", "The next dentist, by letter"]),
    ("What opens a swelling?", ["A cut where it is softest", "Warm water held in the mouth"]),
    ("Which side does the tube move to?", ["Mesially", "Distally"]),
    ("What is dry enough to fill?", ["A point that comes out dry twice", "A point that comes out pink"]),
    ("What ends a rinse?", ["5 mL given with the needle moving", "The first clear drop"]),
    ("Where does the drill stop?", ["At the depth read on the film", "At the first drop of blood"]),
    ("Which tooth is tested first?", ["One that is sound, on the other side", "The one that hurts"]),
    ("What makes a cone fit?", ["It holds at length against a pull", "Its label bears the file's size"]),
    ("How many films were needed?", ["One", "Two", "Three"]),
    ("What speaks for taking a crown off?", ["An open margin", "A porcelain chip", "Its age of 12 years"]),
    ("Whom do you ask for consent?", ["The patient's guardian", "The friend who drove"]),
]


def named(ask, options):
    # the first option is the keyed one
    found = flaws(ask, dict(zip("abc", options, strict=False)), frozenset("a"))
    assert all(flaw.words for flaw in found)
    return [flaw.name for flaw in found]


def test_at_least_eighteen_of_twenty_more_flaws_are_found_by_name():
    assert len(FLAWED) == 20
    missed = [ask for name, ask, options in FLAWED if name not in named(ask, options)]
    assert len(missed) <= 2, missed


def test_at_most_two_of_twenty_more_clean_tasks_raise_an_alarm():
    assert len(CLEAN) == 20
    alarms = [(ask, found) for ask, options in CLEAN if (found := named(ask, options))]
    assert len(alarms) <= 2, alarms


# ---------------------------------------------------------------- orders


def test_items_that_are_listed_in_the_order_that_is_asked_for_are_found():
    step_order = bundled("treatment-path-3").criterion("step-order")
    assert flaws_of(step_order) == ()
    meant = [item for group in step_order.key.groups for item in sorted(group)]
    told = OrderRule({item: step_order.rule.items[item] for item in meant})
    (flaw,) = flaws_of(criterion(told, key=step_order.key))
    assert flaw.name == "listed in order"
    assert "earn 100 %" in flaw.words


# ---------------------------------------------------------------- levels


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (criterion(LevelRule(("poor", "fair", "good"), 0.5, 0.25, 0.0, 0.5, 4)), ["poor", "fair", "good"]),
        (criterion(BenchRule("fillings were of adequate density")), ["adequate"]),
        (criterion(BenchRule("canals were shaped properly")), ["proper"]),
        (criterion(ChoiceRule({"a": "An appropriate dressing", "b": "Cotton"})), ["appropriate"]),
        (
            criterion(WrittenRule((Line("a", "Factor", "A good reason", 1), Line("b", "Limit", "Named", 1)), 200)),
            ["good"],
        ),
        (criterion(OrderRule({"a": "Ask", "b": "Rinse sufficiently", "c": "End"})), ["sufficient"]),
    ],
)
def test_a_word_that_judges_and_measures_nothing_is_found(asked, found):
    # each sentence begins with the word in quotation marks
    words = [flaw.words.split("'")[1].lower().removesuffix("ly") for flaw in unmeasured(asked)]
    assert words == found
    assert {flaw.name for flaw in unmeasured(asked)} == {"unmeasured level"}


@pytest.mark.parametrize(
    "counts",
    [
        "walls kept an adequate 0.3 mm",
        "canals were filled to an acceptable end, within half of a millimetre",
        "two films were of good contrast, and two of three canals parted on them",
        "larger files were followed by a size 10 to length",
    ],
)
def test_a_word_that_judges_stands_with_a_count_or_a_size_beside_it(counts):
    assert unmeasured(criterion(BenchRule(counts))) == ()


@pytest.mark.parametrize("asked", [LEVEL, ONE, BENCH, ORDER, WRITTEN])
def test_wordings_that_say_what_is_to_be_seen_raise_no_alarm(asked):
    assert unmeasured(asked) == ()
