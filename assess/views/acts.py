"""What a student does in an attempt: ask, take a film, answer, give a level, make a move. Each is one event.

A form sent by script, which says so in its Accept header, gets a short answer; any other comes back to its page.
"""

from typing import Any

from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from assess import actions
from assess.actions import Refused, StageClosed
from assess.forms import MOVE_FORMS, Act, AskForm, FilmForm, LevelForm, answer_form
from assess.grading.fits import tasks_of
from assess.log import Stage
from assess.presenting.standing import STAGE_NAMES
from assess.presenting.weighing import weighing
from assess.views.desk import Desk, desk
from assess.views.stages import stage_page
from casebank.rubric import Task
from casebank.rubric import bundled as rubric


@desk("POST")
def ask(desk: Desk) -> HttpResponse:
    form = AskForm(desk.request.POST)
    if not form.is_valid():
        raise Refused(form.sentence())
    _record(desk, form)
    return _back(desk, Stage.LOOK, f"finding-{form.cleaned_data['finding']}", keep=("film",))


@desk("POST")
def film(desk: Desk) -> HttpResponse:
    """Take a further film, for a stated reason."""
    form = FilmForm(desk.request.POST)
    if not form.is_valid():
        sent = {name: desk.request.POST.get(name, "") for name in ("reason", "tube")}
        return stage_page(desk, Stage.LOOK, {"film": form.sentence(), **sent})
    _record(desk, form)
    number = len(desk.document.films) + desk.attempt.events.filter(kind="film").count()
    return HttpResponseRedirect(f"{desk.address('look')}?{urlencode({'film': number})}#film", status=303)


@desk("POST")
def answer(desk: Desk) -> HttpResponse:
    task = _task(desk)
    form = answer_form(desk.request.POST, task=task, document=desk.document, state=desk.state)
    if form is None or isinstance(form, LevelForm):
        raise Refused(_no_such_task())
    return _answered(desk, Stage(task.criterion.stage), form, task.id, f"q-{task.id.replace('.', '-')}")


@desk("POST")
def level(desk: Desk) -> HttpResponse:
    """A level for one factor, or for the whole; then on to the next."""
    task = _task(desk)
    form = answer_form(desk.request.POST, task=task, document=desk.document, state=desk.state)
    if not isinstance(form, LevelForm):
        raise Refused(_no_such_task())
    after = {one.task: one.next_anchor for one in weighing(desk.document, desk.state).factors}
    return _answered(desk, Stage.WEIGH, form, task.id, after.get(task.id, "whole"))


@desk("POST")
def move(desk: Desk) -> HttpResponse:
    """One move at the bench; the canal and the instrument stay in hand."""
    sent = desk.request.POST
    kind = sent.get("kind", "")
    stage = Stage.FILL if sent.get("stage") == Stage.FILL else Stage.SHAPE
    if kind not in MOVE_FORMS:
        raise Refused(_no_such_task())
    form = MOVE_FORMS[kind](sent)
    trouble = form.sentence() if not form.is_valid() else _refusal(desk, form)
    if trouble:
        typed = {name: value for name, value in sent.items() if name not in ("csrfmiddlewaretoken", "key")}
        return stage_page(desk, stage, {"move": trouble, "kind": kind, "canal": sent.get("canal", ""), "typed": typed})
    query = urlencode({"canal": form.cleaned_data["canal"], "tool": kind})
    return HttpResponseRedirect(f"{desk.address(stage.value)}?{query}#felt", status=303)


def _task(desk: Desk) -> Task:
    """The task that was answered. A stage that is not open is refused before it is told which tasks, and so which
    canals, there are."""
    name = desk.request.POST.get("task", "")
    try:
        criterion = rubric(desk.document.rubric).criterion(name)
    except KeyError as trouble:
        raise Refused(_no_such_task()) from trouble
    if desk.state.open_stage is not Stage(criterion.stage):
        now = desk.state.open_stage
        words = {"asked": STAGE_NAMES[Stage(criterion.stage)], "open": STAGE_NAMES[now] if now else _("nothing")}
        raise StageClosed(_("This is asked in %(asked)s, and %(open)s is open now: nothing was stored.") % words)
    task = next((one for one in tasks_of(desk.document) if one.id == name), None)
    if task is None:
        raise Refused(_no_such_task())
    return task


def _answered(desk: Desk, stage: Stage, form: Act, task: str, anchor: str) -> HttpResponse:
    """Store an answer; to a script say so, to a page come back. What is wrong is said at the question."""
    trouble = form.sentence() if not form.is_valid() else _refusal(desk, form)
    if not trouble:
        return HttpResponse(status=204) if _by_script(desk) else _back(desk, stage, anchor, keep=("film",))
    if _by_script(desk):
        return JsonResponse({"refused": trouble}, status=400)
    return stage_page(desk, stage, {"task": task, "sentence": trouble, "sent": desk.request.POST.dict()})


def _refusal(desk: Desk, form: Act) -> str:
    """Store, or say why it cannot be; a stage that is not open is for the door to say."""
    try:
        _record(desk, form)
    except StageClosed:
        raise
    except Refused as refused:
        return capfirst(str(refused).removeprefix("move: "))
    return ""


def _record(desk: Desk, form: Act) -> None:
    actions.record(
        attempt=desk.attempt,
        event=form.event,
        fields=form.fields_of_event(),
        by=desk.user,
        now=timezone.now(),
        key=form.cleaned_data["key"],
    )


def _by_script(desk: Desk) -> bool:
    return desk.request.headers.get("Accept") == "application/json"


def _back(desk: Desk, stage: Stage, anchor: str, *, keep: tuple[str, ...] = ()) -> HttpResponseRedirect:
    """To the page the form came from, at its place; what the page was looking at is kept."""
    kept: dict[str, Any] = {
        name: desk.request.POST[f"see-{name}"] for name in keep if desk.request.POST.get(f"see-{name}")
    }
    query = f"?{urlencode(kept)}" if kept else ""
    return HttpResponseRedirect(f"{desk.address(stage.value)}{query}#{anchor}", status=303)


def _no_such_task() -> str:
    return _("This page asks no such thing: load it again.")
