"""What stands before a page: who may come in, and by which method."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse

from casebank import policies
from casebank.views.errors import wrong_method

View = Callable[..., HttpResponse]


def methods(*allowed: str) -> Callable[[View], View]:
    """Answer these methods only, any other with a page in words. HEAD comes with GET."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if request.method in allowed or (request.method == "HEAD" and "GET" in allowed):
                return view(request, *args, **kwargs)
            return wrong_method(request, allowed)

        return guarded

    return guard


def members(*allowed: str) -> Callable[[View], View]:
    """Only for those who have signed in, and by these methods only."""

    def guard(view: View) -> View:
        return login_required(methods(*allowed)(view), login_url="sign-in")

    return guard


def teachers(*allowed: str) -> Callable[[View], View]:
    """Only for whoever teaches; for any other member there is no such page."""

    def guard(view: View) -> View:
        @members(*allowed)
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not policies.teaches(request.user):
                raise Http404
            return view(request, *args, **kwargs)

        return guarded

    return guard
