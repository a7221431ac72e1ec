"""Moves at the bench, one form a kind. The bench itself says what a length or a number of strokes may be."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.closing_moves import CLOSING_FORMS
from assess.forms.fields import number, pick, whole
from assess.forms.move_fields import LENGTH, MoveForm, pick_size
from casebank.instruments import ENGINE_SIZES, TAPERS
from casebank.instruments.moves import LENGTH_SIZES, LUBRICANTS, PATENCY_SIZES

PUSH = gettext_lazy("Choose a light or a firm hand.")


class HandFileForm(MoveForm):
    kind = "hand_file"
    size = pick_size()
    to_mm = number(LENGTH)
    strokes = whole(gettext_lazy("Say how many strokes."))
    push = pick("light", "firm", sentence=PUSH)
    precurve_per_mm = forms.TypedChoiceField(
        choices=[(bend, bend) for bend in ("0", "0.1", "0.15", "0.2")],
        coerce=float,
        error_messages={"required": gettext_lazy("Say whether the file is bent beforehand.")},
    )


class EngineFileForm(MoveForm):
    """Size and taper come together, as one cell of the tray's grid."""

    kind = "engine_file"
    file = pick(
        *(f"{size}/{taper:.2f}" for size in ENGINE_SIZES for taper in TAPERS), sentence=gettext_lazy("Take a file.")
    )
    to_mm = number(LENGTH)
    passes = whole(gettext_lazy("Say how many passes."))
    push = pick("light", "firm", sentence=PUSH)
    brush = pick("away", "toward", required=False)

    def move(self) -> dict[str, Any]:
        said = super().move()
        size, taper = said.pop("file").split("/")
        return {**said, "size": int(size), "taper": float(taper)}


class CoronalFlareForm(MoveForm):
    kind = "coronal_flare"
    depth_mm = number(gettext_lazy("Give a depth below the orifice."))
    strokes = whole(gettext_lazy("Say how many strokes."))
    brush = pick("away", "toward", sentence=gettext_lazy("Say to which side you brush."))


class IrrigateForm(MoveForm):
    kind = "irrigate"
    solution = pick(
        "sodium hypochlorite", "EDTA", "chlorhexidine", "water", sentence=gettext_lazy("Choose a solution.")
    )
    ml = number(gettext_lazy("Give a volume in mL."))
    needle_mm = forms.TypedChoiceField(
        choices=[("0.31", "0.31"), ("0.42", "0.42")],
        coerce=float,
        error_messages={"required": gettext_lazy("Choose a needle.")},
    )
    depth_mm = number(required=False)


class RecapitulateForm(MoveForm):
    kind = "recapitulate"
    size = pick_size()
    to_mm = number(LENGTH)


class ReadLengthForm(MoveForm):
    kind = "read_length"
    size = pick_size()


class GaugeForm(MoveForm):
    kind = "gauge"
    size = pick_size()
    to_mm = number(LENGTH)


class LubricateForm(MoveForm):
    kind = "lubricate"
    agent = pick(*LUBRICANTS, sentence=gettext_lazy("Choose a gel."))


class PatencyForm(MoveForm):
    kind = "patency"
    size = pick_size(PATENCY_SIZES)
    beyond_mm = number(gettext_lazy("Say how far through the end, in mm."))


class ReadElectronicallyForm(MoveForm):
    kind = "read_electronically"
    size = pick_size(LENGTH_SIZES)


class FilmLengthForm(MoveForm):
    kind = "film_length"
    size = pick_size(LENGTH_SIZES)
    to_mm = number(LENGTH)


SHAPING_FORMS: tuple[type[MoveForm], ...] = (
    HandFileForm,
    EngineFileForm,
    CoronalFlareForm,
    IrrigateForm,
    LubricateForm,
    RecapitulateForm,
    PatencyForm,
    ReadLengthForm,
    ReadElectronicallyForm,
    FilmLengthForm,
    GaugeForm,
)
MOVE_FORMS: dict[str, type[MoveForm]] = {form.kind: form for form in (*SHAPING_FORMS, *CLOSING_FORMS)}
