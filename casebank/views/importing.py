"""Importing a case file: tried first, with everything that is wrong by field; stored only as a draft."""

from typing import Any, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from casebank import actions, policies
from casebank.casefile import FileRefused
from casebank.casefile.dry_run import dry_run
from casebank.casefile.reading import GREATEST_BYTES
from casebank.forms import CaseFileForm
from casebank.models import User, sha256_of
from casebank.views.doors import teachers
from casebank.views.faults import FILE, faults, no_case_file

FORM_BYTES = 10_000  # what a form adds to the file it sends


@csrf_exempt  # only so that a body far too large is turned away unread; what is read is checked as any other form
@teachers("GET", "POST")
def import_case(request: HttpRequest) -> HttpResponse:
    if int(request.META.get("CONTENT_LENGTH") or 0) > GREATEST_BYTES + FORM_BYTES:
        return _page(request, {"trouble": CaseFileForm.too_large()}, status=413)
    return _import(request)


@csrf_protect
def _import(request: HttpRequest) -> HttpResponse:
    if request.method != "POST":
        return _page(request, {})
    form = CaseFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, {"trouble": " ".join(str(sentence) for sentence in form.errors["file"])}, status=400)
    content = form.cleaned_data["file"]
    if wrong := no_case_file(content):
        return _page(request, {"errors": wrong}, status=400)
    return _import_draft(request, content) if "import" in request.POST else _check(request, content)


def _check(request: HttpRequest, content: bytes) -> HttpResponse:
    tried = dry_run(content, name=FILE)
    found = {
        "document": tried.document,
        "errors": faults(tried.errors),
        "obstacles": faults(tried.obstacles),
        "checked": True,
    }
    return _page(request, found, status=400 if tried.errors else 200)


def _import_draft(request: HttpRequest, content: bytes) -> HttpResponse:
    try:
        text = content.decode()
        before = policies.visible_drafts(request.user).filter(sha256=sha256_of(text)).exists()
        draft = actions.import_draft(content=content, by=cast(User, request.user), now=timezone.now())
    except (FileRefused, UnicodeDecodeError):
        return _page(request, {"errors": faults(dry_run(content, name=FILE).errors)}, status=400)
    said = (
        _("This very file is a draft already: here it is.")
        if before
        else _("Imported as a draft. No student sees it until it is published.")
    )
    messages.success(request, said)
    return HttpResponseRedirect(reverse("draft", args=[draft.public_id]), status=303)


def _page(request: HttpRequest, found: dict[str, Any], *, status: int = 200) -> HttpResponse:
    context = {"here": "bank", "form": CaseFileForm(), **found}
    return render(request, "casebank/bank_import.html", context, status=status)
