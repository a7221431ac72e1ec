"""Orders and reasons that reach the log by another way than a page are held to the same: one of each, and words."""

import pytest

from assess import actions
from assess.log import Stage
from tests.assess.told import ORDERS


@pytest.fixture
def record(work, attempt, student, noon):
    work(Stage.LOOK)

    def record(event, **fields):
        actions.record(attempt=attempt, event=event, fields={"stage": "weigh", **fields}, by=student, now=noon)

    return record


@pytest.mark.parametrize(
    ("items", "sentence"),
    [
        (ORDERS["full-day"][:-1], "leaves out 'tablets-away'"),
        ((*ORDERS["full-day"][:-1], "ring"), "an item stands twice in the order"),
        ((*ORDERS["full-day"][:-1], "coffee"), "names 'coffee', which is no item here"),
    ],
)
def test_an_order_names_every_item_once(record, attempt, items, sentence):
    with pytest.raises(actions.Refused, match=sentence):
        record("chose", task="full-day", values=items)
    assert "full-day" not in attempt.state().answers


def test_blanks_are_no_reason(record):
    with pytest.raises(actions.Refused, match="nothing but blanks was written"):
        record("wrote", task="reason", text="    ")
