"""A programme's licence to treat: read by whoever belongs to it, stated by its director."""

from typing import cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from assess.forms.licensing import CohortYearsForm, LicenceForm
from assess.presenting.licensing import cohort_rows, licence_rows
from casebank import actions, policies
from casebank.actions.licensing import DIRECTORS_ONLY
from casebank.models import Programme, User
from casebank.views.doors import members


@members("GET", "POST")
def licence(request: HttpRequest, slug: str) -> HttpResponse:
    """The table of years; POST states it anew."""
    programme = get_object_or_404(policies.own_programmes(request.user), slug=slug)
    if request.method != "POST":
        return _page(request, programme)
    policies.require(policies.may_state_licence(request.user, programme), DIRECTORS_ONLY)
    form = LicenceForm(request.POST)
    if not form.is_valid():
        return _page(request, programme, form=form)
    actions.state_licence(programme=programme, years=form.wanted(), by=cast(User, request.user))
    return redirect(f"{request.path}?stored")


@members("POST")
def place_cohorts(request: HttpRequest, slug: str) -> HttpResponse:
    """Say which year each cohort is in."""
    programme = get_object_or_404(policies.own_programmes(request.user), slug=slug)
    policies.require(policies.may_state_licence(request.user, programme), DIRECTORS_ONLY)
    form = CohortYearsForm(request.POST, cohorts=list(programme.cohorts.all()))
    if not form.is_valid():
        return _page(request, programme, trouble=_("A year was sent that is not on this page: choose each anew."))
    actions.place_cohorts(programme=programme, years=form.wanted(), by=cast(User, request.user))
    return redirect("licence", slug=slug)


def _page(
    request: HttpRequest, programme: Programme, *, form: LicenceForm | None = None, trouble: str = ""
) -> HttpResponse:
    rows = licence_rows(programme, form.data if form else None, form.troubles() if form else None)
    states = policies.may_state_licence(request.user, programme)
    context = {
        "here": "cohorts" if policies.teaches(request.user) else "home",
        "programme": programme,
        "states": states,
        "rows": rows if states else [row for row in rows if row.stated],
        "cohorts": cohort_rows(list(programme.cohorts.order_by("slug"))),
        "wrong": bool(form),
        "trouble": trouble,
        "stored": "stored" in request.GET,
    }
    return render(request, "assess/licence.html", context, status=400 if form or trouble else 200)
