"""What a cohort agreed with, item by item: of one assignment, or of all of a programme in one mode; also as a sheet."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import policies
from assess.models import Assignment, Mode
from assess.presenting.standing import STAGE_NAMES
from assess.presenting.tables import ORDERS, STAGES, case_tables, chosen_by, sheet
from assess.reports import CaseFigures, assignment_figures, programme_figures
from casebank.models import Programme
from casebank.policies import directed_programmes
from casebank.sheets import csv_text
from casebank.views import errors
from casebank.views.doors import members


@members("GET")
def assignment_table(request: HttpRequest, public_id: UUID) -> HttpResponse:
    """The table of one assignment; of practice only once it has closed."""
    work = _assignment(request, public_id)
    context: dict[str, object] = {"assignment": work, "programme": work.cohort.programme, "cohort": work.cohort}
    if not policies.may_see_table(request.user, work, now=timezone.now()):
        return render(request, "assess/table_later.html", {"here": "cohorts", **context})
    csv_address = reverse("assignment-table-csv", args=[public_id])
    return _page(request, "assess/assignment_table.html", assignment_figures(work), csv_address, context)


@members("GET")
def assignment_table_csv(request: HttpRequest, public_id: UUID) -> HttpResponse:
    work = _assignment(request, public_id)
    if not policies.may_see_table(request.user, work, now=timezone.now()):
        way = reverse("assignment-table", args=[public_id]), _("When it opens")
        return errors.conflict(request, _("The table of practice opens once it has closed."), _("Come back then."), way)
    return _sheet(request, assignment_figures(work), f"{work.cohort.slug}-{work.mode}")


@members("GET")
def programme_table(request: HttpRequest, slug: str, mode: str) -> HttpResponse:
    """Every cohort's work of one mode taken together, for the programme's director."""
    programme, mode = _programme(request, slug), _mode(mode)
    csv_address = reverse("programme-table-csv", args=[slug, mode.value])
    figures = programme_figures(programme, mode, now=timezone.now())
    context: dict[str, object] = {"programme": programme, "graded": mode is Mode.GRADED}
    return _page(request, "assess/programme_table.html", figures, csv_address, context)


@members("GET")
def programme_table_csv(request: HttpRequest, slug: str, mode: str) -> HttpResponse:
    programme, mode = _programme(request, slug), _mode(mode)
    return _sheet(request, programme_figures(programme, mode, now=timezone.now()), f"{programme.slug}-{mode.value}")


def _page(
    request: HttpRequest, template: str, figures: list[CaseFigures], csv_address: str, context: dict[str, object]
) -> HttpResponse:
    chosen = chosen_by(request.GET.dict())
    query = f"?{request.GET.urlencode()}" if request.GET else ""
    shared = {
        "here": "cohorts",
        "tables": case_tables(figures, chosen),
        "chosen": chosen,
        "stages": [(stage.value, STAGE_NAMES[stage]) for stage in STAGES],
        "orders": ORDERS.items(),
        "csv_address": f"{csv_address}{query}",
    }
    return render(request, template, {**shared, **context})


def _sheet(request: HttpRequest, figures: list[CaseFigures], name: str) -> HttpResponse:
    content = csv_text(*sheet(case_tables(figures, chosen_by(request.GET.dict()))))
    return HttpResponse(
        content.encode(),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"', "Cache-Control": "private, no-store"},
    )


def _assignment(request: HttpRequest, public_id: UUID) -> Assignment:
    visible = policies.visible_assignments(request.user).select_related("cohort__programme")
    return get_object_or_404(visible, public_id=public_id)


def _programme(request: HttpRequest, slug: str) -> Programme:
    return get_object_or_404(directed_programmes(request.user), slug=slug)


def _mode(name: str) -> Mode:
    if name not in Mode.values:
        raise Http404
    return Mode(name)
