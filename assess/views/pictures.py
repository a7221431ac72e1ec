"""Pictures of an attempt: its films, and after it is settled the films of what was left."""

import hashlib

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import render
from django.utils.translation import gettext as _

from assess.presenting import length_films
from assess.presenting.benches import bench_of
from assess.presenting.films import RECEPTOR, views_of
from assess.presenting.leaving import exposures
from assess.views.desk import Desk, desk, require_results
from casebank.anatomy import Anatomy
from casebank.films import film_png, film_words, quick_film_png
from casebank.radiograph import View

DAY_SECONDS = 24 * 60 * 60


@desk("GET")
def film_picture(desk: Desk, number: int) -> HttpResponse:
    """A film by its number in this attempt. Address and headers say nothing of what it shows."""
    view = views_of(desk.document, desk.state).get(number)
    if view is None:
        raise Http404
    if "quick" in desk.request.GET:
        return _for_the_wait(quick_film_png(desk.document.anatomy, view, RECEPTOR))
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
def length_picture(desk: Desk, number: int) -> HttpResponse:
    """A film for a length, by the number of its move."""
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    step = length_films.filmed(bench).get(number)
    if step is None:
        raise Http404
    rods = length_films.rods_of(desk.document, step)
    content = film_png(desk.document.anatomy, length_films.STRAIGHT, RECEPTOR, rods)
    return private_answer(desk.request, content, "image/png")


@desk("GET")
def left_picture(desk: Desk, number: int) -> HttpResponse:
    """A film of the tooth as it was left, by its number there."""
    require_results(desk, _("These films are taken once the case is committed and you have graded yourself."))
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    exposure = exposures(desk.document, desk.state, bench).get(number)
    if exposure is None:
        raise Http404
    content = film_png(desk.document.anatomy, exposure.view, RECEPTOR, exposure.rods)
    return private_answer(desk.request, content, "image/png")


def film_answer(request: HttpRequest, anatomy: Anatomy, view: View) -> HttpResponse:
    return private_answer(request, film_png(anatomy, view, RECEPTOR), "image/png")


def _for_the_wait(content: bytes) -> HttpResponse:
    """A picture that another will follow: not to be kept anywhere."""
    response = HttpResponse(content, content_type="image/png")
    response["Cache-Control"] = "private, no-store"
    return response


def private_answer(request: HttpRequest, content: bytes, kind: str) -> HttpResponse:
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    unchanged = request.headers.get("If-None-Match") == tag
    response: HttpResponse = HttpResponseNotModified() if unchanged else HttpResponse(content, content_type=kind)
    response["Cache-Control"] = f"private, max-age={DAY_SECONDS}"
    response["ETag"] = tag
    return response
