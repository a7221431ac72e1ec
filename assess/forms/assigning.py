"""What a page sends to set work for a cohort. Nothing is chosen beforehand, and nothing typed is lost."""

import zoneinfo
from collections.abc import Sequence
from datetime import datetime
from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.fields import pick
from assess.forms.local_time import LocalTimeField
from assess.models import Feedback, Mode
from casebank.models import Case


class AssignmentForm(forms.Form):
    """Which cases, from when to when, for practice or for a grade; times are read in the programme's zone."""

    title = forms.CharField(
        max_length=120,
        error_messages={
            "required": gettext_lazy("Give it a title that its students will know it by."),
            "max_length": gettext_lazy("Say it in at most 120 characters."),
        },
    )
    mode = pick(*Mode.values, sentence=gettext_lazy("Choose practice or graded."))
    feedback = pick(*Feedback.values, sentence=gettext_lazy("Choose when its students read the reference."))
    opens = LocalTimeField()
    closes = LocalTimeField()
    cases = forms.MultipleChoiceField(
        error_messages={
            "required": gettext_lazy("Choose at least one case."),
            "invalid_choice": gettext_lazy("One of these cases cannot be set any more: choose from the list."),
            "invalid_list": gettext_lazy("Choose from the list."),
        }
    )

    def __init__(self, *args: Any, cases: Sequence[Case], zone: zoneinfo.ZoneInfo, now: datetime, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.now = now
        self.by_slug = {case.slug: case for case in cases}
        cast(forms.MultipleChoiceField, self.fields["cases"]).choices = [(slug, slug) for slug in self.by_slug]
        for name in ("opens", "closes"):
            cast(LocalTimeField, self.fields[name]).zone = zone

    def clean(self) -> dict[str, Any]:
        opens, closes = self.cleaned_data.get("opens"), self.cleaned_data.get("closes")
        if closes and closes <= self.now:
            self.add_error("closes", gettext_lazy("This is past: give a closing time that is still to come."))
        elif opens and closes and closes <= opens:
            self.add_error("closes", gettext_lazy("It closes before it opens: give a later closing time."))
        return self.cleaned_data

    def wanted(self) -> dict[str, Any]:
        """What was asked for, as the action takes it."""
        said = self.cleaned_data
        return {
            "title": said["title"],
            "mode": Mode(said["mode"]),
            "feedback": Feedback(said["feedback"]),
            "cases": [case for slug, case in self.by_slug.items() if slug in said["cases"]],
            "opens_at": said["opens"],
            "closes_at": said["closes"],
        }
