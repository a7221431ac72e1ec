"""Moves once a canal is shaped, one form a kind: trying in, drying, dressing, filling, closing."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.fields import number, pick
from assess.forms.move_fields import LENGTH, MoveForm, pick_size, pick_taper
from casebank.instruments.closing_moves import FILL_METHODS, MEDICAMENTS, PROVISIONAL_MATERIALS, SEAL_MATERIALS

MATERIAL = gettext_lazy("Choose a material.")
THICKNESS = gettext_lazy("Say how thick it lies, in mm.")


class FitConeForm(MoveForm):
    """A box that is not ticked is not sent: then the cone comes straight from its packet."""

    kind = "fit_cone"
    size = pick_size()
    taper = pick_taper()
    to_mm = number(LENGTH)
    gauged = forms.BooleanField(required=False)

    def move(self) -> dict[str, Any]:
        """A log that says nothing of it means a gauged cone, so only one that is not is written down."""
        said = super().move()
        return {name: value for name, value in said.items() if not (name == "gauged" and value)}


class TrialFitForm(MoveForm):
    kind = "trial_fit"
    size = pick_size()
    taper = pick_taper()
    to_mm = number(LENGTH)


class DryForm(MoveForm):
    kind = "dry"


class MedicateForm(MoveForm):
    kind = "medicate"
    agent = pick(*MEDICAMENTS, sentence=gettext_lazy("Choose a medicament."))


class ProvisionalForm(MoveForm):
    kind = "provisional"
    material = pick(*PROVISIONAL_MATERIALS, sentence=MATERIAL)
    thickness_mm = number(THICKNESS)


class NextVisitForm(MoveForm):
    kind = "next_visit"


class SealForm(MoveForm):
    kind = "seal_canal"
    to_mm = number(gettext_lazy("Say how deep: give a length from the reference cusp."))


class FillCanalForm(MoveForm):
    kind = "fill_canal"
    method = pick(*FILL_METHODS, sentence=gettext_lazy("Choose a method."))
    size = pick_size()
    taper = pick_taper()
    to_mm = number(LENGTH)


class CoronalSealForm(MoveForm):
    kind = "coronal_seal"
    material = pick(*SEAL_MATERIALS, sentence=MATERIAL)
    thickness_mm = number(THICKNESS)


CLOSING_FORMS: tuple[type[MoveForm], ...] = (
    FitConeForm,
    TrialFitForm,
    DryForm,
    MedicateForm,
    ProvisionalForm,
    NextVisitForm,
    SealForm,
    FillCanalForm,
    CoronalSealForm,
)
