"""The end of an attempt: the student's own estimate, the marks of their own words, and the grade."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assess.actions.counting import count_settled
from assess.actions.holding import locked, not_open_yet, require_worker
from assess.actions.refusals import Refused, StageClosed
from assess.grading import AnswerRefused, Grade, grade, grade_record
from assess.grading.fits import require_fit
from assess.grading.grade import GRADED_STAGES
from assess.log import AnyEvent, Committed, MarkedOwn, SelfGraded, Stage
from assess.models import Attempt, StoredGrade, store
from casebank.models import User


def self_grade(*, attempt: Attempt, percents: Mapping[str, int], by: User, now: datetime) -> StoredGrade | None:
    """Store the student's own estimate, then close the case and grade it. A repeat returns the first grade.

    None as long as a reason in the student's own words waits for its author's marks: `mark_own` closes the case then.
    It adds no answer, so it may be given after an assignment has closed.
    """
    require_worker(by, attempt)
    log, document = attempt.log(), attempt.edition.document
    expected = _expected(percents, seq=len(log) + 1, case=document.slug)
    if attempt.state().to_mark:
        _estimated(attempt, expected, now)
        return None
    return _settled(attempt, log, (expected,), now)


def mark_own(*, attempt: Attempt, met: Mapping[str, Sequence[str]], by: User, now: datetime) -> StoredGrade:
    """Store which lines the student found met in each of their written reasons, close the case and grade it.

    A repeat returns the first grade. `met` names the lines by task.
    """
    require_worker(by, attempt)
    log, state = attempt.log(), attempt.state()
    if state.open_stage is Stage.COMPARE and not state.self_grade:
        raise StageClosed(_("Your own words are marked after the stages are estimated: estimate them first."))
    if state.open_stage is Stage.COMPARE and set(met) != set(state.to_mark):
        raise Refused(_("Mark each of your written reasons: load the page again."))
    marks = tuple(
        MarkedOwn(seq=len(log) + number, case=attempt.edition.document.slug, task=task, met=tuple(lines))
        for number, (task, lines) in enumerate(met.items(), 1)
    )
    for mark in marks:
        try:
            require_fit(attempt.edition.document, state, mark)
        except AnswerRefused as trouble:
            raise Refused(str(trouble)) from trouble
    return _settled(attempt, log, marks, now)


def _estimated(attempt: Attempt, expected: SelfGraded, now: datetime) -> None:
    """Store an estimate alone; a repeat changes nothing."""
    with transaction.atomic():
        attempt = locked(attempt)
        state = attempt.state()
        if state.self_grade or attempt.grades.exists():
            return
        if state.open_stage is not Stage.COMPARE or state.events + 1 != expected.seq:
            raise StageClosed(not_open_yet(Stage.COMPARE, state))
        store(attempt=attempt, event=expected, at=now)


def _settled(attempt: Attempt, log: Sequence[AnyEvent], last: Sequence[AnyEvent], now: datetime) -> StoredGrade:
    """Store the last events of an attempt, close it and keep its grade."""
    document = attempt.edition.document
    closing = Committed(seq=len(log) + len(last) + 1, case=document.slug, stage=Stage.COMPARE)
    # Once everything before Compare is committed nothing else can be added, so grading need not hold the lock.
    at_compare = attempt.state().open_stage is Stage.COMPARE
    result = grade(document, [*log, *last, closing]) if at_compare else None
    with transaction.atomic():
        attempt = locked(attempt)
        if first := attempt.grades.first():
            return first
        state = attempt.state()
        if result is None or state.events != len(log):
            raise StageClosed(not_open_yet(Stage.COMPARE, state))
        for event in (*last, closing):
            store(attempt=attempt, event=event, at=now)
        return keep_grade(attempt, result, events=closing.seq, now=now)


def keep_grade(attempt: Attempt, result: Grade, *, events: int, now: datetime) -> StoredGrade:
    """A grade, stored and counted."""
    kept = StoredGrade.objects.create(
        attempt=attempt,
        edition_sha256=attempt.edition.sha256,
        rubric=result.versions["rubric"],
        criteria=result.versions["criteria"],
        grader=result.versions["grader"],
        events=events,
        percent=min(100.0, result.percent),  # a sum of shares may end a hair above
        result=grade_record(result),
        graded_at=now,
    )
    count_settled(kept)
    return kept


def _expected(percents: Mapping[str, int], *, seq: int, case: str) -> SelfGraded:
    given = {str(stage): percent for stage, percent in percents.items()}
    whole = all(type(percent) is int and 0 <= percent <= 100 for percent in given.values())
    if set(given) != set(GRADED_STAGES) or not whole:
        raise Refused(_("Estimate each of the five stages with a whole number from 0 to 100."))
    return SelfGraded(seq=seq, case=case, percents={Stage(stage): percent for stage, percent in given.items()})
