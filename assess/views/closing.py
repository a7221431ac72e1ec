"""Closing: a stage is committed after one confirmation; the case is closed by the student's own estimate."""

from collections.abc import Sequence

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import actions
from assess.forms import MarksForm, SelfGradeForm
from assess.log import Stage
from assess.presenting.own_words import Reason, reasons_written
from assess.presenting.standing import STAGE_NAMES, unanswered
from assess.views.desk import Desk, desk, require_begun
from assess.views.stages import self_grade_page


@desk("GET", "POST")
def commit(desk: Desk, stage: str) -> HttpResponse:
    """GET names what is still open, POST commits for good and goes on to the next stage."""
    if stage not in set(Stage) - {Stage.COMPARE}:
        raise Http404
    closing = Stage(stage)
    if desk.request.method == "POST":
        actions.commit_stage(attempt=desk.attempt, stage=closing, by=desk.user, now=timezone.now())
        return HttpResponseRedirect(desk.address(_next(closing).value), status=303)
    require_begun(desk, closing)
    if closing in desk.state.closed:
        raise actions.StageClosed(_("%(stage)s is committed already.") % {"stage": STAGE_NAMES[closing]})
    if not desk.attempt.is_open(timezone.now()):
        assigned = desk.set_work()
        raise actions.StageClosed(_("This closed on %(moment)s.") % {"moment": assigned.closes if assigned else ""})
    open_still = unanswered(desk.document, desk.state, closing)
    return desk.show(closing, "assess/confirm.html", {"open_still": open_still, "next": STAGE_NAMES[_next(closing)]})


@desk("POST")
def self_grade(desk: Desk) -> HttpResponse:
    require_begun(desk, Stage.COMPARE)
    form = SelfGradeForm(desk.request.POST)
    if not form.is_valid():
        return self_grade_page(desk, form)
    actions.self_grade(attempt=desk.attempt, percents=form.percents(), by=desk.user, now=timezone.now())
    return HttpResponseRedirect(desk.address("compare"), status=303)  # which leads on to the marks, if any are wanted


@desk("GET", "POST")
def mark_own(desk: Desk) -> HttpResponse:
    """The student's own words with the lines to look for; POST stores the marks, closes the case and grades it."""
    require_begun(desk, Stage.COMPARE)
    waiting = desk.state.open_stage is Stage.COMPARE and bool(desk.state.self_grade)
    reasons = reasons_written(desk.document, desk.state, desk.state.to_mark) if waiting else ()
    if desk.request.method != "POST":
        return _marks_page(desk, reasons) if waiting else HttpResponseRedirect(desk.address("compare"), status=303)
    form = MarksForm(desk.request.POST, lines={reason.task: reason.names for reason in reasons})
    if not form.is_valid():
        return _marks_page(desk, reasons, form.sentence())
    actions.mark_own(attempt=desk.attempt, met=form.met(), by=desk.user, now=timezone.now())
    return HttpResponseRedirect(desk.address("compare"), status=303)


def _marks_page(desk: Desk, reasons: Sequence[Reason], trouble: str = "") -> HttpResponse:
    more = {"reasons": reasons, "trouble": trouble}
    return desk.show(Stage.COMPARE, "assess/mark_own.html", more, status=400 if trouble else 200)


def _next(stage: Stage) -> Stage:
    stages = tuple(Stage)
    return stages[stages.index(stage) + 1]
