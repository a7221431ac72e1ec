"""Home: what is set for a student and under way, what whoever teaches can do."""

from typing import cast

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from assess import policies
from assess.models import AssignedCase
from assess.presenting.assigned import SHOWN_AFTER_CLOSING, SetRow, set_rows
from assess.presenting.listing import Work, work_rows
from assess.views.cases import own_attempts
from casebank.models import Cohort, Role, User
from casebank.policies import own_programmes, teaches, visible_cohorts, visible_drafts
from casebank.views.doors import members


@members("GET")
def home(request: HttpRequest) -> HttpResponse:
    rows = work_rows(own_attempts(request))
    work_set, teaching = _set_for(request, rows), teaches(request.user)
    listed = {one.work.public_id for row in work_set for one in row.cases if one.work}
    context = {
        "here": "home",
        "teaching": teaching,
        "works_cases": bool(not teaching or rows or work_set),
        "work_set": work_set,
        "unfinished": [row for row in rows if row.stage is not None and row.public_id not in listed],
        "licensed": own_programmes(request.user).filter(licences__isnull=False).distinct(),
        "finished": [row for row in rows if row.stage is None],
    }
    return render(request, "assess/home.html", context | (_teaching(request) if teaching else {}))


def _set_for(request: HttpRequest, works: list[Work]) -> list[SetRow]:
    now = timezone.now()
    cases = AssignedCase.objects.select_related("edition__case").defer("edition__content").order_by("place")
    shown = policies.assignments_for(request.user).filter(closes_at__gt=now - SHOWN_AFTER_CLOSING)
    shown = shown.select_related("cohort__programme").prefetch_related(Prefetch("cases", queryset=cases))
    return set_rows(list(shown.order_by("closes_at", "pk")), works, now)


def _teaching(request: HttpRequest) -> dict[str, object]:
    """Cohorts, with those the reader tutors marked, and drafts."""
    tutored = set(
        Cohort.objects.filter(
            seats__membership__user=cast(User, request.user), seats__membership__role=Role.INSTRUCTOR
        ).values_list("pk", flat=True)
    )
    cohorts = visible_cohorts(request.user).order_by("programme__name", "slug")
    return {
        "cohorts": [(cohort, cohort.pk in tutored) for cohort in cohorts],
        "drafts": visible_drafts(request.user).defer("content").select_related("imported_by"),
    }
