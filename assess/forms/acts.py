"""What a page sends: each form reads one act into an event's name and fields. An empty form is no answer."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from assess.forms.fields import PICK, pick
from assess.grading.grade import GRADED_STAGES
from assess.log import Stage
from casebank.radiograph.cone_beam import reasons

TUBES: dict[str, tuple[float, float]] = {
    "mesial-20": (20.0, 0.0),
    "distal-20": (-20.0, 0.0),
    "raised-15": (0.0, 15.0),
    "lowered-15": (0.0, -15.0),
}


class Act(forms.Form):
    """Anything that is stored as one event; `key` makes a repeated submission harmless."""

    event: ClassVar[str] = ""
    key = forms.CharField(max_length=64, required=False)

    def sentence(self) -> str:
        """What is wrong, in one line."""
        return " ".join(str(error) for errors in self.errors.values() for error in errors)

    def fields_of_event(self) -> dict[str, Any]:
        raise NotImplementedError


class AskForm(Act):
    event = "asked"
    finding = forms.RegexField(r"^[a-z]$", error_messages={"required": PICK, "invalid": PICK})

    def fields_of_event(self) -> dict[str, Any]:
        return {"finding": self.cleaned_data["finding"]}


class FilmForm(Act):
    """A further film: where the tube goes, and what the film is to answer."""

    event = "film"
    tube = pick(*TUBES, sentence=gettext_lazy("Choose where the tube goes."))
    reason = forms.CharField(
        min_length=3,
        max_length=500,
        error_messages={
            "required": gettext_lazy("Write the question first. One sentence is enough."),
            "min_length": gettext_lazy("Write the question in a few words."),
            "max_length": gettext_lazy("Say it in at most 500 characters."),
        },
    )

    def fields_of_event(self) -> dict[str, Any]:
        across, up = TUBES[self.cleaned_data["tube"]]
        return {
            "stage": Stage.LOOK.value,
            "horizontal_deg": across,
            "vertical_deg": up,
            "reason": self.cleaned_data["reason"],
        }


class VolumeForm(Act):
    """A limited cone-beam volume: the reason that justifies it, and what it is hoped to show."""

    event = "volume"
    reason = pick(*(one.slug for one in reasons()), sentence=gettext_lazy("Choose the reason that justifies it."))
    hoped = forms.CharField(
        min_length=3,
        max_length=500,
        error_messages={
            "required": gettext_lazy("Write what you hope to see. One sentence is enough."),
            "min_length": gettext_lazy("Write in a few words what you hope to see."),
            "max_length": gettext_lazy("Say it in at most 500 characters."),
        },
    )

    def fields_of_event(self) -> dict[str, Any]:
        return {"reason": self.cleaned_data["reason"], "hoped": self.cleaned_data["hoped"]}


class SelfGradeForm(forms.Form):
    """What is expected of each stage, in percent."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        between = gettext_lazy("Give a whole number from 0 to 100.")
        for stage in GRADED_STAGES:
            self.fields[stage] = forms.IntegerField(
                min_value=0,
                max_value=100,
                error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), between),
            )

    def percents(self) -> dict[str, int]:
        return {stage: self.cleaned_data[stage] for stage in GRADED_STAGES}
