"""Pictures of an attempt: its films, and after it is settled the charts of its canals."""

import hashlib

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils import timezone
from django.utils.translation import gettext as _

from assess import policies
from assess.actions import StageClosed
from assess.presenting.benches import bench_of
from assess.presenting.canal_chart import canal_chart, drawing
from assess.presenting.films import RECEPTOR, views_of
from assess.views.desk import Desk, desk
from casebank.anatomy import Anatomy
from casebank.films import film_png
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
def canal_picture(desk: Desk, canal: str) -> HttpResponse:
    now = timezone.now()
    if not policies.may_see_results(desk.user, desk.attempt, desk.state, now=now):
        if desk.state.is_settled and policies.is_kept_back(desk.attempt, now):
            raise StageClosed(desk.kept_words())
        raise StageClosed(_("Charts are drawn once the case is committed and you have graded yourself."))
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    if canal not in bench.canals:
        raise Http404
    picture = drawing(canal_chart(bench, canal), desk.request.GET.get("ground", "light"))
    return _private(desk.request, picture.encode(), "image/svg+xml")


def film_answer(request: HttpRequest, anatomy: Anatomy, view: View) -> HttpResponse:
    return _private(request, film_png(anatomy, view, RECEPTOR), "image/png")


def _private(request: HttpRequest, content: bytes, kind: str) -> HttpResponse:
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    unchanged = request.headers.get("If-None-Match") == tag
    response: HttpResponse = HttpResponseNotModified() if unchanged else HttpResponse(content, content_type=kind)
    response["Cache-Control"] = f"private, max-age={DAY_SECONDS}"
    response["ETag"] = tag
    return response
