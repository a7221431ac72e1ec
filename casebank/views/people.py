"""The front door: what this site is for, and signing in and out."""

from collections.abc import Iterable
from typing import Any, cast

from django.contrib import messages
from django.contrib.auth.views import LoginView, LogoutView, PasswordChangeView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.translation import gettext as _

from casebank.forms import OwnPasswordForm, SignInForm
from casebank.views.doors import members, methods
from casebank.views.errors import wrong_method


@methods("GET")
def landing(request: HttpRequest) -> HttpResponse:
    """Whoever has signed in goes on to their own page."""
    if request.user.is_authenticated:
        return redirect("home")
    return render(request, "casebank/landing.html", {"form": SignInForm(request)})


class SignIn(LoginView):
    template_name = "casebank/sign_in.html"
    authentication_form = SignInForm
    next_page = "home"
    redirect_authenticated_user = True
    extra_context = {"signing_in": True}
    http_method_names = ["get", "head", "post"]

    def http_method_not_allowed(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return wrong_method(request, _upper(self.http_method_names))


class OwnPassword(PasswordChangeView):
    """Whoever has signed in chooses a password of their own, as after one was given to them."""

    template_name = "casebank/own_password.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("home")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)


@members("GET", "POST")
def own_password(request: HttpRequest) -> HttpResponse:
    return cast(HttpResponse, OwnPassword.as_view()(request))


class SignOut(LogoutView):
    next_page = "landing"
    http_method_names = ["post"]

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if request.method != "POST":
            return wrong_method(request, _upper(self.http_method_names))
        return super().dispatch(request, *args, **kwargs)


def _upper(names: Iterable[str]) -> list[str]:
    return [name.upper() for name in names]
