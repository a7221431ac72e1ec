"""The tray has a tool for every move a stage allows; its form takes a sensible move and refuses nonsense in words."""

import json
import re
from html import unescape
from types import SimpleNamespace
from typing import get_args

import pytest

from assess import actions
from assess.forms import MOVE_FORMS
from assess.log import Committed, Moved, OutOfTurn, Stage, fold
from casebank.instruments import FitCone, Move
from tests.assess.pages.reading import words_of
from tests.tray_fields import as_sent

HAND = {"size": 10, "to_mm": 15, "strokes": 4, "push": "light", "precurve_per_mm": 0}
CONE = {"size": 30, "taper": "0.04", "to_mm": 15}
STOP, SIZE = "Set the stop: give a length", "Take a size."
MOVES = {  # a sensible move, what makes nonsense of it, and what is then said
    "hand_file": (HAND, {"strokes": 99}, "Strokes must lie from 0 to 12, not 99"),
    "coronal_flare": ({"depth_mm": 3, "strokes": 4, "brush": "away"}, {"brush": "up"}, "Pick one of those"),
    "engine_file": ({"file": "25/0.04", "to_mm": 15, "passes": 1, "push": "light"}, {"passes": ""}, "how many passes"),
    "irrigate": ({"solution": "EDTA", "ml": 2, "needle_mm": "0.31"}, {"ml": 500}, "must lie from 0 to 20, not 500"),
    "lubricate": ({"agent": "EDTA gel"}, {"agent": ""}, "Choose a gel."),
    "recapitulate": ({"size": 10, "to_mm": 15}, {"size": 40}, "needs a small file"),
    "patency": ({"size": 10, "beyond_mm": "0.5"}, {"beyond_mm": 4}, "must lie from 0 to 1, not 4"),
    "read_length": ({"size": 10}, {"size": 60}, "a hand file of 08 to 25"),
    "read_electronically": ({"size": 10}, {"size": 60}, SIZE),
    "film_length": ({"size": 15, "to_mm": 15}, {"to_mm": ""}, STOP),
    "gauge": ({"size": 25, "to_mm": 15}, {"size": 10}, "a hand file of 15 or larger"),
    "fit_cone": (CONE, {"taper": "0.50"}, "Take a taper."),
    "trial_fit": (CONE, {"size": 7}, SIZE),
    "dry": ({}, {"canal": "no canal"}, "There is no canal no canal"),
    "medicate": ({"agent": "calcium hydroxide"}, {"agent": ""}, "Choose a medicament."),
    "provisional": ({"material": "temporary cement", "thickness_mm": 4}, {"thickness_mm": ""}, "Say how thick it lies"),
    "next_visit": ({}, {"canal": "no canal"}, "There is no canal no canal"),
    "seal_canal": ({"to_mm": 15}, {"to_mm": -1}, "give millimetres from the reference cusp, 0 or more"),
    "fill_canal": ({**CONE, "method": "cold lateral"}, {"method": ""}, "Choose a method."),
    "coronal_seal": ({"material": "bonded composite", "thickness_mm": 4}, {"thickness_mm": 40}, "from 0 to 8, not 40"),
}
BEFORE = {Stage.SHAPE: Stage.OPEN, Stage.FILL: Stage.SHAPE}
KINDS = {kind.kind: kind for kind in get_args(Move)}


def commit_before(attempt, student, noon, stage):
    """Every stage before one, committed without an answer."""
    for each in list(Stage)[: list(Stage).index(stage)]:
        actions.commit_stage(attempt=attempt, stage=each, by=student, now=noon)


def sent(stage, kind):
    return {**MOVES[kind][0], "kind": kind, "canal": "MB", "stage": stage.value}


def read(stage, kind):
    """The move a form makes of what is sent, as a log would keep it."""
    form = MOVE_FORMS[kind](sent(stage, kind))
    assert form.is_valid(), form.errors
    return form.fields_of_event()


def allowed_in(stage):
    """The kinds of move that a log may have in a stage."""
    stages = list(Stage)
    before = [Committed(seq=n, case="one", stage=each) for n, each in enumerate(stages[: stages.index(stage)], 1)]
    for kind in KINDS:
        move = Moved.model_validate_json(json.dumps({"seq": len(before) + 1, "case": "one", **read(stage, kind)}))
        try:
            fold([*before, move], case="one")
        except OutOfTurn:
            continue
        yield kind


MADE = [(stage, kind) for stage in BEFORE for kind in allowed_in(stage)]


@pytest.fixture
def bench(reader, address, work):
    """The tray's page of a stage, read anew; the tools it offers, each with its form."""

    def at(stage, tool=""):
        page = reader.get(f"{address(stage.value)}?canal=MB&tool={tool}")
        assert page.status_code == 200
        boxes = re.findall(r'<details class="tool-box".*?</details>', page.content.decode(), re.DOTALL)
        named = {re.search(r'name="kind" value="(\w+)"', box)[1]: box for box in boxes}
        assert len(named) == len(boxes)
        return SimpleNamespace(page=page, tools=named)

    return at


