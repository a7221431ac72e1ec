"""Moves at the bench, one form a kind. The bench itself says what a length or a number of strokes may be."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.acts import Act
from assess.forms.fields import number, pick, whole
from casebank.instruments import ENGINE_SIZES, SIZES, TAPERS


class MoveForm(Act):
    """Base of every move: which canal it is made in."""

    event = "moved"
    kind: ClassVar[str] = ""
    canal = forms.CharField(max_length=80)

    def fields_of_event(self) -> dict[str, Any]:
        move = {name: value for name, value in self.move().items() if value not in (None, "")}
        return {"canal": self.cleaned_data["canal"], "move": {**move, "kind": self.kind}}

    def move(self) -> dict[str, Any]:
        return {name: value for name, value in self.cleaned_data.items() if name not in ("key", "canal")}


LENGTH = gettext_lazy("Set the stop: give a length from the reference cusp.")
SIZE = gettext_lazy("Take a size.")


def _size(sizes: tuple[int, ...] = SIZES) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        choices=[(str(size), str(size)) for size in sizes],
        coerce=int,
        error_messages={"required": SIZE, "invalid_choice": SIZE},
    )


def _taper() -> forms.TypedChoiceField:
    sentence = gettext_lazy("Take a taper.")
    return forms.TypedChoiceField(
        choices=[(f"{taper:.2f}", f"{taper:.2f}") for taper in TAPERS],
        coerce=float,
        error_messages={"required": sentence, "invalid_choice": sentence},
    )


PUSH = gettext_lazy("Choose a light or a firm hand.")


class HandFileForm(MoveForm):
    kind = "hand_file"
    size = _size()
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
    size = _size()
    to_mm = number(LENGTH)


class ReadLengthForm(MoveForm):
    kind = "read_length"
    size = _size()


class GaugeForm(MoveForm):
    kind = "gauge"
    size = _size()
    to_mm = number(LENGTH)


class FitConeForm(MoveForm):
    kind = "fit_cone"
    size = _size()
    taper = _taper()
    to_mm = number(LENGTH)


MOVE_FORMS: dict[str, type[MoveForm]] = {
    form.kind: form
    for form in (
        HandFileForm,
        EngineFileForm,
        CoronalFlareForm,
        IrrigateForm,
        RecapitulateForm,
        ReadLengthForm,
        GaugeForm,
        FitConeForm,
    )
}
