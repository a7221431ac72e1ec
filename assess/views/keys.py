"""The key of a draft or an edition, for whoever teaches and for nobody else."""

from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from assess.policies import regrading_programmes
from assess.presenting.keying import key_of
from assess.presenting.naming import tooth_words
from assess.views.preview import draft_document
from casebank.casefile import Document
from casebank.models import Draft
from casebank.policies import visible_cases
from casebank.views.doors import teachers


@draft_document
def draft_key(request: HttpRequest, draft: Draft, document: Document) -> HttpResponse:
    back = (reverse("draft", args=[draft.public_id]), _("The draft"))
    return _key_page(request, document, {"back": back}, draft)


@teachers("GET")
def case_key(request: HttpRequest, slug: str) -> HttpResponse:
    """The key of the newest edition, or of the one that ?edition= names."""
    case = get_object_or_404(visible_cases(request.user), slug=slug)
    wanted = request.GET.get("edition", "")
    editions = case.editions.order_by("-number")
    chosen = editions.filter(number=wanted) if wanted.isascii() and wanted.isdecimal() and len(wanted) < 5 else editions
    edition = get_object_or_404(chosen[:1])
    numbers = list(editions.values_list("number", flat=True))
    again = reverse("regrades", args=[slug]) if regrading_programmes(request.user, case).exists() else ""
    more = {"back": (reverse("bank"), _("The bank")), "edition": edition, "numbers": numbers, "again": again}
    return _key_page(request, edition.document, more)


def _key_page(
    request: HttpRequest, document: Document, more: dict[str, Any], draft: Draft | None = None
) -> HttpResponse:
    """The key; the films of a draft are shown, those of an edition named."""
    tooth, key = document.anatomy.tooth, key_of(document)
    address = partial(reverse, "preview-film")
    context = {
        "here": "bank",
        "document": document,
        "tooth": tooth.number,
        "tooth_words": tooth_words(tooth.number),
        "key": key,
        "films": [(film, address(args=[draft.public_id, film.number]) if draft else "") for film in key.films],
        **more,
    }
    return render(request, "assess/key.html", context)