def test_each_kind_of_move_is_allowed_somewhere_and_has_a_form_of_its_own():
    assert {kind for _, kind in MADE} == set(KINDS) == set(MOVE_FORMS)


@pytest.mark.parametrize("stage", BEFORE)
def test_the_tray_offers_exactly_what_the_log_allows_and_every_field_a_form_reads(work, bench, stage):
    work(BEFORE[stage])
    tools = bench(stage).tools
    assert set(tools) == {kind for where, kind in MADE if where is stage}
    for kind, box in tools.items():
        named = set(re.findall(r'<input[^>]* name="(\w+)"', box)) - {"csrfmiddlewaretoken", "kind", "stage"}
        assert named == set(MOVE_FORMS[kind].base_fields), kind


@pytest.mark.parametrize("stage", BEFORE)
def test_every_value_that_can_be_picked_is_one_the_form_takes(work, bench, stage):
    work(BEFORE[stage])
    for kind, box in bench(stage).tools.items():
        for name, value in re.findall(r'type="radio" name="(\w+)" value="([^"]*)"', box):
            field = MOVE_FORMS[kind].base_fields[name]
            assert field.clean(unescape(value)) is not None, (kind, name, value)


@pytest.mark.parametrize("stage", BEFORE)
def test_a_sensible_move_is_stored_and_its_tool_stays_set(reader, address, work, attempt, bench, stage):
    work(BEFORE[stage])
    closing = ("provisional", "next_visit", "coronal_seal")  # last, for a closed tooth takes no other move
    kinds = [kind for where, kind in MADE if where is stage]
    for kind in (*(kind for kind in kinds if kind not in closing), *(kind for kind in closing if kind in kinds)):
        before = attempt.events.count()
        moved = reader.post(address("move"), sent(stage, kind))
        assert moved.url == f"{address(stage.value)}?canal=MB&tool={kind}#felt", kind
        assert attempt.events.count() == before + 1
        box = bench(stage, kind).tools[kind]
        assert " open>" in box.split("<summary>")[0]
        for name, value in MOVES[kind][0].items():
            field = rf'name="{name}" value="{value}"[^>]* checked|name="{name}"[^>]* value="{value}">'
            single = kind == "coronal_flare" and name == "size"
            assert single or re.search(field, box), (kind, name)


@pytest.mark.parametrize(("stage", "kind"), MADE, ids=str)
def test_nonsense_is_refused_in_a_sentence_and_not_stored(reader, address, attempt, student, noon, stage, kind):
    commit_before(attempt, student, noon, stage)
    before = attempt.events.count()
    _, nonsense, said = MOVES[kind]
    refused = reader.post(address("move"), {**sent(stage, kind), **nonsense})
    assert refused.status_code == 400
    assert said in words_of(refused)
    troubles = re.findall(r'<p class="err" role="alert">([^<]*)</p>', refused.content.decode())
    assert len(troubles) == 1
    assert attempt.events.count() == before


def test_a_cone_is_gauged_only_if_its_box_is_ticked(reader, address, work, attempt, bench):
    work(Stage.OPEN)
    box = r'name="gauged"( checked)?>'
    assert not re.search(box, bench(Stage.SHAPE).tools["fit_cone"])[1]
    for ticked in (True, False):
        body = sent(Stage.SHAPE, "fit_cone") | ({"gauged": "on"} if ticked else {})
        assert reader.post(address("move"), body).status_code == 303
        assert attempt.state().moves[-1] == ("MB", FitCone(30, 0.04, 15.0, gauged=ticked))
        assert bool(re.search(box, bench(Stage.SHAPE).tools["fit_cone"])[1]) is ticked


@pytest.mark.parametrize(
    ("logged", "gauged"), [({}, True), ({"gauged": True}, True), ({"gauged": False}, False)], ids=str
)
def test_a_logged_cone_is_sent_as_the_box_says_it(logged, gauged):
    move = {"kind": "fit_cone", "size": 30, "taper": 0.04, "to_mm": 18.0, **logged}
    assert ("gauged" in as_sent(move)) is gauged
    said = MOVE_FORMS["fit_cone"]({"canal": "MB", **as_sent(move)})
    assert said.is_valid()
    assert said.fields_of_event()["move"].get("gauged", True) is gauged


def test_a_length_is_not_carried_over_into_another_canal(reader, address, work, bench):
    work(Stage.OPEN)
    assert reader.post(address("move"), sent(Stage.SHAPE, "film_length") | {"canal": "ML"}).status_code == 303
    box = bench(Stage.SHAPE, "film_length").tools["film_length"]
    assert re.search(r'name="size" value="15" required checked', box)
    assert re.search(r'name="to_mm"[^>]* value="">', box)


def test_what_concerns_the_whole_tooth_is_not_said_to_be_of_one_canal(work, bench):
    work(Stage.SHAPE)
    tools = bench(Stage.FILL).tools
    whole = {kind for kind, box in tools.items() if "Make the move for the whole tooth" in box}
    assert whole == {"provisional", "next_visit", "coronal_seal"}
    assert all("Make the move in MB" in box for kind, box in tools.items() if kind not in whole)
