"""An author's own rules for the bench: each broken by what it names, by its safe neighbour not."""

import pytest

from casebank.instruments import CoronalFlare, EngineFile, HandFile, Irrigate, Recapitulate, replay
from casebank.instruments.author_rules import (
    AUTHOR,
    DeeperThan,
    KindUsed,
    SizeAbove,
    SolutionUsed,
    TaperAbove,
    broken_rules,
)
from tests.casebank.instruments.canals import molar
from tests.casebank.instruments.sequences import RINSE

WORDS = {"words": "Too much for this root", "reason": "The film shows a thin root."}
TEN = HandFile(10, 19.8)


def broken(rule, *moves, canal="MB"):
    bench = replay(molar(), [(canal, move) for move in moves])
    return broken_rules(bench, [rule])


@pytest.mark.parametrize(
    ("rule", "moves", "times"),
    [
        (SizeAbove("size_above", 20, **WORDS), [RINSE, TEN, EngineFile(25, 0.04, 14.0)], 1),
        (SizeAbove("size_above", 25, **WORDS), [RINSE, TEN, EngineFile(25, 0.04, 14.0)], 0),
        (TaperAbove("taper_above", 0.04, **WORDS), [RINSE, TEN, EngineFile(25, 0.06, 14.0)], 1),
        (TaperAbove("taper_above", 0.06, **WORDS), [RINSE, TEN, EngineFile(25, 0.06, 14.0)], 0),
        (DeeperThan("deeper_than", 15.0, **WORDS), [RINSE, TEN, Recapitulate(19.8)], 2),
        (DeeperThan("deeper_than", 15.0, **WORDS), [RINSE, HandFile(10, 15.0)], 0),
        (KindUsed("kind_used", "coronal_flare", **WORDS), [RINSE, HandFile(10, 15.0), CoronalFlare(4.0)], 1),
        (KindUsed("kind_used", "engine_file", **WORDS), [RINSE, HandFile(10, 15.0), CoronalFlare(4.0)], 0),
        (SolutionUsed("solution_used", "sodium hypochlorite", **WORDS), [RINSE, RINSE], 2),
        (SolutionUsed("solution_used", "sodium hypochlorite", **WORDS), [Irrigate(solution="water")], 0),
        (SolutionUsed("solution_used", "sodium hypochlorite", **WORDS), [Irrigate(ml=0)], 0),
    ],
)
def test_a_rule_counts_the_acts_it_names(rule, moves, times):
    acts = broken(rule, *moves)
    assert sum(act.times for act in acts) == times
    assert all(act.rule == "author-1" and act.basis == AUTHOR for act in acts)


def test_a_rule_says_its_words_place_size_and_reason():
    (act,) = broken(SizeAbove("size_above", 20, **WORDS), RINSE, TEN, EngineFile(25, 0.04, 14.0))
    assert act.sentence == "Too much for this root: an engine file 25/.04 at 14.0 mm in canal MB."
    assert act.reason == "The film shows a thin root."
    assert act.step_number == 3


def test_a_rule_of_one_canal_does_not_hold_in_another():
    rule = SizeAbove("size_above", 20, **WORDS, canal="ML")
    assert broken(rule, RINSE, TEN, EngineFile(25, 0.04, 14.0)) == ()
    assert broken(rule, RINSE, TEN, EngineFile(25, 0.04, 14.0), canal="ML")


def test_rules_are_numbered_as_they_stand():
    moves = [("MB", RINSE), ("MB", TEN), ("MB", EngineFile(25, 0.04, 14.0))]
    rules = [
        SizeAbove("size_above", 40, **WORDS),
        KindUsed("kind_used", "engine_file", **WORDS),
        SolutionUsed("solution_used", "sodium hypochlorite", **WORDS),
    ]
    assert [act.rule for act in broken_rules(replay(molar(), moves), rules)] == ["author-3", "author-2"]


@pytest.mark.parametrize(
    "make",
    [
        lambda: SizeAbove("size_above", 33, **WORDS),
        lambda: TaperAbove("taper_above", 4.0, **WORDS),
        lambda: TaperAbove("taper_above", float("nan"), **WORDS),
        lambda: DeeperThan("deeper_than", -1.0, **WORDS),
        lambda: SolutionUsed("solution_used", "salt", **WORDS),
        lambda: SizeAbove("size_above", 20, "", "It is."),
        lambda: SizeAbove("size_above", 20, "Words", "r" * 301),
    ],
)
def test_a_rule_that_cannot_be_is_refused(make):
    with pytest.raises(ValueError, match=r"\w"):
        make()
