"""Fields that say in words what is missing. None has a value of its own."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

NUMBER = gettext_lazy("Give a number, with a point before the decimals.")
WHOLE = gettext_lazy("Give a whole number.")
PICK = gettext_lazy("Pick one.")
MOST = 1000


def pick(*values: str, required: bool = True, sentence: Any = PICK) -> forms.ChoiceField:
    words = {"required": sentence, "invalid_choice": gettext_lazy("Pick one of those on the page.")}
    return forms.ChoiceField(choices=[(value, value) for value in values], required=required, error_messages=words)


def number(sentence: Any = NUMBER, **limits: Any) -> forms.FloatField:
    words = {"required": sentence, "invalid": NUMBER}
    return forms.FloatField(error_messages=words, **limits)


def whole(sentence: Any = WHOLE) -> forms.IntegerField:
    """A whole number of things a hand can count; what it may be is for the act it belongs to to say."""
    words = dict.fromkeys(("invalid", "min_value", "max_value"), WHOLE)
    return forms.IntegerField(min_value=0, max_value=MOST, error_messages={**words, "required": sentence})
