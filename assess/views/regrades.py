"""Grading a case again: drafted, looked at before it counts, applied, undone, by whoever may.

For anybody else there is no such page. Working a regrade out is a worker's, never a request's.
"""

from collections.abc import Callable
from typing import Any, cast
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import actions, policies
from assess.actions.regrading import out_of_date
from assess.forms.regrading import DraftForm, ReasonForm
from assess.models import RegradeBatch, RegradeState
from assess.presenting.regrades import batch_row, batch_rows, preview
from casebank.models import Case, User
from casebank.policies import visible_cases
from casebank.views import errors
from casebank.views.doors import teachers

SHOWN = (RegradeState.READY, RegradeState.APPLIED, RegradeState.UNDONE)


@teachers("GET", "POST")
def regrades(request: HttpRequest, slug: str) -> HttpResponse:
    """The regrades of a case, newest first; POST drafts one for a worker."""
    case = _case(request, slug)
    editions = list(case.editions.select_related("case").order_by("-number"))
    programmes = list(policies.regrading_programmes(request.user, case))
    sent = request.POST if request.method == "POST" else None
    form = DraftForm(sent, editions=editions, programmes=programmes)
    if form.is_valid():
        try:
            batch = actions.draft_regrade(**form.wanted(), by=cast(User, request.user), now=timezone.now())
        except actions.Refused as refused:
            form.add_error(None, str(refused))
        else:
            return redirect("regrade", slug, batch.public_id)
    context = {
        "here": "bank",
        "case": case,
        "editions": editions,
        "programmes": programmes,
        "form": form,
        "rows": batch_rows(policies.visible_regrades(request.user, case)),
    }
    return render(request, "assess/regrades.html", context, status=400 if form.errors else 200)


@teachers("GET")
def regrade(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    batch = _batch(request, slug, public_id)
    return render(request, "assess/regrade.html", _context(request, batch))


@teachers("GET")
def regrade_progress(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    """How far the worker has come, for a page that looks again by itself."""
    row = batch_row(_batch(request, slug, public_id))
    answer = {"state": row.state, "percent": row.percent_done}
    return JsonResponse(answer, headers={"Cache-Control": "private, no-store"})


@teachers("GET", "POST")
def regrade_apply(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    """Asked once more, with the reason; POST makes the grades stand."""
    return _decided(request, _batch(request, slug, public_id), "apply", actions.apply_regrade)


@teachers("GET", "POST")
def regrade_undo(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    """Asked once more, with the reason; POST makes the former grades stand again."""
    return _decided(request, _batch(request, slug, public_id), "undo", actions.undo_regrade)


@teachers("POST")
def regrade_cancel(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    batch = _batch(request, slug, public_id)
    try:
        actions.cancel_regrade(batch=batch, by=cast(User, request.user))
    except actions.Refused as refused:
        return errors.conflict(request, str(refused), _("Nothing was changed."), _back(batch))
    messages.success(request, _("The regrade is cancelled. No grade was changed."))
    return redirect("regrades", slug)


@teachers("POST")
def regrade_anew(request: HttpRequest, slug: str, public_id: UUID) -> HttpResponse:
    """Draft an open regrade anew, for attempts and editions as they are now."""
    batch = _batch(request, slug, public_id)
    try:
        anew = actions.redraft_regrade(batch=batch, by=cast(User, request.user), now=timezone.now())
    except actions.Refused as refused:
        return errors.conflict(request, str(refused), _("Nothing was changed."), _back(batch))
    return redirect("regrade", slug, anew.public_id)


def _decided(request: HttpRequest, batch: RegradeBatch, what: str, act: Callable[..., RegradeBatch]) -> HttpResponse:
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            act(batch=batch, reason=form.cleaned_data["reason"], by=cast(User, request.user), now=timezone.now())
        except actions.Refused as refused:
            return errors.conflict(request, str(refused), _("Nothing was changed."), _back(batch))
        done = {"apply": _("The regrade is applied."), "undo": _("The former grades stand again.")}
        messages.success(request, done[what])
        return redirect("regrade", batch.case.slug, batch.public_id)
    if batch.state != {"apply": RegradeState.READY, "undo": RegradeState.APPLIED}[what]:
        sentence = _("This regrade is %(state)s.") % {"state": batch.get_state_display()}
        return errors.conflict(request, sentence, _("Nothing was changed."), _back(batch))
    context = _context(request, batch) | {"what": what, "form": form}
    return render(request, "assess/regrade_confirm.html", context, status=400 if form.errors else 200)


def _context(request: HttpRequest, batch: RegradeBatch) -> dict[str, Any]:
    readable = policies.readable_attempts(request.user)
    return {
        "here": "bank",
        "case": batch.case,
        "batch": batch,
        "row": batch_row(batch),
        "stale": out_of_date(batch) if batch.state == RegradeState.READY else "",
        "preview": preview(batch, readable, timezone.now()) if batch.state in SHOWN else None,
    }


def _case(request: HttpRequest, slug: str) -> Case:
    case: Case = get_object_or_404(visible_cases(request.user), slug=slug)
    if not policies.regrading_programmes(request.user, case).exists():
        raise Http404
    return case


def _batch(request: HttpRequest, slug: str, public_id: UUID) -> RegradeBatch:
    visible = policies.visible_regrades(request.user, _case(request, slug))
    batch: RegradeBatch = get_object_or_404(
        visible.select_related("case", "edition__case", "programme", "applied_by", "undone_by"), public_id=public_id
    )
    return batch


def _back(batch: RegradeBatch) -> tuple[str, str]:
    return reverse("regrade", args=[batch.case.slug, batch.public_id]), _("To the regrade")
