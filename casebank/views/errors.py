"""What went wrong, in plain words, with what to do. Nothing of the request or the case is repeated on these pages."""

from collections.abc import Iterable

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _


def trouble(
    request: HttpRequest, status: int, title: str, what: str, do: str, link: tuple[str, str] | None = None
) -> HttpResponse:
    """One page for all of them: a title, what happened, what to do; `link` is an address and its words."""
    return render(
        request, "casebank/trouble.html", {"title": title, "what": what, "do": do, "link": link}, status=status
    )


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    if isinstance(exception, RequestDataTooBig):
        return too_large(request)
    return trouble(
        request,
        400,
        _("This could not be read"),
        _("What your browser sent does not make sense here. Nothing was stored."),
        _("Go back, load the page again and send it once more."),
    )


def too_large(request: HttpRequest) -> HttpResponse:
    return trouble(
        request,
        413,
        _("This is too large"),
        _("What your browser sent is larger than this site takes. Nothing was stored."),
        _("Go back, shorten it and send it once more."),
    )


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    own_words = isinstance(exception, PermissionDenied) and exception.args
    return trouble(
        request,
        403,
        _("This is not yours to do"),
        str(exception.args[0]) if own_words else _("Your account may not do this. Nothing was stored."),
        _("Go to your home page, or ask whoever runs the programme."),
    )


def form_expired(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The form's secret does not fit: signed in anew in another tab, or sent from elsewhere."""
    return trouble(
        request,
        403,
        _("This page is out of date"),
        _("You have signed in or out since it was loaded, or cookies are off. Nothing was stored."),
        _("Go back, load the page again and send it once more."),
    )


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return trouble(
        request,
        404,
        _("There is no such page"),
        _("The address is wrong, or what it leads to is not yours to see."),
        _("Go to your home page, or choose a case from the list."),
    )


def wrong_method(request: HttpRequest, allowed: Iterable[str]) -> HttpResponse:
    response = trouble(
        request,
        405,
        _("This address works another way"),
        _("A page was asked for where something is sent, or the other way round. Nothing was stored."),
        _("Go to your home page and use the links and buttons there."),
    )
    response["Allow"] = ", ".join(allowed)
    return response


def conflict(request: HttpRequest, what: str, do: str, link: tuple[str, str] | None = None) -> HttpResponse:
    """What was asked for cannot happen now; the sentence says why."""
    return trouble(request, 409, _("Not now"), what, do, link)


def refused(request: HttpRequest, what: str, link: tuple[str, str] | None = None) -> HttpResponse:
    return trouble(request, 400, _("This could not be stored"), what, _("Go back and correct it."), link)


def broken(request: HttpRequest) -> HttpResponse:
    return trouble(
        request,
        500,
        _("Something broke on our side"),
        _("What you had saved before is safe. What you sent just now may not be stored."),
        _("Wait a minute, go back, load the page again and look. If it breaks again, tell whoever runs this site."),
    )
