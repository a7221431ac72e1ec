"""A case that names another set than the one it was written for: it derives, is asked, and is graded in its words."""

import json
from functools import cache

import pytest
from pydantic import TypeAdapter

from assess.grading import AnswerRefused, grade
from assess.grading.fits import require_fit, tasks_of
from assess.log import AnyEvent, Levelled, fold
from assess.presenting.weighing import weighing
from casebank.casefile import derive, parse_document
from casebank.difficulty import criteria_named
from casebank.rubric import MAIN_AXIS
from tests.factories import FIXTURES, LEANING_ABUTMENT

EVENTS = TypeAdapter(tuple[AnyEvent, ...])
NAMES = ("aae-2005-2010", "ese-1992", "rcs-2001")


@cache
def document_under(name):
    record = json.loads(LEANING_ABUTMENT.read_text(encoding="utf-8")) | {"criteria": name}
    return parse_document(json.dumps(record).encode(), name=name)


@cache
def log_under(name, *, off=0):
    """The sound log with the levels of another set's reference, each so many steps too low where it can be."""
    events = json.loads((FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8"))["events"]
    reference = derive(document_under(name))
    levelled = [event for event in events if event["event"] == "levelled"]
    first = events.index(levelled[0])
    kept = [event for event in events if event["event"] != "levelled"]
    asked = [task for task in reference.tasks if task.criterion.kind == "level"]
    new = [
        levelled[0]
        | {
            "task": task.id,
            "level": max(1, reference.answers[task.id].value.level - off),
            "evidence": sorted(reference.answers[task.id].value.evidence & {"b", "l", "j", "film 1"})[:1],
        }
        for task in asked
    ]
    return [event | {"seq": number} for number, event in enumerate(kept[:first] + new + kept[first:], 1)]


@cache
def graded(name, off=0):
    return grade(document_under(name), EVENTS.validate_json(json.dumps(log_under(name, off=off))))


@pytest.mark.parametrize("name", NAMES)
def test_its_factors_are_those_of_its_set(name):
    reference = derive(document_under(name))
    asked = {task.of for task in reference.tasks if task.criterion.per == "factor"}
    assert asked == {factor.id for factor in criteria_named(name).factors}
    main = [task for task in reference.tasks if task.criterion.axis == MAIN_AXIS]
    assert sum(task.weight for task in main) == pytest.approx(100)


@pytest.mark.parametrize(
    ("name", "whole", "gagging"),
    [
        ("aae-2005-2010", ("minimal", "moderate", "high"), ("minimal", "moderate", "high")),
        ("ese-1992", ("uncomplicated", "complicated"), None),
        ("rcs-2001", ("low", "moderate", "high"), ("absent", "present")),
    ],
)
def test_a_level_is_asked_and_compared_in_the_set_s_words(name, whole, gagging):
    for tasks in (derive(document_under(name)).tasks, tasks_of(document_under(name))):
        words = {task.id: task.criterion.rule.words for task in tasks if task.criterion.kind == "level"}
        assert words["overall"] == whole
        assert words.get("difficulty-levels.gagging") == gagging


@pytest.mark.parametrize("name", NAMES)
def test_every_level_as_the_reference_has_it_earns_its_credit(name):
    levels = [one for one in graded(name).criteria if one.id == "overall" or one.id.startswith("difficulty-levels.")]
    words = criteria_named(name).level_words
    for one in levels:
        assert one.answered
        assert one.leaning == 0
        assert one.reference.partition(" (")[0] in words[one.id.partition(".")[2] or None]
    assert graded(name).versions["criteria"] == name


def test_a_level_below_is_told_in_the_set_s_words():
    overall = {one.id: one for one in graded("ese-1992", 1).criteria}["overall"]
    assert overall.why.startswith("You said uncomplicated, one step below the reference complicated: ")
    assert overall.leaning == -1


def test_a_third_level_is_refused_where_there_are_two():
    document = document_under("ese-1992")
    events = EVENTS.validate_json(json.dumps(log_under("ese-1992")))
    place, event = next((n, one) for n, one in enumerate(events) if isinstance(one, Levelled))
    state = fold(events[:place], case=document.slug)
    require_fit(document, state, event)
    with pytest.raises(AnswerRefused, match="level 3 is none here: give 1 to 2"):
        require_fit(document, state, event.model_copy(update={"level": 3}))


@pytest.mark.parametrize(
    ("name", "factor", "words"),
    [
        ("ese-1992", "canal-form", ["uncomplicated", "complicated"]),
        ("rcs-2001", "canal-form", ["low", "moderate", "high"]),
        ("rcs-2001", "health", ["absent", "present"]),
        ("aae-2005-2010", "health", ["minimal", "moderate", "high"]),
    ],
)
def test_the_menu_of_a_factor_has_as_many_levels_as_the_set(name, factor, words):
    document = document_under(name)
    events = EVENTS.validate_json(json.dumps(log_under(name)))
    shown = weighing(document, fold(events, case=document.slug))
    asked = {one.task: one for one in shown.factors}[f"difficulty-levels.{factor}"]
    assert [level.word for level in asked.levels] == words
    assert asked.word in words
    assert shown.done == shown.whole == len(criteria_named(name).factors)
