"""A limited cone-beam volume: asked for with a reason, given whatever the reason, and leafed through."""

from typing import Any

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.utils import timezone
from django.utils.http import urlencode

from assess import actions
from assess.forms import VolumeForm
from assess.log import Stage
from assess.presenting import sections
from assess.views.desk import Desk, desk
from assess.views.pictures import private_answer
from casebank.films import section_png
from casebank.radiograph.cone_beam import doses, in_films
from casebank.radiograph.slice_planes import PLANES, Cut


@desk("GET")
def volume(desk: Desk) -> HttpResponse:
    """The request, or the sections once it was made."""
    return _sections(desk) if desk.state.volume else _request(desk, {})


@desk("POST")
def ask_volume(desk: Desk) -> HttpResponse:
    form = VolumeForm(desk.request.POST)
    if not form.is_valid():
        sent = {name: desk.request.POST.get(name, "") for name in ("reason", "hoped")}
        return _request(desk, {"trouble": form.sentence(), **sent})
    actions.record(
        attempt=desk.attempt,
        event=form.event,
        fields=form.fields_of_event(),
        by=desk.user,
        now=timezone.now(),
        key=form.cleaned_data["key"],
    )
    return HttpResponseRedirect(desk.address("volume"), status=303)


@desk("GET")
def section_picture(desk: Desk, plane: str) -> HttpResponse:
    """One section of the volume that was asked for. Address and headers say nothing of what it shows."""
    if desk.state.volume is None or plane not in PLANES:
        raise Http404
    anatomy, wanted = desk.document.anatomy, desk.request.GET
    at_mm = sections.placed(anatomy, plane, wanted.get("at", ""))
    content = section_png(anatomy, Cut(plane, at_mm, sections.thickness(wanted.get("thick", ""))), sections.VOLUME)
    return private_answer(desk.request, content, "image/png")


def _request(desk: Desk, sent: dict[str, Any]) -> HttpResponse:
    context = {
        "reasons": sections.reasons_offered(desk.attempt.seed),
        "doses": doses(),
        "in_films": in_films(),
        **sent,
    }
    status = 400 if sent.get("trouble") else 200
    return desk.show(Stage.LOOK, "assess/volume_request.html", context, status=status)


def _sections(desk: Desk) -> HttpResponse:
    anatomy, wanted = desk.document.anatomy, desk.request.GET
    at, thick = sections.places(anatomy, wanted), sections.thickness(wanted.get("thick", ""))
    asked = desk.state.volume
    context = {
        "asked": sections.reason_words(asked.reason) if asked else "",
        "hoped": asked.hoped if asked else "",
        "thick": thick,
        "thicknesses": sections.THICK_MM,
        "sections": [sections.section(anatomy, plane, at, _picture(desk, plane, at[plane], thick)) for plane in PLANES],
    }
    return desk.show(Stage.LOOK, "assess/volume.html", context)


def _picture(desk: Desk, plane: str, at_mm: float, thick: float) -> str:
    query = urlencode({"at": f"{at_mm:g}", "thick": f"{thick:g}"})
    return f"{desk.address('section-picture', plane)}?{query}"
