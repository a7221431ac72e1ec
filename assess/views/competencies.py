"""The competency map, for whoever teaches."""

from django.db.models import OuterRef, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from assess.presenting.competencies import competency_map
from casebank.models import Case, Edition
from casebank.views.doors import teachers


@teachers("GET")
def competencies(request: HttpRequest) -> HttpResponse:
    """What the newest edition of every open case exercises."""
    newest = Edition.objects.filter(case=OuterRef("case")).order_by("-number").values("pk")[:1]
    editions = Edition.objects.filter(case__in=Case.objects.open_to_work(), pk=Subquery(newest)).select_related("case")
    context = {"here": "competencies", "map": competency_map(list(editions.order_by("tooth", "case__slug")))}
    return render(request, "assess/competencies.html", context)
