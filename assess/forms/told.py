"""What is told: things put in order, one place each, and a reason in the student's own words."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.forms.answers import AnswerForm
from assess.presenting.telling import PLACE, most_letters
from casebank.rubric import OrderRule, WrittenRule

FEWEST_LETTERS = 3


class OrderForm(AnswerForm):
    """A place for every item, in fields named place- and the item's value; each place is given once."""

    event = "chose"

    def clean(self) -> dict[str, Any]:
        rule = self.task.criterion.rule
        assert isinstance(rule, OrderRule)
        return {**self.cleaned_data, "values": in_order(self.data, rule.items)}

    def answer(self) -> dict[str, Any]:
        return {"values": self.cleaned_data["values"]}


class WrittenForm(AnswerForm):
    """A text of at least a few letters and at most as many as the rubric allows. It takes no confidence."""

    event = "wrote"
    confidence = None  # type: ignore[assignment]  # Django's way to leave out a field of a base
    text = forms.CharField(
        min_length=FEWEST_LETTERS,
        error_messages={
            "required": gettext_lazy("Write your reason first. A few sentences are enough."),
            "min_length": gettext_lazy("Write your reason in a few words at least."),
        },
    )

    def clean_text(self) -> str:
        """The text with its lines parted as the page counts them: a browser sends two letters for each new line."""
        text: str = self.cleaned_data["text"].replace("\r\n", "\n")
        rule = self.task.criterion.rule
        assert isinstance(rule, WrittenRule)
        most = most_letters(rule)
        if len(text) > most:
            raise forms.ValidationError(
                _("This has %(count)d letters, and at most %(most)d may be: shorten it.")
                % {"count": len(text), "most": most}
            )
        return text

    def answer(self) -> dict[str, Any]:
        return {"text": self.cleaned_data["text"]}


def in_order(sent: Mapping[str, Any], items: Mapping[str, str]) -> list[str]:
    """The items by their places; ValidationError, naming what has none, no such or another's place."""
    whole = len(items)
    places: dict[str, str] = {}
    for item, wording in items.items():
        place = str(sent.get(f"{PLACE}{item}", "")).strip()
        if not place:
            raise forms.ValidationError(_("“%(item)s” has no place yet: give every item one.") % {"item": wording})
        if place not in [str(number) for number in range(1, whole + 1)]:
            raise forms.ValidationError(
                _("“%(item)s” has no place from 1 to %(whole)d: give it one.") % {"item": wording, "whole": whole}
            )
        if place in places:
            raise forms.ValidationError(
                _("“%(item)s” and “%(other)s” both have place %(place)s: give each its own.")
                % {"item": wording, "other": items[places[place]], "place": place}
            )
        places[place] = item
    return [places[str(number)] for number in range(1, whole + 1)]
