"""The bank for whoever teaches: its cases, taken out and put back, and the drafts that are not published yet."""

from typing import cast

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from casebank import actions, policies
from casebank.forms import CaseFileForm
from casebank.models import Case, Edition, User
from casebank.views.doors import teachers


@teachers("GET")
def bank(request: HttpRequest) -> HttpResponse:
    editions = Edition.objects.defer("content").select_related("published_by").order_by("-number")
    cases = policies.visible_cases(request.user).prefetch_related(Prefetch("editions", queryset=editions))
    context = {
        "here": "bank",
        "rows": [(case, next(iter(case.editions.all()), None)) for case in cases],
        "drafts": policies.visible_drafts(request.user).defer("content").select_related("imported_by"),
        "form": CaseFileForm(),
    }
    return render(request, "casebank/bank.html", context)


@teachers("POST")
def retire(request: HttpRequest, slug: str) -> HttpResponse:
    case = _case(request, slug)
    actions.retire_case(case=case, by=cast(User, request.user), now=timezone.now())
    messages.success(request, _("%(case)s is out of the bank. You can put it back at any time.") % {"case": case.slug})
    return redirect("bank")


@teachers("POST")
def reopen(request: HttpRequest, slug: str) -> HttpResponse:
    case = _case(request, slug)
    actions.reopen_case(case=case, by=cast(User, request.user))
    messages.success(request, _("%(case)s is in the bank again: students can start it.") % {"case": case.slug})
    return redirect("bank")


def _case(request: HttpRequest, slug: str) -> Case:
    return get_object_or_404(policies.visible_cases(request.user), slug=slug)
