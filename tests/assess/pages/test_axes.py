"""Axes of their own are shown apart, with both orders side by side; what is unsafe at first leads the page."""

import json
import re

import pytest
from django.urls import reverse

from assess.grading import grade, grade_record
from assess.log import Stage, read_log
from assess.presenting.comparing import comparison, reference_of
from assess.presenting.side_by_side import places_beside
from casebank.rubric import KINDS, OrderReference, OrderRule, bundled
from tests.assess.pages.reading import PERCENTS, words_of
from tests.assess.told import ORDERS, sent
from tests.factories import FIXTURES, leaning_abutment

KEY_WORDS = ("Key: anatomical fact, computed from this tooth.", "Key: panel judgement.", "Key: school rule.")
TASK = re.compile(r'<details id="t-[^"]+".*?(?=<details id="t-|<section class="sheet|$)', re.S)


@pytest.fixture
def ranked(work, reader, address):
    """Settled, with the antibiotic put first in the full day, and the reason never written over."""

    def ranked(items):
        work(Stage.LOOK)
        reader.post(address("answer"), sent("full-day", items, confidence="sure"))
        for stage in ("weigh", "open", "shape", "fill"):
            reader.post(address("commit", stage))
        reader.post(address("self-grade"), PERCENTS)
        return words_of(reader.get(address("compare")))

    return ranked


@pytest.fixture
def sound():
    """Document, state and record of the sound log."""
    document = leaning_abutment()[1]
    log = read_log(FIXTURES / "logs" / "leaning-abutment.sound.json", case=document.slug)
    return document, log.state(), json.loads(json.dumps(grade_record(grade(document, log.events))))


def compared(sound, **changes):
    document, state, record = sound
    return comparison(document, state, reference_of("sound", document, state), record | changes, {}, {})


def test_stages_hold_the_path_alone_and_each_other_axis_stands_for_itself(sound):
    shown = compared(sound)
    on_path = {one.id for stage in shown.stages for one in (*stage.differing, *stage.agreeing)}
    apart = {axis.key: [one.id for one in axis.tasks] for axis in shown.axes}
    assert apart == {"decision": ["decision"], "judgement": ["full-day", "rinse-accident"], "written": ["reason"]}
    assert on_path.isdisjoint({"decision", "full-day", "rinse-accident", "reason"})
    assert "step-order" in on_path
    record = sound[2]
    assert on_path | {one for tasks in apart.values() for one in tasks} == {one["id"] for one in record["criteria"]}
    assert {axis.key: axis.percent for axis in shown.axes} == {
        key: percent for key, percent in record["axes"].items() if key != "path"
    }


def test_what_was_expected_is_weighed_by_the_path_alone(sound):
    assert compared(sound).expected == pytest.approx(82.6)  # worked out in test_compare


def test_an_older_record_knows_one_axis_and_still_shows_every_task(sound):
    document, state, record = sound
    older = {name: value for name, value in record.items() if name != "axes"}
    older["criteria"] = [{name: value for name, value in one.items() if name != "axis"} for one in record["criteria"]]
    shown = comparison(document, state, reference_of("sound", document, state), older, {}, {})
    assert shown.axes == ()
    on_path = {one.id for stage in shown.stages for one in (*stage.differing, *stage.agreeing)}
    assert on_path == {one["id"] for one in record["criteria"]}


def test_the_page_shows_each_axis_under_its_name(settled, reader, address):
    page = words_of(reader.get(address("compare")))
    heads = [page.index(words) for words in ("On axes of their own", "Treat or refer 100 %", "Judgement 100 %")]
    assert heads == sorted(heads)
    assert heads[0] < page.index("In your own words 75 %")
    assert "none is merged into the percent of the path above, nor into another" in page


def test_every_compared_task_names_what_its_key_is(settled, reader, address):
    content = reader.get(address("compare")).content.decode()
    tasks = TASK.findall(content)
    assert len(tasks) > 60
    assert [task[:60] for task in tasks if sum(words in task.replace("</span>", "") for words in KEY_WORDS) != 1] == []


