"""Whatever a sound log did can be done on the pages: its moves fit the tray, its readings the menus."""

import json

import pytest

from assess.forms import MOVE_FORMS
from assess.presenting.asking import canal_menu
from casebank.casefile import read_document
from tests.factories import FIXTURES
from tests.tray_fields import as_sent

CASES = sorted(path.name.removesuffix(".case.json") for path in (FIXTURES / "cases").glob("*.case.json"))


def events_of(case, kind):
    log = json.loads((FIXTURES / "logs" / f"{case}.sound.json").read_text(encoding="utf-8"))
    return [event for event in log["events"] if event["event"] == kind]


@pytest.mark.parametrize("case", CASES)
def test_every_move_can_be_made_with_the_tray(case):
    for event in events_of(case, "moved"):
        form = MOVE_FORMS[event["move"]["kind"]]({"canal": event["canal"], **as_sent(event["move"])})
        assert form.is_valid(), (event["seq"], form.errors)
        assert form.fields_of_event()["move"] == event["move"]


@pytest.mark.parametrize("case", CASES)
def test_every_canal_that_was_measured_can_be_picked(case):
    menu = canal_menu(read_document(FIXTURES / "cases" / f"{case}.case.json"))
    named = [event["of"] for event in events_of(case, "measured") if event["stage"] == "look" and "of" in event]
    assert named
    assert set(named) <= set(menu)
