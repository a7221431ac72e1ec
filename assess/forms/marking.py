"""Which lines were found met in written reasons: by their author, and by a tutor."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

MET = "met-"
STRAY = gettext_lazy("Mark the lines that are on the page: load it again.")


class MarksForm(forms.Form):
    """For each task, in a field named met- and its id, the lines found met; that none is met is an answer too."""

    def __init__(self, data: Any, *, lines: Mapping[str, Sequence[str]]) -> None:
        super().__init__(data)
        self.tasks = tuple(lines)
        for task, names in lines.items():
            self.fields[f"{MET}{task}"] = forms.MultipleChoiceField(
                choices=[(name, name) for name in names], required=False, error_messages={"invalid_choice": STRAY}
            )

    def met(self) -> dict[str, tuple[str, ...]]:
        return {task: tuple(self.cleaned_data[f"{MET}{task}"]) for task in self.tasks}

    def sentence(self) -> str:
        return str(STRAY)
