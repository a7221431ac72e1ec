"""Work is set for a cohort, and withdrawn as long as nobody has begun it."""

import zoneinfo
from typing import cast
from uuid import UUID

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import actions, policies
from assess.forms.assigning import AssignmentForm
from assess.models import Assignment
from assess.presenting.setting import known_before, settable
from assess.reports import practised_before
from casebank.models import Case, Cohort, Edition, User
from casebank.policies import visible_cohorts
from casebank.views import errors
from casebank.views.doors import members


@members("GET", "POST")
def set_assignment(request: HttpRequest, pk: int) -> HttpResponse:
    """The form to set work for a cohort; POST sets it, and says if its cases are known to many already."""
    cohort = get_object_or_404(visible_cohorts(request.user), pk=pk)
    cases, now = _cases(), timezone.now()
    form = AssignmentForm(
        request.POST if request.method == "POST" else None,
        cases=cases,
        zone=zoneinfo.ZoneInfo(cohort.programme.time_zone),
        now=now,
    )
    practised = practised_before(cohort)
    if form.is_valid():
        try:
            work = actions.set_assignment(cohort=cohort, **form.wanted(), by=cast(User, request.user), now=now)
        except actions.Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("“%(title)s” is set.") % {"title": work.title})
            if work.is_graded and (sentence := known_before(form.wanted()["cases"], practised)):
                messages.warning(request, sentence)
            return redirect("cohort", cohort.pk)
    context = {
        "here": "cohorts",
        "cohort": cohort,
        "programme": cohort.programme,
        "form": form,
        "cases": settable(cases, practised, form["cases"].value() or ()),
    }
    return render(request, "assess/set_assignment.html", context, status=400 if form.errors else 200)


@members("POST")
def withdraw_assignment(request: HttpRequest, public_id: UUID) -> HttpResponse:
    assignments = policies.visible_assignments(request.user).select_related("cohort__programme")
    work: Assignment = get_object_or_404(assignments, public_id=public_id)
    try:
        actions.withdraw_assignment(assignment=work, by=cast(User, request.user))
    except actions.Refused as refused:
        return errors.conflict(request, str(refused), _("Nothing was changed."), _back(work.cohort))
    messages.success(request, _("“%(title)s” is withdrawn.") % {"title": work.title})
    return redirect("cohort", work.cohort.pk)


def _cases() -> list[Case]:
    """Cases that can be set, each with its editions, newest first, without their content."""
    editions = Edition.objects.defer("content").order_by("-number")
    return list(Case.objects.open_to_work().prefetch_related(Prefetch("editions", queryset=editions)))


def _back(cohort: Cohort) -> tuple[str, str]:
    return reverse("cohort", args=[cohort.pk]), _("Back to %(cohort)s") % {"cohort": cohort.name}
