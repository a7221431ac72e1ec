"""Addresses of the site."""

from django.urls import URLPattern, URLResolver, include, path

from casebank.views import bank, drafts, importing, people

urlpatterns: list[URLPattern | URLResolver] = [
    path("", people.landing, name="landing"),
    path("sign-in/", people.SignIn.as_view(), name="sign-in"),
    path("sign-out/", people.SignOut.as_view(), name="sign-out"),
    path("own-password/", people.own_password, name="own-password"),
    path("bank/", bank.bank, name="bank"),
    path("bank/import/", importing.import_case, name="import-case"),
    path("bank/cases/<slug:slug>/retire/", bank.retire, name="retire-case"),
    path("bank/cases/<slug:slug>/reopen/", bank.reopen, name="reopen-case"),
    path("bank/drafts/<uuid:public_id>/", drafts.draft, name="draft"),
    path("bank/drafts/<uuid:public_id>/publish/", drafts.publish, name="publish-draft"),
    path("bank/drafts/<uuid:public_id>/discard/", drafts.discard, name="discard-draft"),
    path("", include("assess.urls")),
]

handler400 = "casebank.views.errors.bad_request"
handler403 = "casebank.views.errors.not_allowed"
handler404 = "casebank.views.errors.not_found"
handler500 = "casebank.views.errors.broken"
