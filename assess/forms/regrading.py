"""What a page sends to grade a case again: under which edition and for whom, and why."""

from collections.abc import Sequence
from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy

from assess.actions.regrading import LONGEST_REASON
from casebank.models import Edition, Programme


class DraftForm(forms.Form):
    """One edition of the case, one programme, and the line in percent that the preview is to look at, or none."""

    edition = forms.TypedChoiceField(
        coerce=int,
        error_messages={
            "required": gettext_lazy("Choose an edition."),
            "invalid_choice": gettext_lazy("Choose one of the case's editions."),
        },
    )
    programme = forms.ChoiceField(
        error_messages={
            "required": gettext_lazy("Choose a programme."),
            "invalid_choice": gettext_lazy("Choose one of your programmes."),
        }
    )
    cut = forms.FloatField(
        required=False,
        min_value=0,
        max_value=100,
        error_messages={
            "invalid": gettext_lazy("Give a percent from 0 to 100, or leave it empty."),
            "min_value": gettext_lazy("Give a percent from 0 to 100, or leave it empty."),
            "max_value": gettext_lazy("Give a percent from 0 to 100, or leave it empty."),
        },
    )

    def __init__(self, *args: Any, editions: Sequence[Edition], programmes: Sequence[Programme], **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.by_number = {one.number: one for one in editions}
        self.by_slug = {one.slug: one for one in programmes}
        cast(forms.ChoiceField, self.fields["edition"]).choices = [(number, number) for number in self.by_number]
        cast(forms.ChoiceField, self.fields["programme"]).choices = [(slug, slug) for slug in self.by_slug]

    def wanted(self) -> dict[str, Any]:
        """What was asked for, as the action takes it."""
        said = self.cleaned_data
        return {
            "edition": self.by_number[said["edition"]],
            "programme": self.by_slug[said["programme"]],
            "cut": said["cut"],
        }


class ReasonForm(forms.Form):
    """Why a regrade is applied or undone; students read it."""

    reason = forms.CharField(
        max_length=LONGEST_REASON,
        error_messages={
            "required": gettext_lazy("Give the reason: students read it beside their grade."),
            "max_length": gettext_lazy("The reason has at most 500 characters: shorten it."),
        },
    )
