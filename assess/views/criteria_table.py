"""One case under every criteria set, for whoever teaches and for nobody else."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from assess.presenting.naming import tooth_words
from casebank.casefile import Document, compare_sets
from casebank.casefile.criteria_table import CriteriaTable
from casebank.policies import visible_cases
from casebank.views.doors import teachers


@teachers("GET")
def criteria_table(request: HttpRequest, slug: str) -> HttpResponse:
    """The newest edition under every set there is."""
    case = get_object_or_404(visible_cases(request.user), slug=slug)
    edition = get_object_or_404(case.editions.order_by("-number")[:1])
    table, trouble = _table(edition.document)
    tooth = edition.document.anatomy.tooth.number
    context = {
        "here": "bank",
        "case": case,
        "edition": edition,
        "tooth": tooth,
        "tooth_words": tooth_words(tooth),
        "table": table,
        "trouble": trouble,
    }
    return render(request, "assess/criteria_table.html", context)


def _table(document: Document) -> tuple[CriteriaTable | None, str]:
    """The table, or what keeps it from being made: a set of the school's own may be wrong."""
    try:
        return compare_sets(document), ""
    except ValueError as trouble:
        return None, str(trouble)
