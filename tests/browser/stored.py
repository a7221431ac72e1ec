"""Attempts that stand somewhere already: a log of the molar stored through the actions, without the clicks."""

import json

from django.utils import timezone

from assess import actions
from assess.log import Stage
from casebank.models import Case
from tests.factories import FIXTURES

SOUND, WEAK = (FIXTURES / "logs" / f"leaning-abutment.{name}.json" for name in ("sound", "weak"))


def begin(student):
    return actions.start_attempt(case=Case.objects.get(), by=student, now=timezone.now())


def events_of(log):
    return json.loads(log.read_text(encoding="utf-8"))["events"]


def replay(attempt, log, *, until=None):
    """Store the events of a log, up to the commit of a stage, which is left out; all of them if no stage is named."""
    for event in events_of(log):
        fields = {name: value for name, value in event.items() if name not in ("seq", "case", "event")}
        doing = {"attempt": attempt, "by": attempt.student, "now": timezone.now()}
        if event["event"] == "committed":
            if event["stage"] == until:
                return
            actions.commit_stage(stage=Stage(event["stage"]), **doing)
        elif event["event"] == "self-graded":
            if until is None:
                actions.self_grade(percents=event["percents"], **doing)
        elif event["event"] == "marked-own":
            if until is None:
                actions.mark_own(met={event["task"]: event["met"]}, **doing)
        else:
            actions.record(event=event["event"], fields=fields, **doing)


def record(attempt, event, **fields):
    """Store one event of the attempt's own student."""
    actions.record(attempt=attempt, event=event, fields=fields, by=attempt.student, now=timezone.now())
