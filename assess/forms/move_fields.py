"""What the forms of moves share: the canal a move is made in, sizes, tapers and lengths."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.acts import Act
from casebank.instruments import SIZES, TAPERS

LENGTH = gettext_lazy("Set the stop: give a length from the reference cusp.")
SIZE = gettext_lazy("Take a size.")
TAPER = gettext_lazy("Take a taper.")


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


def pick_size(sizes: tuple[int, ...] = SIZES) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        choices=[(str(size), str(size)) for size in sizes],
        coerce=int,
        error_messages={"required": SIZE, "invalid_choice": SIZE},
    )


def pick_taper() -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        choices=[(f"{taper:.2f}", f"{taper:.2f}") for taper in TAPERS],
        coerce=float,
        error_messages={"required": TAPER, "invalid_choice": TAPER},
    )
