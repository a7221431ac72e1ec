"""The list of cases and the page of one case."""

from typing import cast

from django.db.models import Count, Prefetch, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import actions, policies
from assess.log import Stage
from assess.models import Attempt
from assess.presenting.assigned import set_work
from assess.presenting.listing import case_rows, work_rows
from assess.presenting.naming import tooth_words
from assess.presenting.scoring_rule import scoring_rule
from casebank.models import Case, Edition, User
from casebank.policies import visible_cases
from casebank.views import errors
from casebank.views.doors import members


def own_attempts(request: HttpRequest) -> list[Attempt]:
    """The reader's attempts, newest first, each with the number of stages committed as `committed`."""
    committed = Count("events", filter=Q(events__kind="committed"))
    own = policies.own_attempts(request.user).with_case().defer("edition__content")
    return list(own.annotate(committed=committed).order_by("-started_at", "-pk"))


@members("GET")
def cases(request: HttpRequest) -> HttpResponse:
    editions = Edition.objects.defer("content").order_by("-number")
    visible = visible_cases(request.user).prefetch_related(Prefetch("editions", queryset=editions))
    rows = case_rows(list(visible), work_rows(own_attempts(request)))
    return render(request, "assess/cases.html", {"here": "cases", "rows": rows})


@members("GET", "POST")
def case(request: HttpRequest, slug: str) -> HttpResponse:
    """What the case is; POST starts an attempt or takes up the one that was begun."""
    found = get_object_or_404(visible_cases(request.user), slug=slug)
    if request.method == "POST":
        try:
            attempt = actions.start_attempt(case=found, by=cast(User, request.user), now=timezone.now())
        except actions.Refused as refused:
            return errors.conflict(request, str(refused), _("Choose another case from the list."))
        now = attempt.state().open_stage or Stage.COMPARE
        return redirect(now.value, attempt.public_id)
    return render(request, "assess/case.html", _about(request, found))


def _about(request: HttpRequest, case: Case) -> dict[str, object]:
    """What the page shows. A graded assignment may keep the case to itself; what was begun can be gone on with."""
    edition, now = case.latest_edition(), timezone.now()
    own = [row for row in work_rows(own_attempts(request)) if row.slug == case.slug]
    mine = [row for row in own if row.stage and row.assigned is None and edition and row.edition == edition.number]
    may_start = edition is not None and policies.may_start(request.user, case)
    held_by = policies.held_back_by(request.user, case, now) if may_start and not mine else None
    return {
        "here": "cases",
        "case": case,
        "start_url": reverse("case", args=[case.slug]),
        "edition": edition,
        "scoring": scoring_rule(edition.document) if edition else None,
        "patient": edition.document.patient if edition else None,
        "tooth_words": tooth_words(edition.tooth) if edition else "",
        "unfinished": next(iter(mine), None),
        "finished": [row for row in own if row.stage is None],
        "may_start": may_start and held_by is None,
        "held_by": set_work(held_by, now) if held_by else None,
    }
