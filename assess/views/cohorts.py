"""Cohorts: those the reader teaches or directs, one of them with what was set for it, and new passwords."""

from typing import Any, cast

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from assess.forms.directing import CohortForm
from assess.models import AssignedCase
from assess.presenting.cohorts import programme_rows, seat_rows, work_set
from casebank import actions, policies
from casebank.actions import Refused
from casebank.models import Cohort, Membership, Role, User
from casebank.views.doors import members, teachers


@teachers("GET", "POST")
def cohorts(request: HttpRequest) -> HttpResponse:
    """The cohorts of whoever teaches; POST makes a new one."""
    directed = list(policies.directed_programmes(request.user))
    form = CohortForm(request.POST or None, programmes=directed)
    if request.method == "POST":
        policies.require(bool(directed), _("Only a programme's director can make a cohort."))
        if cohort := _made(form, cast(User, request.user)):
            return redirect("cohort", cohort.pk)
    programmes = programme_rows(list(policies.visible_cohorts(request.user)), directed, timezone.now())
    context = {"here": "cohorts", "programmes": programmes, "directed": directed, "form": form}
    return render(request, "assess/cohorts.html", context, status=400 if form.errors else 200)


@members("GET")
def cohort(request: HttpRequest, pk: int) -> HttpResponse:
    """One cohort: what was set for it, and who sits in it."""
    found = get_object_or_404(policies.visible_cohorts(request.user), pk=pk)
    directs = policies.may_direct(request.user, found.programme)
    renewable = policies.renewable_memberships(request.user).filter(seats__cohort=found)
    seats = seat_rows(found, renewable=set(renewable.values_list("pk", flat=True)))
    context = {
        "here": "cohorts",
        "cohort": found,
        "programme": found.programme,
        "directs": directs,
        "students": seats[Role.STUDENT],
        "tutors": seats[Role.INSTRUCTOR],
        "work": _work(found, len(seats[Role.STUDENT])),
        "attempts_are_read": policies.tutors(request.user, found),
    }
    return render(request, "assess/cohort.html", context)


@never_cache
@members("POST")
def renew_password(request: HttpRequest, pk: int) -> HttpResponse:
    """A new password for one account, shown on this answer and nowhere else."""
    directed = policies.directed_programmes(request.user)
    membership = get_object_or_404(
        Membership.objects.select_related("user", "programme"), pk=pk, programme__in=directed
    )
    password = actions.renew_password(membership=membership, by=cast(User, request.user))
    cohorts = Cohort.objects.filter(seats__membership=membership)
    context = {"here": "cohorts", "account": membership.user.username, "password": password, "cohorts": cohorts}
    return render(request, "assess/renewed_password.html", context)


def _made(form: CohortForm, by: User) -> Cohort | None:
    """The cohort a form asks for; what is refused is said at the field it is about."""
    if not form.is_valid():
        return None
    try:
        return actions.make_cohort(**form.wanted(), by=by)
    except Refused as refused:
        form.add_error("slug", str(refused))
        return None


def _work(cohort: Cohort, students: int) -> list[Any]:
    cases = AssignedCase.objects.select_related("edition__case").defer("edition__content").order_by("place")
    assignments = cohort.assignments.prefetch_related(Prefetch("cases", queryset=cases))
    return work_set(list(assignments), students, timezone.now())
