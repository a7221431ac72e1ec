"""A case that was set for a student: what it is and by when, and its start."""

from typing import cast
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import actions, policies
from assess.log import Stage
from assess.models import AssignedCase
from assess.presenting.assigned import set_work
from assess.presenting.listing import work_rows
from assess.presenting.naming import tooth_words
from assess.presenting.scoring_rule import scoring_rule
from assess.views.cases import own_attempts
from casebank.models import User
from casebank.views import errors
from casebank.views.doors import members


@members("GET", "POST")
def assigned_case(request: HttpRequest, public_id: UUID, slug: str) -> HttpResponse:
    """GET is about it; POST starts the one attempt it takes, or takes it up again."""
    mine = AssignedCase.objects.filter(
        assignment__in=policies.assignments_for(request.user), assignment__public_id=public_id
    )
    related = ("edition__case", "assignment__cohort__programme")
    assigned = get_object_or_404(mine.select_related(*related), edition__case__slug=slug)
    if request.method == "POST":
        try:
            attempt = actions.start_assigned(assigned=assigned, by=cast(User, request.user), now=timezone.now())
        except actions.Refused as refused:
            return errors.conflict(request, str(refused), _("Your home page lists everything that is set for you."))
        now = attempt.state().open_stage or Stage.COMPARE
        return redirect(now.value, attempt.public_id)
    return render(request, "assess/case.html", _about(request, assigned))


def _about(request: HttpRequest, assigned: AssignedCase) -> dict[str, object]:
    now, assignment, edition = timezone.now(), assigned.assignment, assigned.edition
    work = next((row for row in work_rows(own_attempts(request)) if row.assigned == assigned.pk), None)
    keeper = None if assignment.is_graded or work else policies.held_back_by(request.user, edition.case, now)
    is_open = assignment.is_open(now) or bool(work and work.stage == Stage.COMPARE)
    return {
        "here": "home",
        "case": edition.case,
        "start_url": reverse("assigned-case", args=[assignment.public_id, edition.case.slug]),
        "edition": edition,
        "scoring": scoring_rule(edition.document),
        "patient": edition.document.patient,
        "tooth_words": tooth_words(edition.tooth),
        "set_work": set_work(assignment, now),
        "unfinished": work if work and work.stage else None,
        "finished": [work] if work and not work.stage else [],
        "may_start": is_open and keeper is None and not (work and work.stage is None),
        "held_by": set_work(keeper, now) if keeper else None,
    }
