"""A programme's roster: tried first, with nothing stored, and carried out when what it would change was looked at."""

from typing import cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from assess.forms.directing import ApplyForm, RosterForm
from assess.presenting.rosters import planned
from casebank import actions
from casebank.models import Programme, User
from casebank.policies import directed_programmes
from casebank.rosters import RosterRefused
from casebank.views.doors import members


@members("GET", "POST")
def roster(request: HttpRequest, slug: str) -> HttpResponse:
    """The form for a file. POST with a file tries it; POST with the text of a tried one carries it out."""
    programme = get_object_or_404(directed_programmes(request.user), slug=slug)
    if request.method != "POST":
        return _page(request, programme, form=RosterForm())
    if "text" in request.POST:
        return _apply(request, programme)
    form = RosterForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, programme, form=form, status=400)
    content, remove = form.cleaned_data["roster"], form.cleaned_data["remove"]
    try:
        plan = actions.plan_roster(
            programme=programme, content=content, remove_missing=remove, by=cast(User, request.user)
        )
    except RosterRefused as refused:
        return _page(request, programme, form=form, problems=refused.problems, status=400)
    text = content.decode("utf-8-sig")
    return _page(request, programme, form=RosterForm(), plan=planned(plan, programme), text=text, remove=remove)


def _apply(request: HttpRequest, programme: Programme) -> HttpResponse:
    form = ApplyForm(request.POST)
    if not form.is_valid():
        return _page(request, programme, form=RosterForm(), problems=form.errors["text"], status=400)
    try:
        plan = actions.apply_roster(
            programme=programme,
            content=form.cleaned_data["text"].encode(),
            remove_missing=form.cleaned_data["remove"],
            by=cast(User, request.user),
        )
    except RosterRefused as refused:
        return _page(request, programme, form=RosterForm(), problems=refused.problems, status=400)
    return _page(request, programme, form=RosterForm(), plan=planned(plan, programme), applied=True)


def _page(request: HttpRequest, programme: Programme, *, status: int = 200, **more: object) -> HttpResponse:
    cohorts = list(programme.cohorts.order_by("slug"))
    context = {"here": "cohorts", "programme": programme, "cohorts": cohorts, **more}
    return render(request, "assess/roster.html", context, status=status)
