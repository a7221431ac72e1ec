"""Addresses of the site."""

from django.urls import URLPattern, URLResolver, include, path

from casebank.views import people

urlpatterns: list[URLPattern | URLResolver] = [
    path("", people.landing, name="landing"),
    path("sign-in/", people.SignIn.as_view(), name="sign-in"),
    path("sign-out/", people.SignOut.as_view(), name="sign-out"),
    path("", include("assess.urls")),
]

handler400 = "casebank.views.errors.bad_request"
handler403 = "casebank.views.errors.not_allowed"
handler404 = "casebank.views.errors.not_found"
handler500 = "casebank.views.errors.broken"
