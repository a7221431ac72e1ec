"""Forms of the bank itself."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _


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
