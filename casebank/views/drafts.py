"""One draft: what it is, what keeps it from being published, and publishing or discarding it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from casebank import actions, policies
from casebank.casefile import Document, FileRefused
from casebank.casefile.dry_run import dry_run
from casebank.difficulty import criteria_named
from casebank.models import Case, Draft, Edition, User
from casebank.rubric import bundled as bundled_rubric
from casebank.views.doors import View, teachers
from casebank.views.faults import FILE, faults


def _drafts(*methods: str) -> Callable[[View], View]:
    """A view of one draft that the reader may see; 404 for any other."""

    def around(view: View) -> View:
        @teachers(*methods)
        @wraps(view)
        def with_draft(request: HttpRequest, public_id: UUID) -> HttpResponse:
            mine = policies.visible_drafts(request.user).select_related("imported_by")
            return view(request, get_object_or_404(mine, public_id=public_id))

        return with_draft

    return around


@_drafts("GET")
def draft(request: HttpRequest, draft: Draft) -> HttpResponse:
    return render(request, "casebank/draft.html", _about(draft))


@teachers("GET", "POST")
def publish(request: HttpRequest, public_id: UUID) -> HttpResponse:
    """GET asks once, POST publishes. A second POST of the same page finds what the first has published."""
    found = policies.visible_drafts(request.user).filter(public_id=public_id).first()
    if found is None:
        return _published_before(request)
    if request.method != "POST":
        about = _about(found)
        blocked = bool(about["obstacles"])
        page = "casebank/draft.html" if blocked else "casebank/draft_publish.html"
        return render(request, page, about, status=409 if blocked else 200)
    try:
        edition = actions.publish_draft(draft=found, by=cast(User, request.user), now=timezone.now())
    except FileRefused:
        return render(request, "casebank/draft.html", _about(found) | {"refused": True}, status=409)
    return _to_the_bank(request, edition)


@_drafts("POST")
def discard(request: HttpRequest, draft: Draft) -> HttpResponse:
    actions.discard_draft(draft=draft, by=cast(User, request.user))
    messages.success(request, _("The draft of %(case)s is discarded. Your file is not touched.") % {"case": draft.slug})
    return redirect("bank")


def _published_before(request: HttpRequest) -> HttpResponse:
    sent = Edition.objects.filter(sha256=request.POST.get("sha256", ""))
    return _to_the_bank(request, get_object_or_404(sent.select_related("case")))


def _to_the_bank(request: HttpRequest, edition: Edition) -> HttpResponse:
    said = {"case": edition.case.slug, "number": edition.number}
    messages.success(request, _("Published: %(case)s, edition %(number)d.") % said)
    return redirect("bank")


def _about(draft: Draft) -> dict[str, Any]:
    """Everything a draft's page shows. What this program no longer reads as a case has no document."""
    tried = dry_run(draft.content.encode(), name=FILE)
    case = Case.objects.filter(slug=draft.slug).first()
    latest = case.latest_edition() if case else None
    return {
        "here": "bank",
        "draft": draft,
        "document": tried.document,
        "task_count": _task_count(tried.document) if tried.document else 0,
        "obstacles": faults((*tried.errors, *tried.obstacles)),
        "case": case,
        "latest": latest,
        "next_number": latest.number + 1 if latest else 1,
        "same_as": case.editions.filter(sha256=draft.sha256).first() if case else None,
        "preview_stages": ("look", "weigh", "open", "shape", "fill"),
    }


def _task_count(document: Document) -> int:
    canals = [canal.name for canal in document.anatomy.tooth.canals]
    factors = [factor.id for factor in criteria_named(document.criteria).factors]
    return len(bundled_rubric(document.rubric).tasks(canals=canals, factors=factors))