def test_both_orders_stand_side_by_side_with_their_places(ranked):
    said = ("find-tooth", "supervisor", "drain", "danger-signs", "ring", "tablets-away")
    page = ranked(said)
    part = page[page.index("On axes of their own") :].partition("In your own words")[0]
    assert re.search(r"Find the tooth by tests and a film \(place 2 or 3 in the reference\) Look for fever", part)
    assert re.search(r"Hand out an antibiotic, and a date in two weeks \(here in the reference too\)", part)
    # Danger signs lie behind three others: 3 of 14 pairs, 1 - (3 / 14) / 0.5 = 8 / 14, 57.1 %.
    assert "3 of 14 pairs stand the other way round than in the reference: 57.1 % of the credit." in part
    assert "'Numb, open the tooth or the swelling, and let pus out' before 'Look for fever" in part


def test_something_unsafe_put_first_is_an_unsafe_step_and_stands_above_everything(ranked):
    items = ("tablets-away", *(item for item in ORDERS["full-day"] if item != "tablets-away"))
    page = ranked(items)
    step = page.index("Weigh, Swelling at the end of a full day. Put first: Hand out an antibiotic, and a date")
    assert step < page.index("Agreement by stage")
    basis = page.index("Basis: Key: this rubric's own, provisional until a panel has ranked it.", step)
    assert step < basis < page.index("Agreement by stage")


def test_what_comes_later_is_no_unsafe_step(ranked):
    assert "Put first:" not in ranked(ORDERS["full-day"])


def test_a_rank_that_was_not_given_shows_the_reference_alone(work, reader, address):
    for stage in PERCENTS:
        reader.post(address("commit", stage))
    reader.post(address("self-grade"), PERCENTS)
    page = words_of(reader.get(address("compare")))
    part = page[page.index("Swelling at the end of a full day") :]
    assert part.index("no answer") < part.index("Look for fever") < part.index("Tell the supervisor")
    assert "What was looked for in it" not in page


@pytest.mark.parametrize(
    "criterion", [one for one in bundled("treatment-path-3").criteria if one.kind in ("order", "rank")]
)
def test_places_beside_agree_with_the_verdict(criterion):
    """An order without a pair the other way round is one with every item at a place the reference has for it."""
    rule, key = criterion.rule, criterion.key
    assert isinstance(rule, OrderRule)
    assert isinstance(key, OrderReference)
    for example in criterion.examples:
        rows = places_beside(rule, example.said.items, example.reference)
        full = KINDS[criterion.kind].compare(rule, example.said, example.reference).credit == 1
        assert all(row.agrees for row in rows) == full
        assert [row.said for row in rows] == [rule.items[item] for item in example.said.items]
        assert sorted(row.reference for row in rows) == sorted(rule.items.values())


def test_the_key_page_shows_places_lines_axes_and_what_is_unsafe_at_first(client, instructor, attempt):
    client.force_login(instructor)
    page = words_of(client.get(reverse("case-key", args=["leaning-abutment"])))
    assert "Weigh weight 12 Treat or refer: 100 In your own words: 100 Judgement: 50" in page
    assert "Fill weight 11 Judgement: 50" in page
    rank = page[page.index("Swelling at the end of a full day") :]
    assert (
        "Tell the supervisor that a chair is needed today, and why; Find the tooth by tests and a film, either way"
        in rank
    )
    assert "50 of 100 on the axis “Judgement”, which is never merged into the score" in rank
    assert "Unsafe if put there Hand out an antibiotic, and a date in two weeks (first): An antibiotic in place" in rank
    reason = page[page.index("The reason, in your own words") :]
    assert "Looked for What decides: One difficulty factor or more of this tooth is named (1 point)" in reason
    assert f"Reference {attempt.edition.document.choices['decision'].because}" in reason


def test_stages_axes_and_steps_keep_their_order_whatever_order_a_database_gives_a_record_back_in(sound):
    record = sound[2]
    turned = json.loads(json.dumps(record, sort_keys=True))  # as a database that keeps no order does, in one of its own
    straight, shown = compared(sound), compared(sound, **{key: turned[key] for key in ("stages", "axes", "confidence")})
    assert list(turned["axes"]) != list(record["axes"])
    assert [stage.key for stage in shown.stages] == ["look", "weigh", "open", "shape", "fill"]
    assert [axis.key for axis in shown.axes] == ["decision", "judgement", "written"]
    assert shown.sureness.steps == straight.sureness.steps
