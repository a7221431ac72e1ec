"""Pictures of an attempt: its films, and after it is settled the charts of its canals."""

import hashlib

from django.http import Http404, HttpResponse, HttpResponseNotModified
from django.utils.translation import gettext as _

from assess import policies
from assess.actions import StageClosed
from assess.presenting.benches import bench_of
from assess.presenting.canal_chart import canal_chart, drawing
from assess.presenting.films import RECEPTOR, views_of
from assess.views.desk import Desk, desk
from casebank.films import film_png

DAY_SECONDS = 24 * 60 * 60


@desk("GET")
def film_picture(desk: Desk, number: int) -> HttpResponse:
    """A film by its number in this attempt. Address and headers say nothing of what it shows."""
    view = views_of(desk.document, desk.state).get(number)
    if view is None:
        raise Http404
    content = film_png(desk.document.anatomy, view, RECEPTOR)
    return _private(desk, content, "image/png")


@desk("GET")
def canal_picture(desk: Desk, canal: str) -> HttpResponse:
    if not policies.may_see_results(desk.user, desk.attempt, desk.state):
        raise StageClosed(_("Charts are drawn once the case is committed and you have graded yourself."))
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    if canal not in bench.canals:
        raise Http404
    return _private(
        desk, drawing(canal_chart(bench, canal), desk.request.GET.get("ground", "light")).encode(), "image/svg+xml"
    )


def _private(desk: Desk, content: bytes, kind: str) -> HttpResponse:
    tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
    unchanged = desk.request.headers.get("If-None-Match") == tag
    response: HttpResponse = HttpResponseNotModified() if unchanged else HttpResponse(content, content_type=kind)
    response["Cache-Control"] = f"private, max-age={DAY_SECONDS}"
    response["ETag"] = tag
    return response
