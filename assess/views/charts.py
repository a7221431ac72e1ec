"""The chart of a canal, step by step: after the case is settled, each step at an address of its own."""

from django.http import Http404, HttpResponse
from django.utils.translation import gettext as _

from assess.log import Stage
from assess.presenting.benches import bench_of
from assess.presenting.charting import charted
from assess.presenting.stepping import place_asked
from assess.views.desk import Desk, desk, require_results


@desk("GET")
def canal_chart_page(desk: Desk, canal: str) -> HttpResponse:
    """The chart after one of the canal's moves: `move` is its number, `place` its place among this canal's moves."""
    require_results(desk, _("Charts are drawn once the case is committed and you have graded yourself."))
    bench = bench_of(desk.attempt.edition.sha256, desk.document, desk.state)
    if canal not in bench.canals:
        raise Http404
    place = place_asked(bench.record_of(canal), desk.request.GET)
    chart = charted(bench, desk.document, desk.state, canal, place)
    return desk.show(Stage.COMPARE, "assess/chart.html", {"chart": chart, "canals": bench.canals})
