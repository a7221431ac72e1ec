"""Forms of the bank itself."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.utils.translation import gettext_lazy as _

from casebank.casefile.reading import GREATEST_BYTES


class SignInForm(AuthenticationForm):
    """Account name and password, in words of our own where they do not fit."""

    error_messages = {
        "invalid_login": _("No account has this name and this password. Check both; capitals count."),
        "inactive": _("This account is closed. Ask whoever runs the programme."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Account name")
        self.fields["username"].widget.attrs.pop("autofocus", None)  # the caution is read first


class OwnPasswordForm(PasswordChangeForm):
    """The old password once and the new one twice."""

    error_messages = {
        **PasswordChangeForm.error_messages,
        "password_incorrect": _("This is not your password now: type it as you did when you signed in."),
        "password_mismatch": _("The two new passwords differ: type the same one twice."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = _("Password now")
        self.fields["old_password"].widget.attrs.pop("autofocus", None)
        self.fields["new_password1"].label = _("New password")
        self.fields["new_password2"].label = _("New password, once more")


class CaseFileForm(forms.Form):
    """One case file, read only if it is not far too large."""

    file = forms.FileField(
        allow_empty_file=True,  # what is in it is said by the dry run, in one place
        error_messages={
            "required": _("Choose a case file first, then check or import it."),
            "invalid": _("No file arrived: choose it once more."),
        },
    )

    def clean_file(self) -> bytes:
        sent = self.cleaned_data["file"]
        if (sent.size or 0) > GREATEST_BYTES:
            raise forms.ValidationError(self.too_large())
        return bytes(sent.read())

    @staticmethod
    def too_large() -> str:
        return _("This file is larger than %(most)d MB, so it was not read: choose a case file.") % {
            "most": GREATEST_BYTES // 1_000_000
        }
