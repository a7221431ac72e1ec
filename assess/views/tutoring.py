"""What a cohort's tutors see of its graded work. Practice is private and is not listed, whoever asks."""

from django.db.models import Count, Prefetch, Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from assess.models import AssignedCase, Assignment, Attempt, Mode, StoredGrade
from assess.presenting.attending import Graded, progress
from casebank.models import Cohort, Role
from casebank.policies import tutors, visible_cohorts
from casebank.views.doors import members


@members("GET")
def cohort_attempts(request: HttpRequest, pk: int) -> HttpResponse:
    cohort = get_object_or_404(visible_cohorts(request.user), pk=pk)
    if not tutors(request.user, cohort):
        raise Http404
    seats = cohort.seats.filter(membership__role=Role.STUDENT)
    seated = dict(seats.values_list("membership__user_id", "membership__user__username"))
    attempts = Attempt.objects.filter(assigned__assignment__cohort=cohort, assigned__assignment__mode=Mode.GRADED)
    committed = Count("events", filter=Q(events__kind="committed"))
    begun = attempts.select_related("student").annotate(committed=committed)
    rows = progress(_graded_work(cohort), seated, list(begun), _graded(cohort), timezone.now())
    context = {"here": "cohorts", "cohort": cohort, "rows": rows, "seats": len(seated)}
    return render(request, "assess/cohort_attempts.html", context)


def _graded_work(cohort: Cohort) -> list[Assignment]:
    """The cohort's graded assignments, newest first."""
    cases = AssignedCase.objects.select_related("edition").defer("edition__content").order_by("place")
    set_for = Assignment.objects.filter(cohort=cohort, mode=Mode.GRADED).select_related("cohort__programme")
    return list(set_for.prefetch_related(Prefetch("cases", queryset=cases)))


def _graded(cohort: Cohort) -> Graded:
    """Percent and unsafe steps of each graded attempt, by its standing grade; of a result only its unsafe steps leave
    the database."""
    grades = StoredGrade.objects.standing().filter(attempt__assigned__assignment__cohort=cohort).order_by()
    found = grades.values_list("attempt_id", "percent", "result__unsafe")
    return {attempt: (percent, len(unsafe)) for attempt, percent, unsafe in found}
