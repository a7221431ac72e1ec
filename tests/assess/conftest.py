"""One student at work on the leaning abutment, and others who are not to meddle."""

import json
from datetime import timedelta

import pytest

from assess import actions
from assess.log import Stage
from casebank.models import Role
from tests.cast import instructor, noon, outsider, student
from tests.factories import FIXTURES, AttemptFactory, member
from tests.several import shared_database


@pytest.fixture
def fellow(db):
    """Another student of the same programme."""
    return member(Role.STUDENT)


@pytest.fixture
def attempt(student):
    return AttemptFactory(student=student)


@pytest.fixture
def several(transactional_db, tmp_path):
    """A database that several connections can use at once."""
    with shared_database(tmp_path) as connection:
        yield connection


@pytest.fixture
def work(attempt, student, noon):
    """Works the fixture log of the case through the actions, up to and including the commit of a stage."""
    content = (FIXTURES / "logs" / "leaning-abutment.sound.json").read_text(encoding="utf-8")

    def work(until=Stage.FILL):
        for event in json.loads(content)["events"]:
            fields = {name: value for name, value in event.items() if name not in ("seq", "case", "event")}
            at = noon + timedelta(seconds=event["seq"])
            if event["event"] == "committed":
                actions.commit_stage(attempt=attempt, stage=Stage(event["stage"]), by=student, now=at)
                if event["stage"] == until:
                    return
            elif event["event"] != "self-graded":
                actions.record(attempt=attempt, event=event["event"], fields=fields, by=student, now=at)

    return work
