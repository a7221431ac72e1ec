"""Pictures of an attempt: its films, and after it is settled the films of what was left."""

import hashlib

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import render
from django.utils.translation import gettext as _

from assess.presenting.benches import bench_of
from assess.presenting.films import RECEPTOR, views_of
from assess.presenting.leaving import exposures
from assess.views.desk import Desk, desk, require_results
from casebank.anatomy import Anatomy
from casebank.films import film_png, film_words
from casebank.radiograph import View

DAY_SECONDS = 24 * 60 * 60


@desk("GET")
def film_picture(desk: Desk, number: int) -> HttpResponse:
    """A film by its number in this attempt. Address and headers say nothing of what it shows."""
    view = views_of(desk.document, desk.state).get(number)
    if view is None:
        raise Http404
    return film_answer(desk.request, desk.document.anatomy, view)


@desk("GET")
def film_in_words(desk: Desk, number: int) -> HttpResponse:
    """What the picture of a film shows, for whoever cannot use the picture; nothing that it does not show."""
    view = views_of(desk.document, desk.state).get(number)
    if view is None:
        raise Http404
    said = film_words(desk.document.anatomy, view, RECEPTOR)
    film = desk.films()[number - 1]
    context = {"here": "cases", "attempt": desk.attempt, "film": film, "said": said}
    return render(desk.request, "assess/film_words.html", context)


@desk("GET")
def left_picture(desk: Desk, number: int) -> HttpResponse:
    """A film of the tooth as it was left, by its number there."""
    require_results(desk, _("These films are taken once the case is committed and you have graded yourself."))
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    exposure = exposures(desk.document, desk.state, bench).get(number)
    if exposure is None:
        raise Http404
    content = film_png(desk.document.anatomy, exposure.view, RECEPTOR, exposure.rods)
    return _private(desk.request, content, "image/png")


def film_answer(request: HttpRequest, anatomy: Anatomy, view: View) -> HttpResponse:
    return _private(request, film_png(anatomy, view, RECEPTOR), "image/png")


def _private(request: HttpRequest, content: bytes, kind: str) -> HttpResponse:
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    unchanged = request.headers.get("If-None-Match") == tag
    response: HttpResponse = HttpResponseNotModified() if unchanged else HttpResponse(content, content_type=kind)
    response["Cache-Control"] = f"private, max-age={DAY_SECONDS}"
    response["ETag"] = tag
    return response
