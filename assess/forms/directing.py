"""What a director's pages send: a new cohort, and a roster, first as a file and then once more as the text it was."""

from collections.abc import Sequence
from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.licensing import year_field
from casebank.models import Programme
from casebank.rosters.reading import LIMITS

NAME = gettext_lazy("Give the cohort a name, such as Landing, year 4.")
SLUG = gettext_lazy("Give a short name of small letters, digits and hyphens, such as landing-4.")


class CohortForm(forms.Form):
    programme = forms.ChoiceField(
        error_messages={
            "required": gettext_lazy("Choose the programme."),
            "invalid_choice": gettext_lazy("Choose one of the programmes you direct."),
        }
    )
    name = forms.CharField(
        max_length=120,
        error_messages={"required": NAME, "max_length": gettext_lazy("Say it in at most 120 characters.")},
    )
    slug = forms.SlugField(
        max_length=60,
        error_messages={"required": SLUG, "invalid": SLUG, "max_length": gettext_lazy("Use at most 60 characters.")},
    )

    def __init__(self, *args: Any, programmes: Sequence[Programme], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by_slug = {programme.slug: programme for programme in programmes}
        self.fields["year"] = year_field()
        cast(forms.ChoiceField, self.fields["programme"]).choices = [(one, one) for one in self.by_slug]

    def wanted(self) -> dict[str, Any]:
        """What was asked for, as the action takes it."""
        said = self.cleaned_data
        return {
            "programme": self.by_slug[said["programme"]],
            "name": said["name"],
            "slug": said["slug"],
            "year": int(said["year"]) if said["year"] else None,
        }


class RosterForm(forms.Form):
    """A roster to be tried; `remove` says that whoever is not in it leaves the cohorts it names."""

    roster = forms.FileField(
        allow_empty_file=True,
        error_messages={
            "required": gettext_lazy("Choose a file."),
            "invalid": gettext_lazy("Choose a file."),
            "missing": gettext_lazy("Choose a file."),
        },
    )
    remove = forms.BooleanField(required=False)

    def clean_roster(self) -> bytes:
        """The file's bytes; of one too large only as many as show that it is."""
        return bytes(self.cleaned_data["roster"].read(LIMITS.bytes + 1))


class ApplyForm(forms.Form):
    """The roster that was tried, to be carried out."""

    text = forms.CharField(strip=False, error_messages={"required": gettext_lazy("Choose the file anew.")})
    remove = forms.BooleanField(required=False)
