"""An access outline as a page sends it: one place a line, right and down of the crown's middle, in millimetres."""

import math
import re
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assess.forms.answers import AnswerForm
from casebank.anatomy.access_polygon import checked_outline

LONGEST = 6000
MOST_ORIFICES = 12
FURTHEST_MM = 12.0
BETWEEN = re.compile(r"[\s;]+|,\s+|,(?=-?\d+\.\d)")

Places = list[list[float]]


class OutlineForm(AnswerForm):
    """The outline of an opening, and where the orifices are expected."""

    event = "outlined"
    outline = forms.CharField(
        max_length=LONGEST,
        error_messages={
            "required": gettext_lazy("Draw the outline, or give its points as numbers, one a line."),
            "max_length": gettext_lazy("An outline has at most 200 points."),
        },
    )
    orifices = forms.CharField(max_length=LONGEST, required=False)

    def clean_outline(self) -> Places:
        places = places_in(self.cleaned_data["outline"])
        try:
            checked_outline(places)
        except ValueError as trouble:
            raise forms.ValidationError(_("%(trouble)s.") % {"trouble": capfirst(str(trouble))}) from trouble
        return places

    def clean_orifices(self) -> Places:
        places = places_in(self.cleaned_data["orifices"])
        if len(places) > MOST_ORIFICES:
            raise forms.ValidationError(_("Mark at most %(most)d orifices.") % {"most": MOST_ORIFICES})
        return places

    def answer(self) -> dict[str, Any]:
        return {"outline_mm": self.cleaned_data["outline"], "orifices_mm": self.cleaned_data["orifices"]}


def places_in(text: str) -> Places:
    """The places of a text, one a line; ValidationError naming the line that is none."""
    places = []
    for number, line in enumerate(text.strip().splitlines(), 1):
        if not line.strip():
            continue
        try:
            right, down = (float(part) for part in BETWEEN.split(line.strip()))
        except ValueError:
            right = down = math.nan
        if not (abs(right) <= FURTHEST_MM and abs(down) <= FURTHEST_MM):
            raise forms.ValidationError(
                _("Line %(line)d is no place on the crown: give two numbers, right and down in mm, such as 1.5 -2.0.")
                % {"line": number}
            )
        places.append([right, down])
    return places
